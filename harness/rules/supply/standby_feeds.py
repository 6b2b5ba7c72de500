"""Of two supplies behind diodes one carries the radio always, the other nothing.

What it looks for
    A rail with several sources, each behind its diode or isolator, of which one gives nearly all
    the current in every operating case that lasts, by the solved network. A pack that so takes the
    load from a BEC or regulator is a warning; of two of a kind it is a note. A pack that stands by
    while a BEC or regulator feeds is as it should be.

Why it matters
    Behind diodes the source with the most volts feeds, always, not only when the other fails. A
    pack that was meant as the backup is then flown empty first, and is spent when it is needed.

An example that fails
    receivers:
      rx: {sockets: 4, supply-sockets: 2}
    servos:
      rudder: {class: 17g-digital, volts-max: 8.4 V, moves: rudder, plug: rx.4}
    regulators:
      main-supply: {volts: 5.5 V, rated: 5 A, burst: 8 A, plug: one.1}
    packs:
      backup: {chemistry: life, cells: 2, capacity: 1 Ah, plug: two.1}
    diodes:
      one: {kind: schottky, plug: rx.batt-1}
      two: {kind: schottky, plug: rx.batt-2}

The same, mended
    regulators:
      main-supply: {volts: 7.4 V, rated: 5 A, burst: 8 A, plug: one.1}

Where it comes from
    What a diode is: it conducts for the source with the higher volts. The currents are solved.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.currents import case_numbers
from harness.facts.rails import name_of, source_volts
from harness.facts.supplied import Carried, carried, source_span, window
from harness.facts.wording import amps, volts, volts_line
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, Severity.NOTE, solved=True)
def check(desk: Desk) -> Findings:
    """Report each set of sources once; a pack that waits behind a regulator is a backup."""
    for rail in carried(desk.wiring):
        if rail.carrier.holds_cells and not rail.idle.holds_cells:
            yield _drained(desk, rail)
        elif rail.carrier.holds_cells == rail.idle.holds_cells:
            yield _finding(
                desk,
                rail,
                f"{name_of(rail.idle)} stands by: it feeds only when the other has fewer volts",
                "give the one that is to be the main supply the more volts",
                Severity.NOTE,
            )


def _drained(desk: Desk, rail: Carried) -> Finding:
    idle = name_of(rail.idle)
    less = source_volts(desk.wiring, rail.idle, "nominal")
    full = source_volts(desk.wiring, rail.carrier, "full")
    until = f" until it has sunk to about {volts(less.number)}" if less else ""
    bears = window(desk.wiring, rail.carrier).bears
    borne = full is not None and (bears is None or bears[0] > full.number)
    above = f"set {idle} to more than {volts(full.number)}; or " if full and borne else ""
    return _finding(
        desk,
        rail,
        f"{idle} gives nothing{until}: a backup pack would be empty when it is needed",
        f"take a pack whose full volts are below those of {idle}; or {above}"
        f"accept that {name_of(rail.carrier)} is the main supply",
        Severity.WARNING,
    )


def _finding(desk: Desk, rail: Carried, then: str, cure: str, severity: Severity) -> Finding:
    pair = [
        (part, source_volts(desk.wiring, part, "nominal")) for part in (rail.carrier, rail.idle)
    ]
    return check.finding(
        f"{name_of(rail.carrier)} carries {rail.box.named()} alone all the time"
        f" ({amps(rail.amps)} in {rail.case}), and {then}",
        source_span(rail.carrier),
        rail.carrier,
        rail.idle,
        rail.box,
        severity=severity,
        help=cure,
        numbers=(
            *(volts_line(part.id, figure) for part, figure in pair if figure),
            *case_numbers(desk.wiring, rail.case),
        ),
    )
