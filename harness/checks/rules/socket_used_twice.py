"""Two plugs want one socket.

What it looks for
    Two or more plugs that the plan puts into the same socket.

Why it matters
    A socket takes one plug. The second lead is left over on assembly day, or is forced in
    where it does not belong.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      aileron-left: {plug: rx.1}
      aileron-right: {plug: rx.1}

The same, mended
    receivers:
      rx: {sockets: 4}
    servos:
      aileron-left: {plug: aileron-y.1}
      aileron-right: {plug: aileron-y.2}
    leads:
      aileron-y: {kind: y, plug: rx.1}

Where it comes from
    The thing itself: one socket, one plug.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.checks.rule import Desk, rule


@rule("sockets", Severity.ERROR)
def check(desk: Desk) -> Iterator[Finding]:
    """Report each socket once, at the last plug in the file."""
    for mates in desk.wiring.by_socket.values():
        if len(mates) < 2:
            continue
        late = max(mates, key=lambda m: m.span)
        names = spoken(sorted(f'"{mate.plug.part.id}"' for mate in mates))
        socket = late.socket
        assert socket is not None
        yield check.finding(
            f"{names} {'both' if len(mates) == 2 else 'all'} go into {socket.short}",
            late.span,
            socket.part,
            *(mate.plug.part for mate in mates),
            spot=socket.name,
            help="give one of them another socket, or join them with a Y-lead",
        )
