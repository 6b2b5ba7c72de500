"""What feeds a positive net, straight or through diodes, and at how many volts.

All of it is asked of the wiring with faults of polarity put right, so that such a fault is
reported once, by its own rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace

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


@dataclass(frozen=True, slots=True)
class Feed:
    """A source whose plus reaches a net; `drop` is what the diodes on the way take, V."""

    source: Link
    drop: float = 0.0


@dataclass(frozen=True, slots=True)
class Consumer:
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
    """Direct sources by net, and the diodes that lead into each net with their drop."""

    wiring: Wiring
    direct: dict[Contact, list[Link]]
    diodes: dict[Contact, list[tuple[Contact, float]]]

    @classmethod
    def of(cls, wiring: Wiring) -> Rails:
        """Sort the sources and diodes of a plan by net."""
        wiring = put_right(wiring)
        nets = wiring.nets
        direct: dict[Contact, list[Link]] = defaultdict(list)
        diodes: dict[Contact, list[tuple[Contact, float]]] = defaultdict(list)
        for link in wiring.links:
            if link.kind is LinkKind.SOURCE:
                direct[nets.root[link.b]].append(link)
            elif link.kind is LinkKind.DIODE:
                drop = _drop(wiring, link)
                diodes[nets.root[link.b]].append((nets.root[link.a], drop))
        return cls(wiring, dict(direct), dict(diodes))

    def boxes(self, contact: Contact) -> list[Part]:
        """Return the parts whose rail a contact's net is, by id."""
        net = self.wiring.nets.net(contact)
        names = {inner.part for inner in net if inner.port in {"rail", "logic"}}
        return [self.wiring.plan.parts[name] for name in sorted(names)]

    def feeds(self, contact: Contact) -> list[Feed]:
        """Return the sources of a contact's net, the straight ones first."""
        start = self.wiring.nets.root.get(contact, contact)
        found, seen, todo = [], {start}, [(start, 0.0)]
        while todo:
            net, drop = todo.pop(0)
            found += [Feed(link, drop) for link in self.direct.get(net, ())]
            for before, more in self.diodes.get(net, ()):
                if before not in seen:
                    seen.add(before)
                    todo.append((before, drop + more))
        return found


def _drop(wiring: Wiring, link: Link) -> float:
    """The least a diode takes: what counts when the volts may be too high."""
    part = wiring.plan.parts[link.owner]
    assert isinstance(part, Diode)
    low = from_catalogue(wiring.plan.catalogue, "diodes", part.kind, "drop-low")
    figure = low or from_catalogue(wiring.plan.catalogue, "diodes", part.kind, "drop")
    return figure.number if figure else 0.0


def consumers(wiring: Wiring) -> Iterator[Consumer]:
    """Yield the parts that take a supply, in file order; bare-motor legs take none of their own."""
    for part in wiring.plan.parts.values():
        inside = part.fed_at
        if not inside:
            continue
        plus = Contact(part.id, inside, "positive")
        minus = Contact(part.id, "rail" if inside == "logic" else inside, "negative")
        if plus in put_right(wiring).nets.root:
            yield Consumer(part, plus, minus)


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
        links = [_in_state(wiring, link, state) for link in wiring.links]
        other = Wiring(wiring.plan, wiring.ports, wiring.mates, links, wiring.roles)
        kept[state] = other.nets
    return kept[state]


def _in_state(wiring: Wiring, link: Link, state: str) -> Link:
    if link.kind is not LinkKind.SOURCE:
        return link
    figure = source_volts(wiring, wiring.plan.parts[link.owner], state)
    return replace(link, volts=figure.number) if figure else link


def volts_from(wiring: Wiring, feed: Feed, minus: Contact, state: str) -> float | None:
    """Return what a feed puts between a net and a minus; None when the minus is not tied to it."""
    low = nets_at(wiring, state).volts(minus, feed.source.a)
    figure = source_volts(wiring, wiring.plan.parts[feed.source.owner], state)
    if low is None or figure is None:
        return None
    return low + figure.number - feed.drop
