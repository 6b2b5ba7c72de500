"""The whole radio hangs on one supply plug that is too weak for it.

What it looks for
    A receiver or autopilot fed through a single 3-pin plug, when everything it feeds takes more
    than one contact of such a plug bears.

Why it matters
    The contact warms up, its resistance grows and the rail sags just when all the servos work.
    And if that one plug comes loose, everything is lost at once.

An example that fails
    receivers:
      rx: {sockets: 6, supply-sockets: 2}
    servos:
      aileron-left: {class: standard-high-torque, moves: aileron, plug: rx.1}
      aileron-right: {class: standard-high-torque, moves: aileron, plug: rx.5}
      elevator: {class: standard-high-torque, moves: elevator, plug: rx.2}
      rudder: {class: standard-high-torque, moves: rudder, plug: rx.4}
    regulators:
      radio-supply: {kind: switching, volts: 6 V, rated: 10 A, burst: 15 A, plug: rx.batt-1}

The same, mended
    receivers:
      rx: {sockets: 6, supply-sockets: 3}
    regulators:
      radio-supply:
        kind: switching
        volts: 6 V
        rated: 10 A
        burst: 15 A
        plug: [rx.batt-1, rx.batt-2, rx.batt-3]

Where it comes from
    Common practice; no published source: a 3-pin contact bears 3 to 3.5 A continuously and 5 A for
    seconds, so that one supply lead limits the whole radio to 3 to 5 A and two leads double it.
"""

from __future__ import annotations

import math

from harness.base.finding import Finding, Severity
from harness.facts.currents import Joint, amps, contact_bears, over, peak_numbers, told, when
from harness.facts.hot_wires import heat_words, hot_wires, leads_for
from harness.facts.overloaded_plugs import only_supplies
from harness.facts.rails import by_leads, from_a_regulator, one_lead
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report a rail's only plug, unless its supply is too weak as it is."""
    for joint in only_supplies(desk.wiring):
        yield _finding(desk, joint)


def _advice(desk: Desk, joint: Joint, leads: int) -> str:
    own = joint.mate.socket.name if joint.mate.socket else ""
    source, most = one_lead(desk.wiring, joint.rail), desk.figure("side-by-side", "leads").number
    if source is not None and leads <= most:
        return from_a_regulator(desk.wiring, source, joint, leads)
    if leads > most:
        return (
            "3-pin plugs cannot feed so much: feed the strong servos from a supply of their own"
            " with heavier plugs, or share them out over two receivers"
        )
    return f"feed it {by_leads(desk.wiring, joint.rail, leads, own)}, from the same supply"


def _finding(desk: Desk, joint: Joint) -> Finding:
    flow, mate, bears = joint.flow, joint.mate, contact_bears(desk.wiring)
    box = desk.plan.parts[joint.rail]
    leads = max(flow.steady / bears.steady.number, flow.burst / bears.burst.number)
    hot = hot_wires(desk.wiring).get(mate.plug.id)
    leads = max(leads, leads_for(desk.wiring, hot) if hot else 0)
    return check.at_plug(
        f"everything on {box.named()} is fed through one plug, {mate.plug.part.named()} in "
        f"{mate.socket.short if mate.socket else ''}: {amps(flow.steady)} continuously and "
        f"{amps(flow.burst)} at once{when(flow.burst_case)}: {told(flow.peaks)}; one contact bears "
        f"{amps(bears.steady.number)} and {amps(bears.burst.number)}{heat_words(hot)}",
        mate,
        box,
        severity=Severity.ERROR if hot or over(flow.steady, bears.burst.number) else None,
        help=_advice(desk, joint, math.ceil(leads - 1e-9)),
        numbers=(*bears.numbers(), *peak_numbers(desk.wiring, flow)),
    )
