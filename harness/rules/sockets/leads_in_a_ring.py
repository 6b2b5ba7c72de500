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

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.below import part_rings
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each ring once, at its first part by name."""
    for parts in part_rings(desk.wiring):
        yield check.finding(
            f"{spoken(part.named() for part in parts)} are plugged into one another in a ring: "
            "nothing feeds or drives them",
            parts[0].at("plug" if "plug" in parts[0].spans else "supply"),
            *parts,
            help="plug one of them into the receiver or the pack it belongs to",
        )
