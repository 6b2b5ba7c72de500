"""What an open place takes away unseen: a supply in reserve, a second way, a sensor's reading.

Nothing goes dead by it. Each place is asked with all others of its kind closed, so that two in one
lead are both told.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from harness.base.data import dataclass
from harness.facts.fed import Need, in_order, needs, put_right
from harness.facts.ground import ground_breaks
from harness.parts.contacts import COPPER, POLE_PINS, Contact, Link, LinkKind
from harness.parts.part import Part
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact
from harness.wiring.graph import Tree, current_graph
from harness.wiring.live import live, unsaid
from harness.wiring.opens import Open, closed


@dataclass(frozen=True, slots=True)
class Unseen:
    """One open place and what is lost by it.

    `lost` can no longer feed `fed`, and `left` still do. `beside`: the plugs of the way by which
    the current goes instead, if no source is lost. `unread`: sensors of which nothing is read.
    """

    place: Open
    lost: tuple[Part, ...]
    fed: tuple[Part, ...]
    left: tuple[Part, ...]
    beside: tuple[Mate, ...]
    unread: tuple[Part, ...]


@fact
def unseen(wiring: Wiring) -> tuple[Unseen, ...]:
    """Return the open places that other rules do not tell and by which something is lost.

    Supplies are parted by pins that are pulled: of reserves only what was found open is told.
    """
    right, ground = put_right(wiring), [b.place for b in ground_breaks(wiring) if b.devices]
    untold = [place for place in right.opens if place not in ground]
    found = [place for place in untold if place.found is not None]
    each = (_lost(right, place, [p for p in found if p is not place]) for place in untold)
    return tuple(one for one in each if one.lost or one.beside or one.unread)


def _lost(right: Wiring, place: Open, others: list[Open]) -> Unseen:
    now, whole = closed(right, others), closed(right, [*others, place])
    unread = in_order(
        n.part for n in _readings(whole) if n.met(live(whole)) and not n.met(live(now))
    )
    lost, fed, left = set[str](), list[Part](), set[str]()
    for need in needs(right) if place.found is not None else ():
        if need.poles is not None:
            before, after = _feeders(whole, need.poles), _feeders(now, need.poles)
            if before - after:
                lost, left = lost | before - after, left | _feeders(right, need.poles)
                fed.append(need.part)
    beside = () if lost or unread or place.found is None else tuple(_beside(now, place.links))
    parts = right.plan.parts
    named = [tuple(parts[name] for name in sorted(names)) for names in (lost, left)]
    return Unseen(place, named[0], tuple(in_order(fed)), named[1], beside, tuple(unread))


def _readings(wiring: Wiring) -> Iterator[Need]:
    """What a sensor needs: the volts at its tap, and its data wire through to a socket."""
    for part in wiring.plan.parts.values():
        tap = [Contact(part.id, "tap", pin) for pin in POLE_PINS[::-1]]
        if tap[1] in wiring.nets.root and not unsaid(wiring, part):
            yield Need(part, "reading", (tap[0], tap[1]))
        own, socket = Contact(part.id, "body", "signal"), wiring.driver(part.id)
        if own in wiring.roles and not part.obeys and socket is not None:
            yield Need(part, "reading", ways=((own, (socket.pin("signal"),)),))


def _feeders(wiring: Wiring, poles: tuple[Contact, Contact]) -> set[str]:
    """Return the sources from whose plus current gets to a plus, and back to their minus."""
    from networkx import DiGraph, ancestors, descendants

    root = wiring.nets.root
    ways: DiGraph[Contact] = DiGraph(
        (root[k.a], root[k.b]) for k in wiring.links if k.kind in {LinkKind.SOURCE, LinkKind.DIODE}
    )
    minus, plus = (root[pole] for pole in poles)
    ways.add_nodes_from((minus, plus))
    up, down = {plus, *ancestors(ways, plus)}, {minus, *descendants(ways, minus)}
    return {
        k.owner
        for k in wiring.links
        if k.kind is LinkKind.SOURCE
        and k.owner in live(wiring).giving
        and root[k.b] in up
        and root[k.a] in down
    }


def _beside(wiring: Wiring, links: Collection[Link]) -> Iterator[Mate]:
    """Yield the plugs on the copper that joins the ends of what is open, which is a second way."""
    copper = current_graph(k for k in wiring.links if k.kind in COPPER)
    for link in links:
        if link.a.pin in POLE_PINS and wiring.nets.same(link.a, link.b):
            way = Tree(copper, link.a).way(link.b)
            plugs = {k.a[:2] for k in way if k.kind is LinkKind.MATE}
            mates = (wiring.by_plug[plug] for plug in sorted(plugs))
            yield from (mate for mate in mates if not mate.open)
