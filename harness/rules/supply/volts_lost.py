"""A device gets fewer volts than it needs: something on the way takes too many.

What it looks for
    The volts at the contacts of every servo, leg, receiver, box, stabiliser, sensor and load, by
    the solved network, in every operating case. Below what the part needs in a case that lasts it
    is an error, for seconds a warning. Where the lowest volts of a servo or leg are a class's, they
    are those of the pack it is made for, and for seconds what such a pack gives when it is empty
    will do: 4 V where the class says 4.8. A sagging rail is told by `rail-sags`, for all on it.

Why it matters
    A servo goes slow and weak on too few volts, and just when the air loads it most; a receiver or
    a stabiliser starts anew in the air.

An example that fails
    receivers:
      rx: {sockets: 6, supply-sockets: 1}
    servos:
      rudder: {class: standard-high-torque, moves: rudder, plug: tail.1}
    leads:
      tail: {kind: extension, length: 3200 mm, wire: 26 AWG, plug: rx.4}
    regulators:
      radio: {volts: 5 V, rated: 5 A, burst: 9 A, plug: rx.batt, wire: 20 AWG, length: 150 mm}

The same, mended
    leads:
      tail: {kind: extension, length: 900 mm, wire: 22 AWG, plug: rx.4}

Where it comes from
    Lowest volts by class: the catalogue. The volts are Ohm's law over the copper (ASTM B258,
    IEC 60028) and the catalogue's contacts; what mends it is solved again before it is named.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.span import Span
from harness.facts.currents import case_numbers, when
from harness.facts.volts import Low, Starved, eaten, eaten_numbers, starved
from harness.facts.wording import parts_named, volts, volts_line
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, Severity.WARNING, solved=True)
def check(desk: Desk) -> Findings:
    """Report those that one thing starves together, once."""
    for group in starved(desk.wiring):
        yield _finding(desk, group)


def _finding(desk: Desk, group: Starved) -> Finding:
    from harness.facts.cures import cure_words

    worst, eater = group.lows[0], group.eater
    others = [low.part for low in group.lows[1:]]
    also = f"; so {'does' if len(others) == 1 else 'do'} {parts_named(others)}" if others else ""
    return check.finding(
        f"{worst.part.named()} gets {volts(round(worst.volts, 2))}{when(worst.case)} and needs"
        f" {volts(worst.need.figure.number)}: {eaten(worst.way)}{also}",
        _span(group),
        *(low.part for low in group.lows),
        *((eater.part,) if eater.part is not worst.part else ()),
        severity=_severity(desk, group),
        help=cure_words(desk.wiring, group.lows),
        numbers=(
            volts_line(worst.need.what, worst.need.figure),
            *eaten_numbers(worst.way),
            *case_numbers(desk.wiring, worst.case),
        ),
    )


def _severity(desk: Desk, group: Starved) -> Severity:
    """A radio that starts anew is an error however short it is; seconds of weakness a warning."""
    hard = any(low.own and (low.lasting or low.part.has_channels) for low in group.lows)
    deep = any(_below_own(desk, low) for low in group.lows)
    return Severity.ERROR if hard or deep else Severity.WARNING


def _below_own(desk: Desk, low: Low) -> bool:
    own = low.part.known(desk.plan.catalogue, "volts-min")
    return low.lasting and own is not None and round(low.volts, 2) < own.number


def _span(group: Starved) -> Span:
    part = group.eater.part
    words = ("lead-length", "lead-wire", "length", "wire", "volts", "plug", "supply")
    return next((part.spans[word] for word in words if word in part.spans), part.span)
