"""The wiring as networkx graphs, the shortest ways in them, and the ways from the sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product
from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.parts.part import Part
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from networkx import DiGraph, MultiGraph

    from harness.wiring.build import Mate, PortId, Wiring


def as_graph(wiring: Wiring) -> MultiGraph[Contact]:
    """Return contacts as nodes (`role`: signal, positive, negative or "") and links as edges.

    Edges carry `kind` (the name of a LinkKind), `owner` (a part's id), `colour` (IEC 60757),
    `volts` (of a SOURCE: `high` lies that much above the other end), `gauge` and `length` (mm) of
    a wire where the plan or the catalogue says so.
    """
    from networkx import MultiGraph  # takes a tenth of a second

    graph: MultiGraph[Contact] = MultiGraph()
    for link in wiring.links:
        for contact in (link.a, link.b):
            role = wiring.roles.get(contact)
            graph.add_node(contact, role=role.value if role else "")
        wire = link.wire
        graph.add_edge(
            link.a,
            link.b,
            kind=link.kind.name,
            owner=link.owner,
            colour=link.colour,
            volts=link.volts,
            high=link.b,
            gauge=wire.size.text if wire and wire.size else "",
            length=wire.length if wire else None,
        )
    return graph


def current_graph(links: Iterable[Link]) -> DiGraph[Contact]:
    """Return the steps that current can take: copper both ways, a diode from a to b only.

    Edges carry their `link`, the first where several join the same two contacts.
    """
    from networkx import DiGraph

    first: dict[tuple[Contact, Contact], Link] = {}
    for link in links:
        if link.kind in COPPER or link.kind is LinkKind.DIODE:
            first.setdefault((link.a, link.b), link)
        if link.kind in COPPER:
            first.setdefault((link.b, link.a), link)
    graph: DiGraph[Contact] = DiGraph()
    graph.add_edges_from((*ends, {"link": link}) for ends, link in first.items())
    return graph


@fact
def currents(wiring: Wiring) -> DiGraph[Contact]:
    """Return the steps that current can take in a wiring."""
    return current_graph(wiring.links)


class Tree:
    """The shortest ways that current takes from one contact to all that it reaches."""

    def __init__(self, graph: DiGraph[Contact], root: Contact) -> None:
        from networkx import bfs_predecessors

        self.root = root
        self._links = graph.edges
        self._before = dict(bfs_predecessors(graph, root)) if root in graph else {}

    def __contains__(self, contact: Contact) -> bool:
        return contact == self.root or contact in self._before

    def way(self, contact: Contact) -> Iterator[Link]:
        """Yield the links from a contact to the root; none where it is not reached."""
        while contact in self._before:
            before = self._before[contact]
            yield self._links[before, contact]["link"]
            contact = before


@fact
def joins(wiring: Wiring) -> DiGraph[PortId]:
    """Return the ports with a step from each socket to its plugs, and from a plug to what it feeds.

    A plug feeds the sockets of its part that pass its signal on.
    """
    from networkx import DiGraph

    graph: DiGraph[PortId] = DiGraph()
    graph.add_edges_from((m.socket.id, m.plug.id) for m in wiring.mates if m.socket is not None)
    passing = (port for port in wiring.ports.values() if port.passes)
    graph.add_edges_from(((port.part.id, port.passes), port.id) for port in passing)
    return graph


@fact
def runs(wiring: Wiring) -> DiGraph[PortId]:
    """Return every port, joined as by `joins` and through power leads and fuses too."""
    from networkx import DiGraph

    graph: DiGraph[PortId] = DiGraph()
    graph.add_nodes_from(wiring.ports)
    graph.add_edges_from(joins(wiring).edges)
    for part in filter(lambda part: part.battery_lead, wiring.plan.parts.values()):
        ports = [port for port in wiring.by_part[part.id] if part.hands_on(port.name)]
        plugs, sockets = ([p.id for p in ports if p.is_plug is plug] for plug in (True, False))
        graph.add_edges_from(product(plugs, sockets))
    return graph


def above(wiring: Wiring, plug: PortId) -> tuple[PortId, ...]:
    """Return the ports from a plug up to the device that drives it, the nearest first."""
    from networkx import bfs_edges

    kept, graph = _ups(wiring), joins(wiring)
    if plug not in kept:
        steps = bfs_edges(graph, plug, reverse=True) if plug in graph else ()
        kept[plug] = tuple(there for _, there in steps)
    return kept[plug]


@fact
def _ups(_: Wiring) -> dict[PortId, tuple[PortId, ...]]:
    """The ways up that were asked for so far: the rules ask for each a few times."""
    return {}


def below(wiring: Wiring, socket: PortId) -> Iterator[PortId]:
    """Yield the ports that a socket feeds, through plugs that fit, the nearest first."""
    from networkx import generic_bfs_edges

    graph = joins(wiring)

    def fitting(port: PortId) -> Iterator[PortId]:
        mates = wiring.by_plug
        return (there for there in graph[port] if there not in mates or mates[there].fits)

    steps = generic_bfs_edges(graph, socket, fitting) if socket in graph else ()
    return (there for _, there in steps)


@fact
def parts_down(wiring: Wiring) -> DiGraph[str]:
    """Return the parts with a step from each to those whose plugs go into its sockets."""
    return _parts(
        wiring,
        (
            (port.part.id, mate.plug.part.id)
            for port in wiring.ports.values()
            for mate in wiring.by_socket.get(port.id, ())
        ),
    )


@fact
def parts_up(wiring: Wiring) -> DiGraph[str]:
    """Return the parts with a step from each to those that its plugs are meant for."""
    mates = (wiring.by_plug[port] for port in wiring.ports if port in wiring.by_plug)
    return _parts(
        wiring, ((m.plug.part.id, m.join.part) for m in mates if m.join.part in wiring.plan.parts)
    )


def _parts(wiring: Wiring, steps: Iterable[tuple[str, str]]) -> DiGraph[str]:
    from networkx import DiGraph

    graph: DiGraph[str] = DiGraph()
    graph.add_nodes_from(wiring.plan.parts)
    graph.add_edges_from(steps)
    return graph


INSIDES = ("body", "rail", "logic", "battery")
"""The names of contacts inside parts at which supply arrives."""


@dataclass(frozen=True, slots=True)
class SupplyWay:
    """From a contact to the source that feeds it: the links, nearest to the contact first."""

    source: Link
    links: tuple[Link, ...]

    def mates(self, wiring: Wiring) -> list[Mate]:
        """Return the mated pairs along the way."""
        plugs = [(link.a.part, link.a.port) for link in self.links if link.kind is LinkKind.MATE]
        return [wiring.by_plug[plug] for plug in plugs]


@fact
def _from_sources(wiring: Wiring) -> list[tuple[Link, Tree]]:
    """Each source, and where the current from its high end gets to."""
    sources = [link for link in wiring.links if link.kind is LinkKind.SOURCE]
    return [(source, Tree(currents(wiring), source.b)) for source in sources]


def ways_to(wiring: Wiring, contact: Contact) -> list[SupplyWay]:
    """Return the shortest way from each source whose high end feeds a contact."""
    found = [
        SupplyWay(source, tuple(tree.way(contact)))
        for source, tree in _from_sources(wiring)
        if contact in tree
    ]
    return sorted(found, key=lambda way: (len(way.links), way.source.owner))


def feeding(wiring: Wiring, source: Link) -> Contact | None:
    """Return the contact that a source is itself fed at: the battery side of ESC or regulator."""
    owner = wiring.plan.parts[source.owner]
    return Contact(owner.id, "battery", "positive") if (owner.drives or owner.regulates) else None


def entries(wiring: Wiring, part: Part) -> list[Contact]:
    """Return the contacts inside a part at which supply arrives."""
    known = wiring.nets.root
    inside = [Contact(part.id, name, "positive") for name in INSIDES]
    return [contact for contact in inside if contact in known]
