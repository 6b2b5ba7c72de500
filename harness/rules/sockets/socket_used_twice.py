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
    servos:
      aileron-left: {plug: aileron-y.1}
      aileron-right: {plug: aileron-y.2}
    leads:
      aileron-y: {kind: y, plug: rx.1}

Where it comes from
    The thing itself: one socket, one plug.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.signals import free_sockets
from harness.parts.contacts import Form, Port
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.mate import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each socket once, at the last plug in the file that fits."""
    for mates in desk.wiring.by_socket.values():
        fitting = [mate for mate in mates if mate.fits]
        if len(fitting) < 2:
            continue
        late = max(fitting, key=lambda m: m.span)
        names = spoken(sorted(f'"{mate.plug.part.id}"' for mate in fitting))
        socket = late.socket
        assert socket is not None
        yield check.finding(
            f"{names} {'both' if len(fitting) == 2 else 'all'} go into {_name(socket)}",
            late.span,
            socket.part,
            *(mate.plug.part for mate in sorted(fitting, key=lambda m: m.plug.id)),
            spot=socket.name,
            help=_help(desk, late, socket),
        )


def _name(socket: Port) -> str:
    own = socket.name == "main"
    return socket.part.named() if own else f"{socket.part.id}.{socket.name}"


def _help(desk: Desk, late: Mate, socket: Port) -> str:
    if socket.form is not Form.THREE_PIN:
        return "give one of them another socket, or join them with a lead made for it"
    names = free_sockets(desk.wiring, socket.part.id, late.plug)
    free = spoken(f"{socket.part.id}.{name}" for name in names)
    verb = "is" if len(names) == 1 else "are"
    where = f" ({free} {verb} free)" if 0 < len(names) <= 6 else ""
    return f"give one of them another socket{where}, or join them with a Y-lead"
