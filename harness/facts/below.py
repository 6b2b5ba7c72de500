"""What hangs below a part: the plugs fed through it, and the sockets nothing is plugged into."""

from __future__ import annotations

from collections.abc import Iterable

from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Wiring


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
