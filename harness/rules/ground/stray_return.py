"""A battery lead is open at one pole, and its current takes another way.

What it looks for
    An ESC, a regulator or a box with a supply of its own whose battery lead goes through by one
    pole only, or a regulator's output lead: a pin is pulled, a wire or lead was found open, or an
    arming plug, fuse or switch that sits in the negative (`pole`) is out, blown or off. The current
    then goes by a signal ground or a servo lead; how much is solved from the whole network.

Why it matters
    Everything seems to work, on a wire made for milliamperes: motor current burns the signal ground
    through, or the receiver with it, and takes every channel along.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 3 Ah}
    power-leads:
      split: {kind: parallel, ways: 2, supply: main}
    receivers:
      rx: {sockets: 4}
    escs:
      left: {bec: {volts: 5 V}, plug: rx.1, supply: split.1}
      right: {bec: none, plug: rx.2, supply: {into: split.2, pulled: negative}}
    motors:
      motor: {full-throttle: 20 A, plug: right}

The same, mended
    escs:
      right: {bec: none, plug: rx.2, supply: split.2}

Where it comes from
    With an open main negative all of the motor current returns by the signal ground: the split by
    resistance of ArduPilot's ESC grounding page, with one of the two ways gone.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.currents import case_numbers, when
from harness.facts.fed import OUTPUT, Fault, faults, in_order, parted
from harness.facts.ground import breaking_down, detours
from harness.facts.wording import amps, closing_words, parts_named, verb
from harness.parts.contacts import Form
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Wiring

MOST = 3
"""Leads that are named."""


@rule(Severity.DANGER, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each open place once; without a motor behind it, it is an error."""
    for fault in faults(desk.wiring):
        if fault.astray:
            yield _finding(desk.wiring, fault)
    for apart, fault in parted(desk.wiring):
        yield _finding(apart, fault)


def _finding(wiring: Wiring, fault: Fault) -> Finding:
    parts = in_order(need.part for need in fault.astray)
    own = {need.part.id for need in fault.astray if need.what == OUTPUT}
    ways = [way for way in detours(wiring) if way.part.id not in own]
    case = ways[0].case if ways else ""
    said = spoken(f"{amps(way.amps)} by {_leads(wiring, way.part)}" for way in ways[:MOST])
    goes = f": {said}{when(case)}" if ways else ""
    if worse := breaking_down(wiring):
        goes += f", and the volts break down in {worse[0]}"
    dead = f"; {parts_named(fault.parts)} {verb(fault.parts, 'gets', 'get')} nothing"
    return check.at_open(
        f", so the current of {parts_named(parts)} goes by signal leads{goes}"
        f"{dead if fault.parts else ''}",
        wiring,
        fault,
        severity=None if fault.burns else Severity.ERROR,
        help=f"{closing_words(fault.opens)} before a pack is connected; thicker leads are no cure",
        numbers=case_numbers(wiring, case),
    )


def _leads(wiring: Wiring, part: Part) -> str:
    plugs = [m for m in wiring.mates if m.plug.part is part and m.plug.form is Form.THREE_PIN]
    return f"the {verb(plugs, 'lead', 'leads')} of {part.named()}"
