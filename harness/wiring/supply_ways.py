"""Where a part's supply comes from: the shortest way through the copper from each source."""

from __future__ import annotations

from dataclasses import dataclass

from harness.parts.contacts import Contact, Link, LinkKind
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.graph import Tree, currents
from harness.wiring.mate import Mate

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
