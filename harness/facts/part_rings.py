"""Parts in line that are plugged into one another in a ring."""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.rings import ring_in
from harness.parts.part import Part
from harness.wiring.build import Wiring


def part_rings(wiring: Wiring) -> Iterator[list[Part]]:
    """Yield the parts of each ring, the first by name in front; no part is in two."""
    parts = wiring.plan.parts
    into: dict[str, list[str]] = {
        name: []
        for name, part in sorted(parts.items())
        if part.in_line or part.relays or part.sequences
    }
    for mate in wiring.mates:
        if mate.plug.part.id in into and mate.socket is not None and mate.socket.part.id in into:
            into[mate.plug.part.id].append(mate.socket.part.id)
    while ring := ring_in(into)[:-1]:
        start = ring.index(min(ring))
        yield [parts[name] for name in ring[start:] + ring[:start]]
        into = {name: others for name, others in into.items() if name not in ring}
        into = {n: [o for o in others if o in into] for n, others in into.items()}
