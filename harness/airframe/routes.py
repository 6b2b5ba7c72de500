"""The ways of leads through the airframe: places as points, joined by straight lines and ducts.

Places that lie `in` or `joins` one another are joined by the straight line between them; a duct
between two places takes the place of that line, with its own length where it states one. A lead
passes the points of the places on its way; at either end it goes straight to a part that has a
position of its own. Lengths in mm.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import dist
from typing import TYPE_CHECKING

from harness.base.data import dataclass, replace
from harness.parts.part import Part
from harness.parts.spot import Spot
from harness.plan.airframe import Place
from harness.plan.plan import Plan

if TYPE_CHECKING:
    from networkx import Graph

Point = tuple[float, float, float]
"""mm aft of the nose, to the right of the centre line (left is below 0), up."""
DIGITS = 6
"""Lengths are compared to a nanometre, so that two ways alike are alike on every machine."""
SCALE = 10**6
"""The same as a factor."""
MOST_LEGS = 10**6
"""More legs than any way has."""


@dataclass(frozen=True, slots=True)
class RouteLeg:
    """One stretch of a way: from a place to a neighbour, or inside one (`one` is `other`).

    `hidden`: from where to where, in mm from its beginning, it lies inside its duct.
    """

    one: str
    other: str
    length: float
    duct: str = ""
    straight: bool = True
    hidden: tuple[float, float] | None = None

    @property
    def inside(self) -> bool:
        """Say whether it stays in one place."""
        return self.one == self.other

    def turned(self) -> RouteLeg:
        """Return it the other way round."""
        hidden = self.hidden and (self.length - self.hidden[1], self.length - self.hidden[0])
        return replace(self, one=self.other, other=self.one, hidden=hidden)


@dataclass(frozen=True, slots=True)
class RouteWay:
    """The way of a run, from its device to the part whose socket it ends in.

    `joints`: places that come off where it passes, whether for good or not is `removable`;
    `hatches`: opening covers it goes out from under.
    """

    places: tuple[str, ...]
    legs: tuple[RouteLeg, ...]
    joints: tuple[str, ...]
    removable: tuple[str, ...]
    hatches: tuple[str, ...]

    @property
    def length(self) -> float:
        """From end to end, without any slack."""
        return round(sum(leg.length for leg in self.legs), DIGITS)


def signed(spot: Spot, side: str) -> Point:
    """Return a position with its side: to the left is below 0."""
    return (spot.aft, -spot.out if side == "left" else spot.out, spot.up)


class Airframe:
    """The places of a plan as graphs: `near` of all lines between them, `ways` of known legs."""

    def __init__(self, plan: Plan) -> None:
        import networkx as nx

        self.plan = plan
        self.points = {p.id: at for p in plan.places.values() if (at := self._point(p))}
        self.near: nx.Graph[str] = nx.Graph()
        self.ways: nx.DiGraph[str] = nx.DiGraph()
        self.opening: dict[str, list[str]] = defaultdict(list)
        for cover in plan.covers.values():
            for name in cover.over if cover.kind != "for-good" else ():
                self.opening[name].append(cover.id)
        for leg in self._legs():
            self._link(leg)

    def _point(self, place: Place) -> Point | None:
        sides = (self.plan.places[name].side for name in self.plan.holds(place.id))
        return signed(place.spot, next(filter(None, sides), "")) if place.spot else None

    def point(self, part: Part) -> Point | None:
        """Return where a part sits: its own position, else its place's."""
        own = signed(part.spot, self.plan.side(part)) if part.spot else None
        return own or self.points.get(part.place)

    def _legs(self) -> Iterator[RouteLeg]:
        """Yield every line between two places, those without a known length as NaN."""
        pairs = [d.between for d in self.plan.ducts.values()]
        ducted = {frozenset(pair) for pair in pairs}
        for duct in self.plan.ducts.values():
            one, other = duct.between
            length = duct.length if duct.length is not None else self._straight(one, other)
            yield RouteLeg(one, other, length, duct.id, duct.length is None, (0.0, length))
        for place in self.plan.places.values():
            for other in filter(None, (place.within, place.joins)):
                if frozenset((place.id, other)) not in ducted:
                    yield RouteLeg(place.id, other, self._straight(place.id, other))

    def _straight(self, one: str, other: str) -> float:
        a, b = self.points.get(one), self.points.get(other)
        return dist(a, b) if a and b else float("nan")

    def _link(self, leg: RouteLeg) -> None:
        self.near.add_edge(leg.one, leg.other)
        before = self._leg(leg.one, leg.other)
        if leg.length == leg.length and (before is None or leg.length < before.length):
            self._add(leg.one, leg.other, leg)

    def _leg(self, one: str, other: str) -> RouteLeg | None:
        edge = self.ways.get_edge_data(one, other)
        return edge["leg"] if edge else None

    def _add(self, one: str, other: str, leg: RouteLeg) -> None:
        """Join two nodes by a leg, with its length in whole numbers and a one for the leg itself.

        So sums are exact, and of two ways alike the one with fewer legs is the shorter.
        """
        weight = round(leg.length * SCALE) * MOST_LEGS + 1
        self.ways.add_edge(one, other, leg=leg, weight=weight)
        self.ways.add_edge(other, one, leg=leg.turned(), weight=weight)

    def way(self, start: Part, end: Part, via: Sequence[str] = ()) -> RouteWay | None:
        """Return the shortest way between two parts that passes `via`, or None: not known.

        `via` may be told from either end: the shorter is meant.
        """
        found = [
            legs
            for order in dict.fromkeys((tuple(via), tuple(reversed(via))))
            if (legs := self._by(start, end, order)) is not None
        ]
        if not found:
            return None
        return self._told(start, min(found, key=lambda legs: round(_sum(legs), DIGITS)))

    def _by(self, start: Part, end: Part, via: Sequence[str]) -> tuple[RouteLeg, ...] | None:
        stops = [name for name, after in pairwise((*via, "")) if name != after]
        if stops and stops[0] == start.place:
            stops = stops[1:]
        if stops and stops[-1] == end.place:
            stops = stops[:-1]
        ends: list[Part | str] = [start, *stops, end]
        legs: list[RouteLeg] = []
        for one, other in pairwise(ends):
            found = self._shortest(one, other)
            if found is None:
                return None
            legs += found
        return tuple(legs)

    def _shortest(self, start: Part | str, end: Part | str) -> tuple[RouteLeg, ...] | None:
        """The shortest way; among ways alike the one with fewer legs, then by name."""
        if self._home(start) == self._home(end):
            return self._within(start, end)
        try:
            first, last = self._hook(start, "the start"), self._hook(end, "the end")
            if first is None or last is None:
                return None
            if first != self._home(start) and last != self._home(end):
                self._across(start, end, (first, last))
            path = _least(self.ways, first, last)
            return tuple(self.ways.edges[pair]["leg"] for pair in pairwise(path)) or None
        finally:
            self.ways.remove_nodes_from(("the start", "the end"))

    @staticmethod
    def _home(end: Part | str) -> str:
        return end if isinstance(end, str) else end.place

    def _within(self, start: Part | str, end: Part | str) -> tuple[RouteLeg, ...] | None:
        home = self._home(start)
        own = [not isinstance(e, str) and e.spot is not None for e in (start, end)]
        if not any(own):
            return (RouteLeg(home, home, 0.0),) if self.stated(home) else None
        a, b = (self.points.get(e) if isinstance(e, str) else self.point(e) for e in (start, end))
        return (RouteLeg(home, home, dist(a, b)),) if a and b and home else None

    def _hook(self, end: Part | str, name: str) -> str | None:
        """Add a part with a position of its own to the graph; return the name of its node."""
        home = self._home(end)
        if isinstance(end, str) or end.spot is None:
            return home or None
        at, centre = self.point(end), self.points.get(home)
        if at is None or centre is None:
            return None
        self._add(name, home, RouteLeg(home, home, dist(at, centre)))
        for other, edge in self.ways[home].items():
            leg = edge["leg"]
            if leg.straight and other in self.points:
                length = dist(at, self.points[other])
                hidden = leg.hidden and (max(0.0, length - leg.length), length)
                self._add(name, other, RouteLeg(home, other, length, leg.duct, hidden=hidden))
        return name

    def _across(self, start: Part | str, end: Part | str, names: tuple[str, str]) -> None:
        """Join two parts in neighbouring places by the straight line between them."""
        one, other = self._home(start), self._home(end)
        leg = self._leg(one, other)
        if leg is None or not leg.straight or isinstance(start, str) or isinstance(end, str):
            return
        a, b = self.point(start), self.point(end)
        if a and b:
            length = dist(a, b)
            spare = max(0.0, length - leg.length) / 2
            hidden = leg.hidden and (spare, length - spare)
            self._add(*names, RouteLeg(one, other, length, leg.duct, hidden=hidden))

    def _told(self, start: Part, legs: tuple[RouteLeg, ...]) -> RouteWay:
        places = (start.place, *(leg.other for leg in legs if not leg.inside))
        crossed = [self.plan.crosses(a, b) for a, b in pairwise(places)]
        joints = tuple(dict.fromkeys(name for names in crossed for name in names))
        removable = tuple(j for j in joints if self.plan.places[j].joined != "for-good")
        return RouteWay(places, legs, joints, removable, tuple(self._hatches(places)))

    def _hatches(self, places: Iterable[str]) -> Iterator[str]:
        """Yield the opening covers over some places of a way, but not over all of it."""
        passed = dict.fromkeys(places)
        for cover in dict.fromkeys(name for place in passed for name in self.opening[place]):
            if set(passed) - set(self.plan.covers[cover].over):
                yield cover

    def stated(self, place: str) -> bool:
        """Say whether the plan states where a place is, or how far from another."""
        lengths = (d.between for d in self.plan.ducts.values() if d.length is not None)
        return place in self.points or any(place in between for between in lengths)

    def missing(self, start: Part, end: Part, via: Sequence[str] = ()) -> tuple[str, ...]:
        """Return what a way lacks that the plan began to state; nothing if it did not begin."""
        if not (start.place and end.place):
            return ()
        between = self._hops(start.place, end.place)
        around = list(dict.fromkeys((*between, *via)))
        begun = any(self.stated(name) for name in around) or bool(start.spot or end.spot)
        if not begun:
            return ()
        found = [f'the position of place "{n}" (at)' for n in around if n not in self.points]
        if not between:
            found.append(f'a way from place "{start.place}" to place "{end.place}" (ducts)')
        return tuple(found)

    def _hops(self, one: str, other: str) -> tuple[str, ...]:
        """Return the places on the way with the fewest hops, whatever their distances."""
        return _least(self.near, one, other)


def _sum(legs: Iterable[RouteLeg]) -> float:
    return sum(leg.length for leg in legs)


def _least(graph: Graph[str], start: str, end: str) -> tuple[str, ...]:
    """Return the shortest way from node to node, the first by name of ways alike; or nothing."""
    import networkx as nx

    if start not in graph or end not in graph:
        return (start,) if start == end else ()
    onwards, _ = nx.dijkstra_predecessor_and_distance(graph, end)
    if start not in onwards:
        return ()
    path = [start]
    while path[-1] != end:
        path.append(min(onwards[path[-1]]))
    return tuple(path)
