"""What joins the two sides of an isolated part again."""

from __future__ import annotations

from harness.facts.poles import put_right
from harness.parts.contacts import COPPER, Contact
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.graph import Tree, current_graph


def bridges(wiring: Wiring, part: Part) -> list[str]:
    """Return every part whose inside ties the battery side of a part to its signal side."""
    found: list[str] = []
    while (bridge := _bridge(wiring, part, found)) is not None and bridge.id not in found:
        found.append(bridge.id)
    return found


def _bridge(wiring: Wiring, part: Part, without: list[str]) -> Part | None:
    """Return the nearest part whose inside ties both sides together, those left out aside."""
    one, other = (Contact(part.id, inside, "negative") for inside in ("battery", "body"))
    wiring = put_right(wiring)
    if not wiring.nets.same(one, other):
        return None
    links = (k for k in wiring.links if k.kind in COPPER and k.owner not in without)
    way = list(Tree(current_graph(links), one).way(other))
    sides = {"battery", "tap", "supply"}
    crossing = [k.owner for k in way if len({k.a.port, k.b.port} & sides) == 1]
    inside = [name for name in crossing if name != part.id and name in wiring.plan.parts]
    tied = [
        n
        for n in inside
        if {"plug", "body", "rail"} & {c.port for k in way if k.owner == n for c in (k.a, k.b)}
    ]
    return wiring.plan.parts[tied[0]] if tied else None
