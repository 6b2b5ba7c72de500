"""Where a part's supply comes from: the shortest way through the copper from each source."""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.mate import Mate

INSIDES = ("body", "rail", "logic", "battery")
"""The names of contacts inside parts at which supply arrives."""

Steps = Mapping[Contact, list[tuple[int, Contact]]]
"""From each contact: the number of a link, and the contact at its other end."""


def steps_of(links: Iterable[Link]) -> Steps:
    """Return the steps current can take: copper both ways, a diode from a to b only."""
    found: dict[Contact, list[tuple[int, Contact]]] = defaultdict(list)
    for number, link in enumerate(links):
        if link.kind in COPPER or link.kind is LinkKind.DIODE:
            found[link.a].append((number, link.b))
        if link.kind in COPPER:
            found[link.b].append((number, link.a))
    return found


@dataclass(frozen=True, slots=True)
class Way:
    """From a contact to the source that feeds it: the links, nearest to the contact first."""

    source: Link
    links: tuple[Link, ...]

    def mates(self, wiring: Wiring) -> list[Mate]:
        """Return the mated pairs along the way."""
        plugs = [(link.a.part, link.a.port) for link in self.links if link.kind is LinkKind.MATE]
        return [wiring.by_plug[plug] for plug in plugs]


class Supply:
    """The ways to the sources of one wiring; explored from each source once."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self.sources = [link for link in wiring.links if link.kind is LinkKind.SOURCE]
        self._steps: Steps = steps_of(wiring.links)
        self._before: dict[Contact, dict[Contact, tuple[int, Contact]]] = {}

    def ways(self, contact: Contact) -> list[Way]:
        """Return the shortest way from each source whose high end feeds a contact."""
        found = []
        for source in self.sources:
            before = self._explored(source.b)
            if contact == source.b or contact in before:
                links, here = [], contact
                while here != source.b:
                    number, here = before[here]
                    links.append(self.wiring.links[number])
                found.append(Way(source, tuple(links)))
        return sorted(found, key=lambda way: (len(way.links), way.source.owner))

    def _explored(self, start: Contact) -> dict[Contact, tuple[int, Contact]]:
        if start not in self._before:
            before: dict[Contact, tuple[int, Contact]] = {}
            todo = deque([start])
            while todo:
                here = todo.popleft()
                for number, there in self._steps.get(here, ()):
                    if there != start and there not in before:
                        before[there] = (number, here)
                        todo.append(there)
            self._before[start] = before
        return self._before[start]


def feeding(wiring: Wiring, source: Link) -> Contact | None:
    """Return the contact that a source is itself fed at: the battery side of ESC or regulator."""
    owner = wiring.plan.parts[source.owner]
    return Contact(owner.id, "battery", "positive") if (owner.drives or owner.regulates) else None


def entries(wiring: Wiring, part: Part) -> list[Contact]:
    """Return the contacts inside a part at which supply arrives."""
    known = wiring.nets.root
    inside = [Contact(part.id, name, "positive") for name in INSIDES]
    return [contact for contact in inside if contact in known]
