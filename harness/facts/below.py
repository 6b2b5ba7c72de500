"""What hangs below a part: plugs fed through it, sockets with nothing in them, rings of parts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.base.rings import ring_in
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Wiring


def part_rings(wiring: Wiring) -> Iterator[list[Part]]:
    """Yield the parts of each ring, the first by name in front; no part is in two."""
    parts = wiring.plan.parts
    into: dict[str, list[str]] = {
        name: []
        for name, part in sorted(parts.items())
        if part.battery_lead or part.sequences or any(port.passes for port in wiring.by_part[name])
    }
    for mate in wiring.mates:
        if mate.plug.part.id in into and mate.socket is not None and mate.socket.part.id in into:
            into[mate.plug.part.id].append(mate.socket.part.id)
    while ring := ring_in(into)[:-1]:
        start = ring.index(min(ring))
        yield [parts[name] for name in ring[start:] + ring[:start]]
        into = {name: others for name, others in into.items() if name not in ring}
        into = {n: [o for o in others if o in into] for n, others in into.items()}


def behind(wiring: Wiring, part: str, plug: str = "plug") -> list[Port]:
    """Return the plugs that get what comes in by a plug of a part, nearest first."""
    through = [port for port in wiring.by_part[part] if port.passes == plug]
    return [below for port in through for below in wiring.downstream(port.id)]


def devices_of(plugs: Iterable[Port]) -> list[Part]:
    """Return the parts that some plugs belong to, each once, separate leads left out."""
    parts = {plug.part.id: plug.part for plug in plugs}
    return [part for part in parts.values() if not part.carries_signal]


def empty_sockets(wiring: Wiring, part: str) -> list[Port]:
    """Return the sockets of a part that nothing is plugged into."""
    ports = wiring.by_part[part]
    return [port for port in ports if not port.is_plug and not wiring.by_socket.get(port.id)]
