"""What eats the volts between a source and a part: each wire, contact, switch, diode and source.

Along any one way from the source to the part and back the differences of the solved volts add up
to what is missing at the part (Kirchhoff's law of voltages).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache, cached_property
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from harness.base.data import dataclass, replace
from harness.base.near import spoken
from harness.electrics.ohms import Assumed
from harness.electrics.outcome import Outcome
from harness.parts.contacts import COPPER, POLE_PINS, Contact, Link, LinkKind
from harness.parts.part import Part
from harness.wiring.live import TINY

if TYPE_CHECKING:
    from networkx import DiGraph

CARRIES = 1e-6
"""A; a link with less is no way of the current."""


@dataclass(frozen=True, slots=True)
class Eater:
    """One thing that takes volts: `kind` is wire, contacts, source, or the part itself (part).

    `port`: where it is; `assumed`: what nobody stated and had to be assumed.
    """

    kind: str
    part: Part
    what: str
    volts: float
    assumed: tuple[Assumed, ...] = ()
    port: str = ""

    @property
    def key(self) -> tuple[str, str, str]:
        """What tells it from others."""
        return self.kind, self.part.id, self.port


@dataclass(frozen=True, slots=True)
class Way:
    """The way from a source to a part in one case: `idle` V without load, and what eats of it.

    `stack`: packs in series with the source, whose volts add to it.
    """

    source: Part
    idle: float
    eaters: tuple[Eater, ...]
    stack: tuple[Part, ...] = ()

    @property
    def maker(self) -> str:
        """How a message names what gives its volts."""
        return spoken([part.maker for part in (self.source, *self.stack)])

    def but(self, told: Iterable[Eater]) -> float:
        """Return the volts that would arrive if some of them took nothing."""
        return self.idle - sum(e.volts for e in self.eaters) + sum(e.volts for e in told)


class Ways:
    """The ways of the current in one outcome, by draw."""

    def __init__(self, outcome: Outcome) -> None:
        self.outcome, self.wiring, self.net = outcome, outcome.wiring, outcome.net
        self._tree, self._weights = cache(self._sought), cache(self._lengths)
        self._to = cache(self._found)

    @cached_property
    def _number(self) -> dict[tuple[Contact, Contact], int]:
        """The number of a link by its ends, the way current can take it."""
        found: dict[tuple[Contact, Contact], int] = {}
        for number, link in enumerate(self.wiring.links):
            if link.kind in {*COPPER, LinkKind.DIODE, LinkKind.SOURCE}:
                found.setdefault((link.a, link.b), number)
            if link.kind in {*COPPER, LinkKind.SOURCE}:
                found.setdefault((link.b, link.a), number)
        return found

    @cached_property
    def _graphs(self) -> tuple[DiGraph[Contact], DiGraph[Contact]]:
        """The steps of a current out of a source and back to it, where it passes packs as well."""
        from networkx import DiGraph

        out: DiGraph[Contact] = DiGraph()
        back: DiGraph[Contact] = DiGraph()
        for ends, number in self._number.items():
            link = self.wiring.links[number]
            if link.kind is not LinkKind.SOURCE:
                out.add_edge(*ends, number=number)
            if link.kind is not LinkKind.SOURCE or link.owner in self.net.sources:
                back.add_edge(*ends, number=number)
        return out, back

    @cached_property
    def _pieces(self) -> dict[Contact, int]:
        """The number of the piece of network that a contact is in; ways do not leave it."""
        from networkx import Graph, connected_components

        pieces = connected_components(Graph(self._graphs[True].edges))
        return {contact: number for number, piece in enumerate(pieces) for contact in piece}

    @cached_property
    def _sources(self) -> dict[tuple[int | None, int | None], list[Link]]:
        """The solved sources by the pieces that their poles are in: positive, negative."""
        found: dict[tuple[int | None, int | None], list[Link]] = {}
        for link in self.wiring.links:
            if link.kind is LinkKind.SOURCE and self._solved(link):
                poles = self._pieces.get(link.b), self._pieces.get(link.a)
                found.setdefault(poles, []).append(link)
        return found

    def _lengths(self, number: int) -> list[int]:
        """Return how long a link is as a step, by draw: what carries current is preferred."""
        idle = np.abs(self.outcome.link(number)) < CARRIES
        return [1000 if idle_ and number in self.net.resistor else 1 for idle_ in idle]

    def _sought(self, root: Contact, draw: int, back: bool) -> dict[Contact, list[Contact]]:
        """Return from where to come to each contact that a pole of a source reaches.

        The ways are those that carry most links of the current.
        """
        from networkx import dijkstra_predecessor_and_distance

        if root not in (graph := self._graphs[back]):
            return {root: []}
        tree, _ = dijkstra_predecessor_and_distance(
            graph, root, weight=lambda a, b, step: self._weights(step["number"])[draw]
        )
        return tree

    def to(
        self, plus: Contact, minus: Contact, draw: int, fed_by: tuple[str, ...] = ()
    ) -> Way | None:
        """Return the way of the volts between two contacts from the source that gives most.

        `fed_by`: the supplies on the way already; of a ring of supplies each is named once.
        """
        return self._to(plus, minus, draw, fed_by)

    def _found(
        self, plus: Contact, minus: Contact, draw: int, fed_by: tuple[str, ...]
    ) -> Way | None:
        near = self._sources.get((self._pieces.get(plus), self._pieces.get(minus)), [])
        links = [link for link in near if link.owner not in fed_by]
        links.sort(
            key=lambda k: (round(float(self.outcome.given(k.owner)[draw]), 6), k.owner),
            reverse=True,
        )
        best = next(
            (
                k
                for k in links
                if plus in self._tree(k.b, draw, False) and minus in self._tree(k.a, draw, True)
            ),
            None,
        )
        if best is None:
            return None
        out = _way(self._tree(best.b, draw, False), plus)[::-1]
        back = _way(self._tree(best.a, draw, True), minus)
        steps = [*pairwise(out), *pairwise(back)]
        passed = [self.wiring.links[self._number[step]] for step in steps]
        stack = [link for link in passed if link.kind is LinkKind.SOURCE]
        sources = [self._source(link, draw, fed_by) for link in (best, *stack)]
        each = [e for eaters, _ in sources for e in eaters]
        each += [e for step in steps for e in self._step(*step, draw)]
        part, *others = [self.wiring.plan.parts[link.owner] for link in (best, *stack)]
        return Way(part, sum(idle for _, idle in sources), tuple(_added(each)), tuple(others))

    def _solved(self, link: Link) -> bool:
        return link.owner in self.net.sources or link.owner in self.net.converters

    def _source(self, link: Link, draw: int, fed_by: tuple[str, ...]) -> tuple[list[Eater], float]:
        """Return what a source keeps to itself, and its volts without load."""
        name, part = link.owner, self.wiring.plan.parts[link.owner]
        circuit = self.net.circuit
        if name in self.net.sources:
            volts = circuit.sources[self.net.sources[name]].volts
        else:
            volts = circuit.converters[self.net.converters[name]].volts
        idle = float(np.broadcast_to(volts, (circuit.draws,))[draw])
        own = idle - float(self.outcome.volts(link.b, link.a)[draw])
        before = self._starved(part, draw, own, fed_by)
        own -= sum(eater.volts for eater in before)
        what = f"the cells of {part.named()}" if part.holds_cells else part.maker
        return [Eater("source", part, what, own), *before], idle

    def _starved(self, part: Part, draw: int, own: float, fed_by: tuple[str, ...]) -> list[Eater]:
        """Return what eats the volts before a supply that has too few to make its own."""
        at = self.net.converters.get(part.id)
        if at is None or float(self.outcome.at_limit(part.id)[draw]):
            return []
        made = self.net.circuit.converters[at]
        ohms = float(np.broadcast_to(made.ohms, (self.net.circuit.draws,))[draw])
        lacks = own - ohms * float(self.outcome.given(part.id)[draw])
        if lacks < 1e-3:
            return []
        plus, minus = (Contact(part.id, "battery", pin) for pin in POLE_PINS)
        way = self.to(plus, minus, draw, (*fed_by, part.id))
        eaten = sum(e.volts for e in way.eaters) if way else 0.0
        if way is None or eaten <= TINY:
            return []
        share = min(1.0, lacks / eaten)
        return [replace(eater, volts=eater.volts * share) for eater in way.eaters]

    def _step(self, one: Contact, other: Contact, draw: int) -> Iterator[Eater]:
        """Yield what a link takes on the way from one of its ends to the other."""
        number = self._number[one, other]
        link, ohms = self.wiring.links[number], self.net.ohms.get(number)
        volts = float(self.outcome.volts(one, other)[draw])
        part = self.wiring.plan.parts[link.owner]
        if link.kind is LinkKind.DIODE:
            yield Eater("part", part, part.named(), volts)
        elif ohms is not None and link.kind is LinkKind.MATE:
            mate = self.wiring.by_plug[link.a.part, link.a.port]
            where = mate.socket.short if mate.socket else ""
            what = f"the contacts of {mate.plug.short} in {where}"
            yield Eater("contacts", part, what, volts, ohms.assumed, mate.plug.name)
        elif ohms is not None and link.kind is LinkKind.INSIDE:
            yield Eater("contacts", part, f"the contacts of {part.named()}", volts)
        elif ohms is not None:
            share = ohms.copper / ohms.total
            port = link.a.port if (part.id, link.a.port) in self.wiring.ports else link.b.port
            wire = self._wire(link)
            yield Eater("wire", part, wire, volts * share, ohms.assumed, port)
            yield Eater("part", part, part.named(), volts * (1 - share))

    def _wire(self, link: Link) -> str:
        part = self.wiring.plan.parts[link.owner]
        size, length = (link.wire.size, link.wire.length) if link.wire else (None, None)
        long = "" if length is None else f"{length:.4g} mm of "
        gauge = f"{size.text} " if size is not None and size.text else ""
        return f"{long}{gauge}wire of {part.named()}"


def _way(tree: dict[Contact, list[Contact]], end: Contact) -> list[Contact]:
    """Return the contacts on the way from an end to the root of a tree."""
    way = [end]
    while tree[way[-1]]:
        way.append(tree[way[-1]][0])
    return way


def _added(each: Iterable[Eater]) -> list[Eater]:
    """Add up what belongs together (there and back), the biggest first."""
    sums: dict[tuple[str, str, str], Eater] = {}
    for eater in each:
        old = sums.get(eater.key)
        sums[eater.key] = eater if old is None else replace(old, volts=old.volts + eater.volts)
    some = [eater for eater in sums.values() if abs(eater.volts) > TINY]
    return sorted(some, key=lambda e: (-round(e.volts, 6), e.what))
