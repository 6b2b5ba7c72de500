"""A sensor's data go where nobody reads them.

What it looks for
    The data lead of a sensor, or the telemetry lead of an ESC, in a socket that carries no
    telemetry: one of a channel, of the supply, or the outlet of a box. Which sockets of a receiver
    or autopilot carry telemetry is said by its key `telemetry`; sockets called so do by their name.

Why it matters
    It is fed there and looks alive, but no figure ever arrives: neither the pack's volts nor what
    it has given.

An example that fails
    receivers:
      rx: {sockets: 6, telemetry: tele}
    sensors:
      pack-volts: {plug: rx.5, supply: main.balance}
    packs:
      main: {chemistry: lipo, cells: 3}
      radio: {chemistry: nimh, cells: 5, plug: rx.batt}

The same, mended
    sensors:
      pack-volts: {plug: rx.tele, supply: main.balance}

Where it comes from
    Common practice; no published source: a receiver reads sensors at its own sockets for them.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.signals import free_sockets, is_channel
from harness.parts.contacts import Port
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each data plug once."""
    for mate in desk.wiring.mates:
        if mate.plug.data and mate.fits and mate.first:
            socket = desk.wiring.driver(*mate.plug.id)
            if socket is not None and not socket.data:
                yield _finding(desk, mate, socket)


def _finding(desk: Desk, mate: Mate, socket: Port) -> Finding:
    part, there = mate.plug.part, socket.part
    gives = f"channel {socket.channel}" if is_channel(socket) else "no telemetry"
    return check.finding(
        f"the data of {part.named()} go into {socket.short}, which gives {gives}:"
        " nobody reads them",
        mate.span,
        part,
        there,
        spot=mate.plug.name,
        help=_help(desk, mate.plug, socket),
    )


def _help(desk: Desk, plug: Port, socket: Port) -> str:
    """A free socket for telemetry; else the one it is in, where that can be set to it."""
    parts = desk.plan.parts.values()
    free = [
        f"{p.id}.{n}"
        for p in parts
        if p is not plug.part
        for n in free_sockets(desk.wiring, p.id, plug)
    ]
    if free:
        return f"plug it into {spoken(free, 'or')}"
    box = socket.part
    if box.has_channels and is_channel(socket):
        return (
            f"if that socket can be set to telemetry, write `telemetry: {socket.name}` for"
            f' "{box.id}"; else name there the socket that is for it, and plug it in'
        )
    return "name the receiver's socket for telemetry there (`telemetry:`), and plug it in"
