"""Ways through the copper from one contact: a tree, and the blocks where ways run side by side.

In a block every contact can be reached from its entry by at least two ways that share no link;
simple sums let such ways carry equal parts.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from harness.wiring.model import COPPER, Contact, Link, LinkKind

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


@dataclass
class Reach:
    """Everything current can get to from `start`.

    `before` holds, nearest first, the step by which each contact was reached.
    """

    steps: Steps
    start: Contact
    before: dict[Contact, tuple[int, Contact]] = field(default_factory=dict)
    _entry: dict[Contact, Contact] = field(default_factory=dict)

    @classmethod
    def of(cls, steps: Steps, start: Contact) -> Reach:
        """Explore from `start`."""
        reach = cls(steps, start)
        todo, seen = deque([start]), {start}
        while todo:
            here = todo.popleft()
            for number, there in steps.get(here, ()):
                if there not in seen:
                    seen.add(there)
                    reach.before[there] = (number, here)
                    todo.append(there)
        reach._find_blocks()
        return reach

    def __contains__(self, contact: Contact) -> bool:
        return contact == self.start or contact in self.before

    def __iter__(self) -> Iterator[Contact]:
        yield self.start
        yield from self.before

    def entry(self, contact: Contact) -> Contact:
        """Return the contact through which the block of `contact` is entered: itself, mostly."""
        path = []
        while (up := self._entry.get(contact, contact)) != contact:
            path.append(contact)
            contact = up
        for step in path:
            self._entry[step] = contact
        return contact

    def _find_blocks(self) -> None:
        """A link outside the tree closes a loop: melt the tree path between its ends."""
        depth = {self.start: 0}
        for contact, (_, up) in self.before.items():
            depth[contact] = depth[up] + 1
        tree = {number for number, _ in self.before.values()}
        for here in depth:
            for number, there in self.steps.get(here, ()):
                if number not in tree:
                    self._melt(here, there, depth)

    def _melt(self, one: Contact, other: Contact, depth: Mapping[Contact, int]) -> None:
        one, other = self.entry(one), self.entry(other)
        while one != other:
            if depth[one] < depth[other]:
                one, other = other, one
            self._entry[one] = self.before[one][1]
            one = self.entry(one)

    def ways(self, contact: Contact) -> list[list[int]]:
        """Return ways, sharing no link, from the entry of a contact's block to the contact."""
        entry, used, found = self.entry(contact), set[int](), list[list[int]]()
        while way := self._way(entry, contact, used):
            found.append(way)
            used.update(way)
        return found

    def _way(self, entry: Contact, goal: Contact, used: set[int]) -> list[int]:
        """Return the shortest way inside the block that uses none of the used links."""
        before: dict[Contact, tuple[int, Contact]] = {}
        todo = deque([entry])
        while todo and goal not in before:
            here = todo.popleft()
            for number, there in self.steps.get(here, ()):
                fresh = there != entry and there not in before and number not in used
                if fresh and self.entry(there) == entry:
                    before[there] = (number, here)
                    todo.append(there)
        way: list[int] = []
        while goal != entry and goal in before:
            number, goal = before[goal]
            way.append(number)
        return way
