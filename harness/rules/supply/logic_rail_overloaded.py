"""Servos hang on an autopilot's logic supply and draw more than it gives.

What it looks for
    An autopilot whose output rail hangs on its own supply (`rail: logic`): the stalls of what moves
    together, through its output sockets, against its `limit`.

Why it matters
    The same supply runs the processor: one stalled servo pulls it down, and the autopilot starts
    anew in the air.

An example that fails
    autopilots:
      ap: {sockets: 4, rail: logic, limit: 500 mA}
    regulators:
      logic: {volts: 5.2 V, plug: ap.power}
    servos:
      rudder: {class: 9g-analogue, plug: ap.4}

The same, mended
    autopilots:
      ap: {sockets: 4, rail: separate, limit: 500 mA}
    regulators:
      servo-rail: {volts: 5.2 V, plug: ap.batt}

Where it comes from
    Common practice; no published source. The limit is the autopilot maker's.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.currents import amps, number, peak_numbers, told, when
from harness.facts.supplied import logic_flow, logic_overloads
from harness.parts.autopilot import Autopilot
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER, solved=True)
def check(desk: Desk) -> Findings:
    """Report each autopilot once."""
    for part in desk.plan.of(Autopilot):
        if part.rail != "logic":
            continue
        flow, limit = logic_flow(desk.wiring, part), logic_overloads(desk.wiring).get(part.id)
        for draw in flow.missing:
            desk.not_known(draw.part, draw.missing)
        if part.limit is None and flow.live:
            desk.not_known(part, "what its rail may carry (limit)", "limit")
        elif limit is not None:
            yield check.finding(
                f"{part.named()} gives {amps(limit.number)} on its own supply, but what hangs on"
                f" its outputs can take {amps(flow.burst)} at once{when(flow.burst_case)}:"
                f" {told(flow.peaks)}",
                part.at("limit"),
                part,
                *flow.parts,
                help="give the servos a rail of their own, fed by a BEC or regulator",
                numbers=(number("limit", limit), *peak_numbers(desk.wiring, flow)),
            )
