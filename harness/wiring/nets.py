"""Nets and potentials: what is one piece of copper, and the volts between two pieces.

Nets are the parts of the graph of copper that hang together. Laid on top of them, sources join
nets at their volts; a source whose two ends are joined already closes a loop with nothing but
copper and sources in it, and what is left over of its volts there is its surplus.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from harness.base.data import dataclass, field
from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from harness.wiring.build import Wiring


@dataclass(frozen=True, slots=True)
class Loop:
    """A source link that closes a loop of copper and sources; `surplus` is its net volts."""

    source: Link
    surplus: float


@dataclass
class Nets:
    """The nets of a wiring: `root` of each contact, `members` of each root.

    `above`: what hangs together by sources, and the volts of a net above the foot of it.
    """

    root: Mapping[Contact, Contact]
    members: Mapping[Contact, tuple[Contact, ...]]
    above: Mapping[Contact, tuple[Contact, float]] = field(default_factory=dict)
    loops: tuple[Loop, ...] = ()

    @classmethod
    def of(cls, links: Sequence[Link]) -> Nets:
        """Compute nets, then lay the sources on top."""
        import networkx as nx

        graph: nx.Graph[Contact] = nx.Graph()
        graph.add_nodes_from(end for link in links for end in (link.a, link.b))
        graph.add_edges_from((link.a, link.b) for link in links if link.kind in COPPER)
        at = {c: n for n, net in enumerate(nx.connected_components(graph)) for c in net}
        members: dict[int, list[Contact]] = defaultdict(list)
        for contact in graph:
            members[at[contact]].append(contact)
        bare = cls(
            {contact: members[at[contact]][0] for contact in graph},
            {net[0]: tuple(net) for net in members.values()},
        )
        return bare.fed_by(link for link in links if link.kind is LinkKind.SOURCE)

    def fed_by(self, sources: Iterable[Link]) -> Nets:
        """Return the same copper with these sources and no others.

        Those that join two islands, first come first, are a spanning forest; each other one
        closes a loop with some of them.
        """
        import networkx as nx

        every = list(sources)
        graph: nx.MultiGraph[Contact] = nx.MultiGraph()
        for number, link in enumerate(every):
            graph.add_edge(self.root[link.a], self.root[link.b], number, weight=number)
        kept = {number for *_, number in nx.minimum_spanning_edges(graph, keys=True, data=False)}
        joining = [link for number, link in enumerate(every) if number in kept]
        nets = Nets(self.root, self.members, self._levels(joining))
        nets.loops = tuple(
            Loop(link, link.volts - (nets.volts(link.a, link.b) or 0.0))
            for number, link in enumerate(every)
            if number not in kept
        )
        return nets

    def _levels(self, joining: Sequence[Link]) -> dict[Contact, tuple[Contact, float]]:
        """Return the volts of each net above the foot of its tree of sources."""
        import networkx as nx

        tree: nx.Graph[Contact] = nx.Graph()
        for link in joining:
            low, high = self.root[link.a], self.root[link.b]
            tree.add_edge(low, high, high=high, volts=link.volts)
        lows = dict.fromkeys(self.root[link.a] for link in joining)
        highs = {self.root[link.b] for link in joining}
        found: dict[Contact, tuple[Contact, float]] = {}
        for foot in sorted(lows, key=highs.__contains__):  # from the lowest up, where there is one
            if foot not in found:
                found[foot] = foot, 0.0
                for near, far in nx.bfs_edges(tree, foot):
                    edge = tree.edges[near, far]
                    volts = edge["volts"] if edge["high"] == far else -edge["volts"]
                    found[far] = foot, found[near][1] + volts
        return found

    def same(self, one: Contact, other: Contact) -> bool:
        """Say whether two contacts are one piece of copper."""
        return self.root.get(one, one) == self.root.get(other, other)

    def net(self, contact: Contact) -> tuple[Contact, ...]:
        """Return every contact on a net."""
        return self.members.get(self.root.get(contact, contact), (contact,))

    def volts(self, low: Contact, high: Contact) -> float | None:
        """Return the volts of `high` above `low`, or None when nothing ties them together."""
        if low not in self.root or high not in self.root:
            return None
        one, other = self.root[low], self.root[high]
        foot, at_low = self.above.get(one, (one, 0.0))
        other_foot, at_high = self.above.get(other, (other, 0.0))
        return at_high - at_low if foot == other_foot else None


def _packs(wiring: Wiring) -> list[Link]:
    sources = (link for link in wiring.links if link.kind is LinkKind.SOURCE)
    packs = (link for link in sources if wiring.plan.parts[link.owner].holds_cells)
    return sorted(packs, key=lambda link: link.owner)


@fact
def pack_nets(wiring: Wiring) -> Nets:
    """Return nets and potentials with the packs as the only sources, by id."""
    return wiring.nets.fed_by(_packs(wiring))


@fact
def supply_nets(wiring: Wiring) -> Nets:
    """Return nets and potentials by packs, and by the supplies of a few volts where no pack is."""
    packs = _packs(wiring)
    made = (link for link in wiring.links if link.kind is LinkKind.SOURCE and link not in packs)
    return wiring.nets.fed_by([*packs, *made])
