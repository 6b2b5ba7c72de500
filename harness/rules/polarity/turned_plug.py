"""A plug sits the wrong way round in its socket.

What it looks for
    A plug that the plan or the bench says is turned, and a plug whose pin order is not the
    socket's: positive, negative and signal do not meet their own kind. A socket with a key
    refuses a turned plug: then the plan cannot be right. A plug turned in a socket whose pin
    order is the reverse one is no fault.

Why it matters
    With the power pin in the middle a turned plug puts signal on ground and ground on signal: the
    device is dead, and its output may be lost. With the power pin outside it puts positive on
    ground and burns the device. With two wires only it swaps the poles.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {plug: {into: rx.4, turned: yes}}

The same, mended
    servos:
      rudder: {plug: rx.4}

Where it comes from
    Pin order: ArduPilot and PX4 documentation (ground, power in the middle, signal). That
    unkeyed plugs fit either way round: common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.mend_first import burns, reported_by
from harness.facts.poles import Crossing, beyond, lead_faults, refused
from harness.facts.wording import INSULATION, becomes
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.DANGER, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each plug once."""
    for mate in desk.wiring.mates:
        if mate.socket is not None and refused(desk.wiring, mate):
            yield check.at_plug(
                f"the plug of {mate.plug.part.named()} will not go into {mate.socket.short} turned:"
                " the socket has a key",
                mate,
                mate.socket.part,
                key="turned",
                severity=Severity.ERROR,
                help="take out `turned`; if it really sits so, the key is cut away or the socket"
                " another",
            )
    for fault in lead_faults(desk.wiring):
        if fault.mate is not None and reported_by(fault) == check.name:
            assert fault.mate.socket is not None
            hit = beyond(desk.wiring, fault)
            yield _finding(desk, fault, fault.mate, fault.mate.socket, hit)


def _finding(desk: Desk, fault: Crossing, mate: Mate, socket: Port, hit: list[Part]) -> Finding:
    swapped = fault.swaps("positive", "negative")
    meets = sorted(f"{INSULATION[link.a.pin]} meets the {link.b.pin} pin" for link in fault.links)
    why = (
        f"sits turned in {socket.short}"
        if mate.turned
        else f"has its pins in another order ({', '.join(mate.plug.order)}) than {socket.short}"
        f" ({', '.join(socket.order)})"
    )
    then = becomes(hit) if swapped else "it does nothing, and the output may be spoilt"
    return check.finding(
        f"the plug of {mate.plug.part.named()} {why}: {' and '.join(meets)}; {then}",
        fault.span,
        mate.plug.part,
        socket.part,
        severity=Severity.DANGER if burns(desk.wiring, fault) else Severity.ERROR,
        spot=mate.plug.name,
        help="turn the plug and mark its pale side"
        if mate.turned
        else "put an adapter lead between them, with `pins` and `socket-pins` as they are",
    )
