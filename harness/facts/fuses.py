"""What each fuse protects: the wires that its current reaches as far as the next one."""

from __future__ import annotations

from harness.electrics.flow import Flow
from harness.facts.currents import alike, currents
from harness.parts.contacts import Contact, Form, Port
from harness.parts.fuse import Fuse
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.graph import current_graph


def _with_current(wiring: Wiring, flow: Flow) -> list[Port]:
    """Return the battery wires of known gauge that carry the very same current."""
    wires = [p for p in wiring.ports.values() if p.wire.size and p.form is Form.POWER]
    return [p for p in wires if flow.live and alike(currents(wiring).port(*p.id), flow)]


def protected(wiring: Wiring, fuse: Part) -> list[Port]:
    """Return the ports whose positive wires a fuse protects, those of its own current first.

    All that current through it can reach as far as the next fuse, every branch of it; and what
    lies before it with the very same current, where no other fuse stands in that.
    """
    reached = _reached(wiring)
    guarded = {p.id for name, ports in reached.items() if name != fuse.id for p in ports}
    before = _with_current(wiring, currents(wiring).port(fuse.id, "in-1"))
    alone = not any(p.id in guarded or p.part.id in reached.keys() - {fuse.id} for p in before)
    found = [p for p in wiring.by_part[fuse.id] if p.form is Form.POWER]
    found += [*(before if alone else ()), *reached[fuse.id]]
    return [p for p in {port.id: port for port in found}.values() if p.wire.size is not None]


@fact
def _reached(wiring: Wiring) -> dict[str, list[Port]]:
    """Return the ports whose wires lie behind each fuse, as far as the next one."""
    from networkx import bfs_edges

    sound, found = currents(wiring).wiring, dict[str, list[Port]]()
    fuses = [fuse.id for fuse in wiring.plan.of(Fuse)]
    ends = {p.id for p in wiring.plan.parts.values() if p.holds_cells}.union(fuses)
    for fuse in fuses:
        graph = current_graph(
            link
            for link in sound.links
            if link.owner not in ends and not {link.a.part, link.b.part} & (ends - {fuse})
        )
        start = Contact(fuse, "1", "positive")
        steps = bfs_edges(graph, start) if start in graph else ()
        wires = (link for a, b in steps if (link := graph.edges[a, b]["link"]).wire is not None)
        ports = ((end.part, end.port) for link in wires for end in (link.a, link.b))
        found[fuse] = [sound.ports[port] for port in ports if port in sound.ports]
    return found
