"""Loops of nothing but copper and packs whose volts do not add up to nothing."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from harness.base.data import dataclass, replace
from harness.facts.fed import put_right
from harness.facts.poles import ROUNDED
from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.parts.pack import Pack
from harness.parts.part import Part, of_kind
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact
from harness.wiring.nets import pack_nets

if TYPE_CHECKING:
    from networkx import Graph


class LoopStep(NamedTuple):
    """One link of a loop, walked from `start`; `rise` is the volts gained on the way."""

    link: Link
    start: Contact
    rise: float


@dataclass(frozen=True, slots=True)
class Short:
    """One loop: its steps, the plugs in it, the packs that drive it and its volts."""

    steps: tuple[LoopStep, ...]
    mates: tuple[Mate, ...]
    packs: tuple[Pack, ...]
    taps: tuple[Part, ...]
    jumper: Part | None
    volts: float
    opposed: bool

    @property
    def kind(self) -> str:
        """The name of the rule that reports it."""
        if self.opposed:
            return "unlike-parallel-packs"
        if self.jumper is not None:
            return "jumper-short"
        if self.taps and all(tap.drives for tap in self.taps) and len(self.taps) > 1:
            return "escs-on-different-levels"
        return "upper-pack-tap" if self.taps else "shorted-loop"

    @property
    def pull(self) -> Mate | None:
        """The plug to pull: the tap's supply, the jumper's plug, else one that sits on a pack."""
        culprit = self.taps[0] if self.taps else self.jumper
        own = [
            m for m in self.mates if m.plug.part is culprit and m.plug.name in {"supply", "in-1"}
        ]
        jumped = [m for m in self.mates if m.socket is not None and m.socket.part is culprit]
        on_pack = [m for m in self.mates if m.socket and m.socket.part.holds_cells]
        return next(iter((*own, *jumped, *on_pack, *self.mates)), None)


@fact
def shorts(wiring: Wiring) -> tuple[Short, ...]:
    """Return every loop at fault, the shortest first; each is opened before the next is sought."""
    return tuple(_all(put_right(wiring)))


def _all(wiring: Wiring) -> Iterator[Short]:
    left = wiring
    while any(abs(loop.surplus) > ROUNDED for loop in pack_nets(left).loops):
        links = sorted(left.links, key=lambda k: (k.a, k.b))
        steps = shortest_loop(wiring, links)
        if not steps:
            return
        found = _described(wiring, steps)
        yield found
        opened = _opened(found)
        links = [link for link in links if link not in opened]
        left = replace(wiring, links=links)


def _opened(short: Short) -> set[Link]:
    """Return the links that go when the loop is opened."""
    pull = None if short.opposed else short.pull
    if pull is None:
        return {step.link for step in short.steps if step.link.kind is LinkKind.SOURCE}
    return {
        step.link
        for step in short.steps
        if step.link.kind is LinkKind.MATE and (step.link.a.part, step.link.a.port) == pull.plug.id
    }


def shortest_loop(wiring: Wiring, links: list[Link]) -> list[LoopStep]:
    """Return the loop with the fewest links whose volts do not cancel, or nothing.

    Such a loop passes a pole of a pack. From every pole a breadth-first tree is grown; the best
    loop is closed by one link outside a tree (loops whose volts cancel obey Thomassen's three-path
    condition, so this search misses none).
    """
    from networkx import Graph

    near: dict[Contact, list[LoopStep]] = defaultdict(list)
    graph: Graph[Contact] = Graph()
    poles = set()
    for link in links:
        volts = _rise(wiring, link)
        if volts is not None:
            near[link.a].append(LoopStep(link, link.a, volts))
            near[link.b].append(LoopStep(link, link.b, -volts))
            graph.add_edge(link.a, link.b)
            poles |= {link.a} if link.kind is LinkKind.SOURCE else set()
    loops = (loop for pole in sorted(poles) if (loop := _from(near, graph, pole)))
    return min(loops, key=len, default=[])


def _rise(wiring: Wiring, link: Link) -> float | None:
    if link.kind in COPPER:
        return 0.0
    pack = link.kind is LinkKind.SOURCE and wiring.plan.parts[link.owner].holds_cells
    return link.volts if pack else None


def _end(step: LoopStep) -> Contact:
    return step.link.b if step.start == step.link.a else step.link.a


def _from(
    near: Mapping[Contact, Sequence[LoopStep]], graph: Graph[Contact], pole: Contact
) -> list[LoopStep]:
    """Return the shortest loop with volts that a breadth-first tree from one pole closes."""
    from networkx import bfs_edges

    volts: dict[Contact, float] = {pole: 0.0}
    before: dict[Contact, LoopStep] = {}
    for here, there in bfs_edges(graph, pole):
        before[there] = next(step for step in near[here] if _end(step) == there)
        volts[there] = volts[here] + before[there].rise
    closing = (
        step
        for here in volts
        for step in near[here]
        if abs(volts[here] + step.rise - volts[_end(step)]) > ROUNDED
    )
    return min((_closed(before, step) for step in closing), key=len, default=[])


def _closed(before: Mapping[Contact, LoopStep], step: LoopStep) -> list[LoopStep]:
    """Join the ways to both ends of a link, less what they share."""
    out, back = _way(before, step.start), _way(before, _end(step))
    while out and back and out[0] == back[0]:
        out, back = out[1:], back[1:]
    home = [LoopStep(s.link, _end(s), -s.rise) for s in reversed(back)]
    return [*out, step, *home]


def _way(before: Mapping[Contact, LoopStep], contact: Contact) -> list[LoopStep]:
    way: list[LoopStep] = []
    while contact in before:
        way.append(before[contact])
        contact = before[contact].start
    return way[::-1]


def _described(wiring: Wiring, steps: list[LoopStep]) -> Short:
    """Turn a loop so that it leaves a pack by its plus, and name what lies on it."""
    parts = wiring.plan.parts
    if sum(step.rise for step in steps) < 0:
        steps = [LoopStep(s.link, _end(s), -s.rise) for s in reversed(steps)]
    first = next(n for n, step in enumerate(steps) if step.rise > 0)
    steps = steps[first:] + steps[:first]
    ports = dict.fromkeys((step.start.part, step.start.port) for step in steps)
    mates = [
        wiring.by_plug[s.link.a.part, s.link.a.port] for s in steps if s.link.kind is LinkKind.MATE
    ]
    names = list(dict.fromkeys(part for part, _ in ports))
    bridged = next((s.start.part for s in steps if s.start.pin == "bridge"), "")
    packs = [parts[s.link.owner] for s in steps if s.link.kind is LinkKind.SOURCE]
    return Short(
        tuple(steps),
        tuple({mate.plug.id: mate for mate in mates}.values()),
        tuple(of_kind(Pack, packs)),
        tuple(parts[n] for n in names if _is_tap(parts[n], {p for q, p in ports if q == n})),
        parts.get(bridged),
        sum(step.rise for step in steps),
        any(step.rise < 0 for step in steps),
    )


def _is_tap(part: Part, ports: set[str]) -> bool:
    """Whether the loop goes through a part from its battery side to its 3-pin side."""
    lead = any(port.startswith(("plug", "out")) for port in ports)
    return part.taps_battery and lead and not ports.isdisjoint({"supply", "in-1", "1"})
