"""A pack cannot give the power that is asked of it: the volts break down.

What it looks for
    An operating case in which an ESC asks for more power than its pack can send through its own
    cells and the wires on the way: there are no volts at which both agree.

Why it matters
    The volts fall until the ESC cuts out or starts anew, and a BEC in it takes the receiver down
    with it. That happens at full throttle, at take-off or with the pack nearly empty.

An example that fails
    escs:
      esc: {rated: 200 A, supply: main, bec: none, connector: AS150, wire: 8 AWG, length: 100 mm}
    motors:
      motor: {full-throttle: 90 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 1 Ah, rate: 400 C, connector: AS150}

The same, mended
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 6 Ah, rate: 60 C, connector: AS150}

Where it comes from
    The most power that comes out of volts V behind a resistance R is V * V / (4 * R): Jacobi's
    law of maximum power. About 5 milliohm a LiPo cell: PX4 user guide, battery page.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.span import START, Span
from harness.facts.battery import packs_of
from harness.facts.currents import case_numbers, currents
from harness.facts.motion import turning
from harness.facts.rails import name_of
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.ratings import motors_on


@rule(Severity.DANGER, solved=True)
def check(desk: Desk) -> Findings:
    """Report each part that asks too much once, with the cases."""
    cases: dict[str, list[str]] = defaultdict(list)
    for case, failure in currents(desk.wiring).trouble.items():
        cases[failure.element].append(case)
    for element, names in cases.items():
        yield _finding(desk, desk.plan.parts.get(element), names)


def _finding(desk: Desk, part: Part | None, names: list[str]) -> Finding:
    parts: list[Part] = []
    about = "the network has no solution"
    if part is not None:
        sources = packs_of(currents(desk.wiring).wiring, part)
        giver = spoken(name_of(source) for source in sources) or "what feeds it"
        about = f"{giver} cannot give what {part.named()} asks for"
        parts = [part, *sources]
    return check.finding(
        f"{about} in {spoken(names)}: {currents(desk.wiring).trouble[names[0]].why}",
        _span(desk, part),
        *parts,
        help="take a pack of more capacity or of less resistance, shorter or thicker battery"
        f" wires, or a smaller {turning(desk.plan).one}",
        numbers=case_numbers(desk.wiring, *names),
    )


def _span(desk: Desk, part: Part | None) -> Span:
    """The current that was stated for its motor, else the part."""
    if part is None:
        return START
    driven = motors_on(desk.wiring, part)
    asked = [m.at("full-throttle") for m in driven if m.full_throttle is not None]
    return asked[0] if asked else part.span
