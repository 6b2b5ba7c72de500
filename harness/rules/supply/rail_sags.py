"""A rail sags below what the radio is to have, though its source gives enough.

What it looks for
    The volts on the rail of a receiver, an autopilot or a sequencer, where the source without load
    gives enough and the wires, plugs, switch and diodes on the way take too much: below 4.8 V in an
    operating case that lasts (a warning), or below what the part itself works on in any case (an
    error). Where that rests on a wire whose gauge or length is not stated, that is listed instead.

Why it matters
    All servos working at once pull the rail down for a moment; a receiver that starts anew in the
    air takes seconds in which nothing answers the sticks.

An example that fails
    receivers:
      rx: {sockets: 6, supply-sockets: 2}
    servos:
      aileron-left: {class: 13g-metal-gear, moves: aileron, length: 250 mm, plug: rx.1}
      aileron-right: {class: 13g-metal-gear, moves: aileron, length: 250 mm, plug: rx.5}
      elevator: {class: 13g-metal-gear, moves: elevator, length: 250 mm, plug: rx.2}
    regulators:
      radio: {volts: 5 V, rated: 5 A, burst: 9 A, plug: rx.batt-1, wire: 26 AWG, length: 900 mm}

The same, mended
    regulators:
      radio: {volts: 6 V, rated: 5 A, burst: 9 A, plug: [rx.batt-1, rx.batt-2], wire: 20 AWG,
        length: 150 mm}

Where it comes from
    A rail at or above 4.8 V with the sticks stirred by hand: common practice; no published source.
    The volts are Ohm's law over the copper (ASTM B258, IEC 60028) and the catalogue's contacts.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.currents import case_numbers, currents, when
from harness.facts.rails import name_of
from harness.facts.volts import Sag, eaten, eaten_numbers, sags, unsure_wires
from harness.facts.wording import volts, volts_line
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.live import TINY


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report the worst rail of each part once; list the wires on which it rests, if nobody knows.

    What is short of volts elsewhere for such a wire is listed here too.
    """
    for part, what, key in unsure_wires(desk.wiring):
        desk.not_known(part, f"{what} ({key})", key)
    for sag in sags(desk.wiring):
        yield _finding(desk, sag)


def _finding(desk: Desk, sag: Sag) -> Finding:
    from harness.facts.cures import cure_words

    low, part, limit, wants = sag.low, sag.low.part, sag.low.need.figure, "it is to have"
    own = part.known(desk.plan.catalogue, "volts-min")
    severity = Severity.WARNING
    if own is not None and low.volts < own.number - TINY:
        limit, severity, wants = own, Severity.ERROR, "it works on"
    plug = currents(desk.wiring).wiring.by_plug.get((sag.source.id, "plug"))
    return check.finding(
        f"the {sag.which} of {part.named()} sags to {volts(round(low.volts, 2))}{when(low.case)},"
        f" below the {volts(limit.number)} {wants}, although {name_of(sag.source)} gives"
        f" {volts(round(sag.idle, 2))} without load: {eaten(low.way)}",
        plug.span if plug else part.span,
        part,
        sag.source,
        severity=severity,
        help=cure_words(desk.wiring, [low]),
        numbers=(
            volts_line("limit", limit),
            *eaten_numbers(low.way),
            *case_numbers(desk.wiring, low.case),
        ),
    )
