"""What feeds a positive net, straight or through diodes, and at how many volts.

All of it is asked of the wiring with faults of polarity put right, so that such a fault is
reported once, by its own rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from harness.facts.poles import put_right
from harness.facts.stacks import pack_volts
from harness.parts.contacts import Contact, Link, LinkKind
from harness.parts.diode import Diode
from harness.parts.figure import Figure, from_catalogue, rule_figure
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.nets import Nets

if TYPE_CHECKING:
    from networkx import DiGraph


@dataclass(frozen=True, slots=True)
class RailFeed:
    """A source whose plus reaches a net; `drop` is what the diodes on the way take, V."""

    source: Link
    drop: float = 0.0


@dataclass(frozen=True, slots=True)
class FedPart:
    """A part that takes its supply from a rail, with both of its contacts."""

    part: Part
    positive: Contact
    negative: Contact


@fact
def rails(wiring: Wiring) -> Rails:
    """Return what feeds what."""
    return Rails.of(wiring)


@dataclass
class Rails:
    """Direct sources by net, and the diodes from net to net with their drop."""

    wiring: Wiring
    direct: dict[Contact, list[Link]]
    diodes: DiGraph[Contact]

    @classmethod
    def of(cls, wiring: Wiring) -> Rails:
        """Sort the sources and diodes of a plan by net."""
        from networkx import DiGraph

        wiring = put_right(wiring)
        root = wiring.nets.root
        direct: dict[Contact, list[Link]] = defaultdict(list)
        diodes: DiGraph[Contact] = DiGraph()
        for link in wiring.links:
            if link.kind is LinkKind.SOURCE:
                direct[root[link.b]].append(link)
            elif link.kind is LinkKind.DIODE and not diodes.has_edge(root[link.a], root[link.b]):
                diodes.add_edge(root[link.a], root[link.b], drop=_drop(wiring, link))
        return cls(wiring, dict(direct), diodes)

    def boxes(self, contact: Contact) -> list[Part]:
        """Return the parts whose rail a contact's net is, by id."""
        net = self.wiring.nets.net(contact)
        names = {inner.part for inner in net if inner.port in {"rail", "logic"}}
        return [self.wiring.plan.parts[name] for name in sorted(names)]

    def feeds(self, contact: Contact) -> list[RailFeed]:
        """Return the sources of a contact's net, the straight ones first."""
        from networkx import bfs_edges

        start = self.wiring.nets.root.get(contact, contact)
        drops = {start: 0.0}
        if start in self.diodes:
            for net, before in bfs_edges(self.diodes, start, reverse=True):
                drops[before] = drops[net] + self.diodes.edges[before, net]["drop"]
        return [
            RailFeed(link, drop) for net, drop in drops.items() for link in self.direct.get(net, ())
        ]


def _drop(wiring: Wiring, link: Link) -> float:
    """The least a diode takes: what counts when the volts may be too high."""
    part = wiring.plan.parts[link.owner]
    assert isinstance(part, Diode)
    low = from_catalogue(wiring.plan.catalogue, "diodes", part.kind, "drop-low")
    figure = low or from_catalogue(wiring.plan.catalogue, "diodes", part.kind, "drop")
    return figure.number if figure else 0.0


def consumers(wiring: Wiring) -> Iterator[FedPart]:
    """Yield the parts that take a supply, in file order; bare-motor legs take none of their own."""
    for part in wiring.plan.parts.values():
        inside = part.fed_at
        if not inside:
            continue
        plus = Contact(part.id, inside, "positive")
        minus = Contact(part.id, "rail" if inside == "logic" else inside, "negative")
        if plus in put_right(wiring).nets.root:
            yield FedPart(part, plus, minus)


def source_volts(wiring: Wiring, part: Part, state: str) -> Figure | None:
    """Return the volts of a pack in a state, or of a BEC.

    A BEC gives what is stated, unless it was metered and the meter says something else.
    """
    if isinstance(part, Pack):
        return pack_volts(wiring.plan, part, state)
    bec = part.makes
    if bec is None:
        return None
    word, number = "volts", bec.volts
    allowed = rule_figure(wiring.plan.catalogue, "metered", "allowance").number
    if bec.metered is not None and abs(bec.metered - bec.volts) > allowed * bec.volts:
        word, number = "metered", bec.metered
    return Figure(number, f"plan line {bec.spans[word].line}" if word in bec.spans else "plan")


@fact
def _states(wiring: Wiring) -> dict[str, Nets]:
    return {}


def nets_at(wiring: Wiring, state: str) -> Nets:
    """Return the potentials with every pack "full", "nominal" or "empty"."""
    kept = _states(wiring)
    if state not in kept:
        wiring = put_right(wiring)
        sources = (link for link in wiring.links if link.kind is LinkKind.SOURCE)
        kept[state] = wiring.nets.fed_by(_in_state(wiring, link, state) for link in sources)
    return kept[state]


def _in_state(wiring: Wiring, link: Link, state: str) -> Link:
    figure = source_volts(wiring, wiring.plan.parts[link.owner], state)
    return replace(link, volts=figure.number) if figure else link


def volts_from(wiring: Wiring, feed: RailFeed, minus: Contact, state: str) -> float | None:
    """Return what a feed puts between a net and a minus; None when the minus is not tied to it."""
    low = nets_at(wiring, state).volts(minus, feed.source.a)
    figure = source_volts(wiring, wiring.plan.parts[feed.source.owner], state)
    if low is None or figure is None:
        return None
    return low + figure.number - feed.drop
