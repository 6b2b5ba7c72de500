"""What a part's supply passes on its way from the sources: its leads and plugs, and theirs."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from harness.documents.figures.solved import SolvedPlan
from harness.electrics.rows import LoadRow
from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.graph import currents, entries, feeding

PortKey = tuple[str, str]


def way_rows(solved: SolvedPlan, part: Part) -> list[LoadRow]:
    """Return the rows of a part and of what its supply passes, nearest to the part first."""
    ports, owners = passed(solved.outcome.wiring, part)
    found: list[tuple[int, int, LoadRow]] = []
    for row in solved.rows:
        if row.part == part.id:
            found.append((-1, 0, row))
        elif row.kind in {"plug", "lead"} and (row.part, row.port) in ports:
            found.append((ports[row.part, row.port], 1, row))
        elif row.kind in {"pack", "supply", "part", "rail"} and row.part in owners:
            found.append((owners[row.part], 2, row))
    return [row for *_, row in sorted(found, key=lambda one: one[:2])]


def held_rows(solved: SolvedPlan, part: Part, but: Iterable[LoadRow]) -> list[LoadRow]:
    """Return the rows of the plugs in a part's sockets that are not listed already."""
    seen = {(row.part, row.port) for row in but if row.kind == "plug"}
    by_plug = solved.outcome.wiring.by_plug
    found = []
    for row in solved.rows:
        mate = by_plug.get((row.part, row.port)) if row.kind == "plug" else None
        here = mate is not None and mate.socket is not None and mate.socket.part.id == part.id
        if here and (row.part, row.port) not in seen:
            found.append(row)
    return found


def passed(wiring: Wiring, part: Part) -> tuple[dict[PortKey, int], dict[str, int]]:
    """Return ports, and sources and boxes, that supply passes to a part, by place in order."""
    ports: dict[PortKey, int] = {}
    owners: dict[str, int] = {}
    todo, seen = deque(starts(wiring, part)), set[Contact]()
    while todo:
        start = todo.popleft()
        if start in seen:
            continue
        seen.add(start)
        for link in _between(wiring, start):
            for end in (link.a, link.b):
                ports.setdefault((end.part, end.port), len(ports))
                owners.setdefault(end.part, len(ports))
            if link.kind is LinkKind.SOURCE:
                below = feeding(wiring, link)
                pack = wiring.plan.parts[link.owner].holds_cells
                todo += [below] if below else [link.a] if pack else []
    return ports, owners


def starts(wiring: Wiring, part: Part) -> list[Contact]:
    """Return where supply arrives at a part: inside a device, or at the end of a lead."""
    if part.spins:
        mate = wiring.by_plug.get((part.id, "plug"))
        esc = mate.socket.part if mate is not None and mate.socket is not None else None
        return [Contact(esc.id, "battery", "positive")] if esc is not None and esc.drives else []
    if inside := entries(wiring, part):
        return inside
    return [port.pin("positive") for port in wiring.by_part[part.id] if "positive" in port.order]


def _between(wiring: Wiring, start: Contact) -> list[Link]:
    """Return the links on any way from a contact to any source, nearest first.

    What lies between two points of a network is the piece that stays whole when any one contact
    is taken out of it, once the two are joined (biconnected component).
    """
    import networkx as nx

    sources = [link for link in wiring.links if link.kind is LinkKind.SOURCE]
    far = _distances(wiring, start)
    reached = [link for link in sources if link.b in far]
    graph: nx.Graph[Contact] = nx.Graph()
    numbers: dict[frozenset[Contact], list[int]] = {}
    for number, link in enumerate(wiring.links):
        if link.a in far and link.b in far and link.kind in {*COPPER, LinkKind.DIODE}:
            graph.add_edge(link.a, link.b)
            numbers.setdefault(frozenset((link.a, link.b)), []).append(number)
    every = Contact("", "", "")
    graph.add_edges_from((link.b, every) for link in reached)
    graph.add_edge(start, every)
    for edges in nx.biconnected_component_edges(graph):
        found = {frozenset(edge) for edge in edges}
        if frozenset((start, every)) in found:
            on = [wiring.links[n] for edge in found for n in numbers.get(edge, ())]
            on += [link for link in reached if frozenset((link.b, every)) in found]
            return sorted(on, key=lambda link: _place(far, link))
    return []


def _place(far: dict[Contact, int], link: Link) -> tuple[int, int, Contact, Contact]:
    ends = [far[end] for end in (link.a, link.b) if end in far]
    return (min(ends), max(ends), link.a, link.b)


def _distances(wiring: Wiring, start: Contact) -> dict[Contact, int]:
    """Return how many links away each contact is along positive copper, against the current."""
    import networkx as nx

    if start not in currents(wiring):
        return {start: 0}
    return dict(nx.single_target_shortest_path_length(currents(wiring), start))
