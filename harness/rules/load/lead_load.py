"""A 3-pin plug or lead carries more than its contacts bear.

What it looks for
    A 3-pin plug that feeds several parts (the stem of a Y-lead, an extension before it, the
    input lead of a box) and carries more than one contact bears. The worst place of each run is
    reported; a plug that serves one device alone is left to that device's maker.

Why it matters
    The contact warms up, its resistance grows, and what hangs on it gets less and less voltage.

An example that fails
    receivers:
      rx: {sockets: 6, supply-sockets: 3}
    regulators:
      supply: {volts: 7.4 V, rated: 20 A, burst: 30 A, plug: [rx.batt-1, rx.batt-2, rx.batt-3]}
    servos:
      flap-left: {class: standard-hv, moves: flap, plug: flap-y.1}
      flap-right: {class: standard-hv, moves: flap, plug: flap-y.2}
    leads:
      flap-y: {kind: y, plug: rx.6, wire: 20 AWG}

The same, mended
    receivers:
      rx: {sockets: 7, supply-sockets: 3}
    servos:
      flap-left: {class: standard-hv, moves: flap, plug: rx.6}
      flap-right: {class: standard-hv, moves: flap, plug: rx.7}
    leads: taken out

Where it comes from
    Common practice; no published source: a 3-pin contact bears 3 to 3.5 A continuously and 5 A for
    seconds.
"""

from __future__ import annotations

import math

from harness.base.finding import Finding, Severity
from harness.facts.currents import Bears, Joint, amps, contact_bears, over, peak_numbers, told, when
from harness.facts.ground import loop_cure
from harness.facts.homes import ways_home
from harness.facts.hot_wires import heat_words, hot_wires, leads_for
from harness.facts.overloaded_plugs import worst_leads
from harness.facts.rails import from_a_regulator, one_lead
from harness.facts.signals import is_channel
from harness.facts.wording import joined
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report the worst joint of each run; a rail's only supply has a rule of its own."""
    for joint in worst_leads(desk.wiring):
        yield _finding(desk, joint, contact_bears(desk.wiring))


def _finding(desk: Desk, joint: Joint, bears: Bears) -> Finding:
    flow, mate, part = joint.flow, joint.mate, joint.mate.plug.part
    where = mate.socket.short if mate.socket else ""
    hot = hot_wires(desk.wiring).get(mate.plug.id)
    leads = max(
        2,
        math.ceil(flow.burst / bears.burst.number),
        math.ceil(flow.steady / bears.steady.number),
        leads_for(desk.wiring, hot) if hot else 2,
    )
    stem = "stem of Y-" if part.carries_signal and part.kind == "y" else ""
    return check.at_plug(
        f"the {stem}{part.named()} carries {amps(flow.steady)} continuously and "
        f"{amps(flow.burst)} at once{when(flow.burst_case)} through its plug in {where}: "
        f"{told(flow.peaks)}; one contact bears {amps(bears.steady.number)} and "
        f"{amps(bears.burst.number)}{heat_words(hot)}",
        mate,
        severity=Severity.ERROR if hot or over(flow.steady, bears.burst.number) else None,
        help=_advice(desk, joint, leads),
        numbers=(*bears.numbers(), *peak_numbers(desk.wiring, flow)),
    )


def _advice(desk: Desk, joint: Joint, leads: int) -> str:
    mate = joint.mate
    if cure := loop_cure(desk.wiring, joint.id):
        return f"most of it is motor current on its way back: {cure}"
    if joint.rail:
        return _more_leads(desk, joint, leads)
    return (
        f"{_apart(desk, mate.plug.part)}feed what hangs on it from a supply of its own, by"
        f" {leads} leads, the red pin of {joined(mate)} pulled"
    )


def _more_leads(desk: Desk, joint: Joint, leads: int) -> str:
    source = one_lead(desk.wiring, joint.rail)
    if source is not None:
        return from_a_regulator(desk.wiring, source, joint, leads)
    return "add another supply lead into a free socket"


def _apart(desk: Desk, part: Part) -> str:
    """Name a socket for what can have one of its own; nothing where none is free for it."""
    socket = desk.wiring.driver(part.id)
    mates = [m for m in desk.wiring.mates if m.socket and m.socket.part is part]
    hung = [mate for mate in mates if mate.plug.part.swings]
    if socket is None or len(hung) < 2 or not is_channel(socket):
        return ""
    plug = max(hung, key=lambda mate: mate.plug.id).plug
    (way,) = ways_home(desk.wiring, [plug], socket.part)
    return f"plug {plug.part.named()} {way}, or " if way else ""
