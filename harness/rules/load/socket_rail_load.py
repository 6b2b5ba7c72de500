"""A receiver or sequencer carries more through its rail than it is made for.

What it looks for
    A receiver or sequencer whose plan states a `limit`, when everything that is fed through its
    sockets takes more continuously.

Why it matters
    The thin copper inside joins the supply to all the sockets. Overloaded, it gets hot and drops
    volts, and the radio may go with it.

An example that fails
    receivers:
      rx: {sockets: 6, supply-sockets: 2, limit: 2 A}
    servos:
      aileron: {class: standard-high-torque, moves: aileron, plug: rx.1}
      elevator: {class: standard-high-torque, moves: elevator, plug: rx.2}
      rudder: {class: standard-high-torque, moves: rudder, plug: rx.4}
    regulators:
      supply: {volts: 6 V, rated: 10 A, burst: 15 A, plug: [rx.batt-1, rx.batt-2]}

The same, mended
    receivers:
      rx: {sockets: 6, supply-sockets: 2, limit: 10 A}

Where it comes from
    The limit is the part's own; what flows is solved from the whole network.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.currents import amps, currents, number, over, steady_numbers, told, when
from harness.parts.figure import Figure
from harness.parts.receiver import Receiver
from harness.parts.sequencer import Sequencer
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each rail with a stated limit once."""
    for part in (*desk.plan.of(Receiver), *desk.plan.of(Sequencer)):
        if part.limit is None:
            continue
        limit = Figure(part.limit, f"plan line {part.at('limit').line}")
        flow = currents(desk.wiring).through(part.id)
        if over(flow.steady, limit.number):
            yield check.finding(
                f"{part.named()} may carry {amps(limit.number)}, but {amps(flow.steady)} flow "
                f"through it continuously{when(flow.steady_case)}: {told(flow.steadies)}",
                part.at("limit"),
                part,
                help="feed the heavy loads past it, from a supply of their own",
                numbers=(number("limit", limit), *steady_numbers(desk.wiring, flow)),
            )
