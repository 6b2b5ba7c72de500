"""Leads are plugged into one another in a ring.

What it looks for
    Leads, power leads, fuses, switches, diodes and boxes in line whose plugs, followed from socket
    to socket, come back to where they started.

Why it matters
    Nothing feeds a ring and nothing drives it: whatever hangs on it is dead. It is a slip of the
    plan, or of the bench.

An example that fails
    leads:
      one: {kind: y, plug: two.1}
      two: {kind: y, plug: one.1}

The same, mended
    receivers:
      rx: {sockets: 4}
    leads:
      two: {kind: y, plug: rx.1}

Where it comes from
    The thing itself: a lead begins at a device.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.rings import ring_in
from harness.parts.diode import Diode
from harness.parts.fuse import Fuse
from harness.parts.lead import Lead
from harness.parts.power_lead import PowerLead
from harness.parts.sequencer import Sequencer
from harness.parts.stabiliser import Stabiliser
from harness.parts.switch import Switch
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, rule

IN_LINE = (Lead, PowerLead, WingPlug, Fuse, Switch, Diode, Stabiliser, Sequencer)


@rule(Severity.ERROR)
def check(desk: Desk) -> Iterator[Finding]:
    """Report each ring once, at its first part by name."""
    into: dict[str, list[str]] = {
        name: [] for name, part in sorted(desk.plan.parts.items()) if isinstance(part, IN_LINE)
    }
    for mate in desk.wiring.mates:
        if mate.plug.part.id in into and mate.socket is not None and mate.socket.part.id in into:
            into[mate.plug.part.id].append(mate.socket.part.id)
    while ring := _ring(into):
        parts = [desk.plan.parts[name] for name in ring]
        yield check.finding(
            f"{spoken(part.named() for part in parts)} are plugged into one another in a ring: "
            "nothing feeds or drives them",
            parts[0].at("plug") if "plug" in parts[0].spans else parts[0].at("supply"),
            *parts,
            help="plug one of them into the receiver or the pack it belongs to",
        )
        into = {name: others for name, others in into.items() if name not in ring}
        into = {n: [o for o in others if o in into] for n, others in into.items()}


def _ring(into: dict[str, list[str]]) -> list[str]:
    """Return the parts of one ring, the first by name in front, or nothing."""
    ring = ring_in(into)[:-1]
    start = ring.index(min(ring)) if ring else 0
    return ring[start:] + ring[:start]
