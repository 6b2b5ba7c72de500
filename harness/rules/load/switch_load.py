"""A switch or diode carries more than it bears.

What it looks for
    The current through a switch against its rating, or its class's when the plan states none;
    through a diode or isolator against the rating the plan states. A switch without a stated
    rating is left to the rules about 3-pin plugs when the plug of its lead is overloaded too.

Why it matters
    The whole radio runs through it. A slide switch that is too small burns its contact away and
    drops more and more volts; a diode gets hot until it opens.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      elevator: {class: standard-high-torque, moves: elevator, plug: rx.2}
      rudder: {class: mini-25g, moves: rudder, plug: rx.4}
    switches:
      radio-switch: {rated: 1 A, plug: rx.batt}
    regulators:
      radio-supply: {kind: switching, volts: 6 V, rated: 5 A, burst: 8 A, plug: radio-switch.1}

The same, mended
    switches:
      radio-switch: {rated: 5 A, plug: rx.batt}

Where it comes from
    The rating is the part's own. Class figures of switches are from memory, no source seen.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.currents import (
    amps,
    beyond_rating,
    currents,
    number,
    overloaded,
    steady_numbers,
    told,
    when,
)
from harness.parts.diode import Diode
from harness.parts.switch import Switch
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each switch or diode once."""
    heavy = {joint.mate.plug.part.id for joint in overloaded(desk.wiring)}
    for part in (*desk.plan.of(Switch), *desk.plan.of(Diode)):
        rated = part.known(desk.plan.catalogue, "rated", "continuous")
        if rated is None and currents(desk.wiring).port(part.id, "plug").live:
            desk.not_known(part, f"what the {part.word} is rated for (rated)")
    for part, flow, rated in beyond_rating(desk.wiring):
        if "rated" in part.spans or part.id not in heavy:
            yield check.finding(
                f"{part.named()} bears {amps(rated.number)}, but {amps(flow.steady)} flow through"
                f" it for good{when(flow.steady_case)}: {told(flow.steadies)}",
                part.at("rated"),
                part,
                help=f"fit one that bears {amps(flow.steady)} or more",
                numbers=(number("rated", rated), *steady_numbers(desk.wiring, flow)),
            )
