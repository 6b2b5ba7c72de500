"""Nets and potentials: what is one piece of copper, and the volts between two pieces.

A weighted union-find over copper (0 V) and sources (their volts). A source whose two ends are
joined already, at another difference than its own, closes a loop with nothing but copper in it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from harness.parts.contacts import COPPER, Contact, Link, LinkKind


@dataclass
class Potentials:
    """Weighted union-find: each contact knows its volts above its root."""

    parent: dict[Contact, Contact] = field(default_factory=dict)
    above: dict[Contact, float] = field(default_factory=dict)

    def find(self, contact: Contact) -> tuple[Contact, float]:
        """Return (root, volts above the root)."""
        first = self.parent.get(contact, contact)
        if first is contact or first == contact:
            return first, 0.0
        if self.parent.get(first, first) is first:  # nearly always, once paths are short
            return first, self.above[contact]
        path: list[Contact] = []
        node = contact
        while (up := self.parent.get(node, node)) != node:
            path.append(node)
            node = up
        volts = 0.0
        for step in reversed(path):
            volts += self.above[step]
            self.parent[step], self.above[step] = node, volts
        return node, volts

    def join(self, low: Contact, high: Contact, volts: float) -> float | None:
        """Put `high` at `volts` above `low`; return the surplus when they were joined before."""
        root_low, low_volts = self.find(low)
        root_high, high_volts = self.find(high)
        if root_low == root_high:
            return volts - (high_volts - low_volts)
        self.parent[root_high] = root_low
        self.above[root_high] = low_volts + volts - high_volts
        self.parent.setdefault(root_low, root_low)
        return None


@dataclass(frozen=True, slots=True)
class Loop:
    """A source link that closes a loop of copper and sources; `surplus` is its net volts."""

    source: Link
    surplus: float


@dataclass
class Nets:
    """The nets of a wiring: `root` of each contact, `members` of each root."""

    root: dict[Contact, Contact]
    members: dict[Contact, tuple[Contact, ...]]
    potentials: Potentials
    loops: tuple[Loop, ...]

    @classmethod
    def of(cls, links: Iterable[Link]) -> Nets:
        """Compute nets, then lay the sources on top."""
        copper = Potentials()
        for link in links:
            copper.parent.setdefault(link.a, link.a)
            copper.parent.setdefault(link.b, link.b)
            if link.kind in COPPER:
                copper.join(link.a, link.b, 0.0)
        root = {contact: copper.find(contact)[0] for contact in list(copper.parent)}
        members: dict[Contact, list[Contact]] = defaultdict(list)
        for contact, at in root.items():
            members[at].append(contact)
        loops = []
        for link in links:
            if link.kind is LinkKind.SOURCE:
                surplus = copper.join(link.a, link.b, link.volts)
                if surplus is not None:
                    loops.append(Loop(link, surplus))
        frozen = {at: tuple(found) for at, found in members.items()}
        return cls(root, frozen, copper, tuple(loops))

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
        root_low, at_low = self.potentials.find(low)
        root_high, at_high = self.potentials.find(high)
        return at_high - at_low if root_low == root_high else None
