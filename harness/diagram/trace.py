"""Ways through the wiring: a lead from end to end, all that serves one function."""

from __future__ import annotations

from collections.abc import Iterable

from harness.diagram.stages import PortId
from harness.parts.capacitor import Capacitor
from harness.parts.contacts import Port
from harness.parts.fuse import Fuse
from harness.parts.power_lead import PowerLead
from harness.wiring.build import Wiring
from harness.wiring.mate import Mate

SHARED = (PowerLead, Fuse)
"""Parts whose every plug leads to every socket."""


def ends_of(mates: Iterable[Mate]) -> set[str]:
    """Return the parts at both ends of some mates."""
    found: set[str] = set()
    for mate in mates:
        found.add(mate.plug.part.id)
        if mate.socket is not None:
            found.add(mate.socket.part.id)
    return found


def traced(wiring: Wiring, plugs: Iterable[PortId]) -> list[Mate]:
    """Return the mates from some plugs up to their source and down to their devices."""
    found: dict[PortId, Mate] = {}
    for plug in plugs:
        for mate in (*_up(wiring, plug, set()), *_down(wiring, wiring.ports[plug], set())):
            found[mate.plug.id] = mate
    return [mate for mate in wiring.mates if mate.plug.id in found]


def _up(wiring: Wiring, plug: PortId, seen: set[PortId]) -> list[Mate]:
    mate = wiring.by_plug.get(plug)
    if mate is None or plug in seen:
        return []
    seen.add(plug)
    found = [mate]
    if mate.socket is not None:
        for entry in _entries(wiring, mate.socket):
            found += _up(wiring, entry, seen)
    return found


def _entries(wiring: Wiring, socket: Port) -> list[PortId]:
    """Return the plugs through which a socket is fed."""
    if socket.part.battery_lead:
        return [port.id for port in wiring.by_part[socket.part.id] if port.is_plug]
    return [(socket.part.id, socket.passes)] if socket.passes else []


def _down(wiring: Wiring, plug: Port, seen: set[PortId]) -> list[Mate]:
    found: list[Mate] = []
    for port in wiring.by_part[plug.part.id]:
        fed = plug.part.battery_lead or port.passes == plug.name
        if port.is_plug or not fed or port.id in seen:
            continue
        seen.add(port.id)
        for mate in wiring.by_socket.get(port.id, ()):
            found += [mate, *_down(wiring, mate.plug, seen)]
    return found


def serving(wiring: Wiring, function: str) -> set[str]:
    """Return the parts that serve a function, from its socket to the motor and the pack."""
    found: set[str] = set()
    for port in wiring.ports.values():
        if not port.is_plug and _does(wiring, port) == function:
            found |= {port.part.id, *(plug.part.id for plug in wiring.downstream(port.id))}
    for part in wiring.plan.parts.values():
        if getattr(part, "moves", "") == function:
            found |= {part.id, *ends_of(wiring.upstream(part.id))}
    for name in sorted(found):
        if wiring.plan.parts[name].drives:
            found |= _drive(wiring, name)
    return found


def _does(wiring: Wiring, port: Port) -> str:
    if port.part.sets_outputs:
        return port.part.outputs.get(port.name, "")
    channel = wiring.plan.channels.get(port.name)
    return channel.function if port.part.is_radio and channel else ""


def _drive(wiring: Wiring, esc: str) -> set[str]:
    """Return what an ESC drives, what sits at it, and what feeds it."""
    motors = {mate.plug.part.id for mate in wiring.by_socket.get((esc, "motor"), ())}
    caps = {c.id for c in wiring.plan.of(Capacitor) if c.across == esc}
    return motors | caps | ends_of(_up(wiring, (esc, "supply"), set()))
