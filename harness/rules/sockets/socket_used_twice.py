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
from harness.facts.wording import quoted, verb
from harness.parts.contacts import Form, Port
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each socket once, at the last plug in the file that fits."""
    for mates in desk.wiring.by_socket.values():
        fitting = sorted((mate for mate in mates if mate.fits), key=lambda m: m.plug.id)
        if len(fitting) < 2:
            continue
        late = max(fitting, key=lambda m: m.span)
        socket = late.socket
        assert socket is not None
        where = socket.part.named() if socket.name == "main" else f"{socket.part.id}.{socket.name}"
        yield check.finding(
            f"{quoted(mate.plug.part.id for mate in fitting)}"
            f" {'both' if len(fitting) == 2 else 'all'} go into {where}",
            late.span,
            socket.part,
            *(mate.plug.part for mate in fitting),
            spot=socket.name,
            help=_help(desk, late.plug, socket),
        )


def _help(desk: Desk, plug: Port, socket: Port) -> str:
    if socket.form is not Form.THREE_PIN:
        return "give one of them another socket, or join them with a lead made for it"
    names = free_sockets(desk.wiring, socket.part.id, plug)
    free = spoken(f"{socket.part.id}.{name}" for name in names)
    where = f" ({free} {verb(names)} free)" if 0 < len(names) <= 6 else ""
    return f"give one of them another socket{where}, or join them with a Y-lead"
