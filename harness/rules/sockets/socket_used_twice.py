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
from harness.facts.homes import NO_HOME, at_home, driven_by, on_one_lead, ways_home
from harness.facts.wording import parts_named, quoted
from harness.parts.contacts import Form, Port
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


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
            help=_help(desk, fitting, late, socket),
        )


def _help(desk: Desk, fitting: list[Mate], late: Mate, socket: Port) -> str:
    """Move what does not belong there, or a supply; what belongs together may share a lead."""
    if socket.form is not Form.THREE_PIN:
        return "give one of them another socket, or join them with a lead made for it"
    plugs = [mate.plug for mate in fitting]
    joined = on_one_lead(desk.wiring, plugs, socket)
    strays = [p for p in plugs if not at_home(desk.wiring, p, socket)]
    supplies = [p for p in plugs if not driven_by(desk.wiring, p)]
    some = next((move for move in (strays, supplies) if 0 < len(move) < len(plugs)), [late.plug])
    ways = ways_home(desk.wiring, some, socket.part)
    told = [f"plug {p.part.named()} {way}" for p, way in zip(some, ways, strict=True) if way]
    stuck = [p.part for p, way in zip(some, ways, strict=True) if not way and not joined]
    if stuck:
        told.append(f"for {parts_named(stuck)} {NO_HOME}")
    choices = [" and ".join(told), f"join them with {joined}" if joined else ""]
    return ", or ".join(choice for choice in choices if choice)
