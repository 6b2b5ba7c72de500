"""Heights of a run, made as tight as the page asks: parts, passing leads, and zones.

Graphviz says in which column a part stands and in which order parts and passing leads follow one
another. That order is kept; the distances are ours.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import combinations, groupby, pairwise

from harness.base.data import dataclass, replace
from harness.diagram.heights import HeightOrder, HeightRange, Tangle, Wish, settled, straightened
from harness.diagram.lead_points import height_at
from harness.diagram.stages import DrawnLead, PartsSheet
from harness.diagram.zone_names import corner
from harness.drawing.layout_model import Laid, LayoutGraph
from harness.drawing.scene import Point

Key = tuple[str, str, int]
"""("node", id, 0), ("pass", strand, column), ("top", zone, 0) or ("low", zone, 0)."""

NODE_GAP = 3.0
PASS_GAP = 4.3  # a little of it may go for a climb too small to be drawn
ZONE_GAP = 6.0
MARGIN = 6.0
HEADROOM = 9.0  # for a place's name above its parts
SAME = 1.0  # parts whose middles differ by less stand in one column, points
PATCH = 4.0  # how far a patch reaches beyond its parts
NAME = 8.0  # of a place's name over its parts, where no corner beside them is free
SLACK = 60.0  # how far a zone stands off while its parts still look for their places, points


@dataclass(frozen=True)
class RowItem:
    """Something with a height in one column: half of it above its middle, half below."""

    key: Key
    column: int
    half: float
    middle: float


@dataclass(frozen=True, eq=False)
class PlacePatch:
    """Parts of one place that follow one another in a column: they stand on one tint."""

    zone: str
    nodes: tuple[str, ...]


class Corners:
    """Where the names of places find room beside the parts of a sheet, looked for once."""

    def __init__(self, sheet: PartsSheet) -> None:
        self.sheet = sheet
        self._found: dict[tuple[str, str], Point | None] = {}

    def at(self, node: str, place: str) -> Point | None:
        """Return the corner of a part in its own rectangle; stacks have none."""
        if (node, place) not in self._found:
            piece = self.sheet.pieces[node]
            self._found[node, place] = corner(piece.glyph, place) if piece.part else None
        return self._found[node, place]


class Rows:
    """The heights of one run."""

    def __init__(
        self, sheet: PartsSheet, graph: LayoutGraph, laid: Laid,
        columns: Mapping[str, int] | None = None, anchor: float = 0.0, headroom: float = 0.0,
        corners: Corners | None = None,
    ) -> None:  # fmt: skip
        self.sheet, self.graph, self.laid = sheet, graph, laid
        self.column = columns or columns_of(laid)
        self.anchor, self.headroom = anchor, headroom
        self.count = max(self.column.values(), default=0) + 1
        self.parent = {zone.id: zone.parent for zone in graph.clusters}
        self.zone = {node.id: node.cluster for node in graph.nodes}
        self.strand = {s.id: s for s in sheet.strands}
        self.items = {item.key: item for item in (*self._nodes(), *self._passes())}
        self.patches: list[PlacePatch] = []
        self.patch: dict[str, PlacePatch] = {}
        self.corners = corners or Corners(sheet)
        self.order: HeightOrder[Key] = HeightOrder()
        self._links: dict[Key, list[tuple[Key, float, float]]] = defaultdict(list)
        self._demand()
        self._link()

    def heights(self, high: float) -> dict[Key, float]:
        """Return the middle of each item within `high` points, or what is needed at the least.

        Raises Tangle when Graphviz's order cannot be kept.
        """
        order, least = self._least
        needed = max((least[key] + self.reach_under(key) for key in order), default=0.0)
        room = max(needed, min(high, self.laid.height))
        most = self.order.lowest(order, {key: room - self.reach_under(key) for key in order})
        squeeze = room / self.laid.height if self.laid.height else 1.0
        at = {key: number for number, key in enumerate(order)}
        near = [self.order.neighbours(key, at) for key in order]
        spans = [HeightRange(least[k], most[k], *s) for k, s in zip(order, near, strict=True)]
        found = settled(
            [self._start(key) * squeeze for key in order],
            spans,
            [self._wish(key, at) for key in order],
            {at[key]: key[0] == "low" for key in order if key[0] in ("top", "low")},
        )
        links = [[(at[k], d) for k, d, _ in self._links[key]] for key in order]
        return dict(zip(order, straightened(found, spans, links), strict=True))

    def crossings(self) -> int:
        """Return how often leads cross between the columns, by the order of what they join."""
        levels: dict[int, list[tuple[float, float]]] = defaultdict(list)
        for s in self.sheet.strands:
            (first, last), stops = self.gaps(s), self.stops(s)
            step = 1 if first <= last else -1
            for gap, pair in zip(range(first, last + step, step), pairwise(stops), strict=True):
                a, b = (self._start(key) + offset for key, offset in pair)
                levels[gap].append((a, b) if step > 0 else (b, a))
        pairs = (pair for some in levels.values() for pair in combinations(some, 2))
        return sum((a - c) * (b - d) < 0 for (a, b), (c, d) in pairs)

    def untangled(self) -> Rows:
        """Return itself, or the same without zones where Graphviz's order cannot be kept."""
        try:
            _ = self._least
        except Tangle:
            graph, laid = without_zones(self.graph, self.laid)
            return Rows(self.sheet, graph, laid, self.column, self.anchor)
        return self

    @property
    def shortest(self) -> float:
        """The least height of parts and zones; raises Tangle as `heights`."""
        least = self._least[1]
        ends = [least[key] + self.reach_under(key) for key in least if key[0] != "pass"]
        return max(ends, default=0.0)

    @cached_property
    def _least(self) -> tuple[list[Key], dict[Key, float]]:
        """The keys from the top down, and the least height of each; raises Tangle."""
        order = self.order.sorted()
        return order, self.order.highest(order, {key: self._over(key) for key in order})

    def _over(self, key: Key) -> float:
        """Return how far something reaches over its middle, its patch and the name on it too."""
        patch = self.patch.get(key[1]) if key[0] == "node" else None
        return self._half(key) + PATCH + (self.strip(patch) if patch else 0.0)

    def reach_under(self, key: Key) -> float:
        """Return how far something reaches under its middle, its patch too."""
        return self._half(key) + PATCH

    def _half(self, key: Key) -> float:
        return self.items[key].half if key in self.items else 0.0

    def _start(self, key: Key) -> float:
        if key in self.items:
            return self.items[key].middle
        rect = self.laid.clusters[key[1]]
        return rect.y if key[0] == "top" else rect.y + rect.height

    def _nodes(self) -> list[RowItem]:
        return [
            RowItem(("node", name, 0), self.column[name], node.rect.height / 2, node.rect.center[1])
            for name, node in self.laid.nodes.items()
        ]

    def _passes(self) -> list[RowItem]:
        middles = {self.column[n]: node.rect.center[0] for n, node in self.laid.nodes.items()}
        found: list[RowItem] = []
        for s in self.sheet.strands:
            half = s.breadth / 2
            for column in self.passed(s):
                y = height_at(self.laid.edges[s.id], middles[column])
                found.append(RowItem(("pass", s.id, column), column, half, y))
        return found

    def gaps(self, s: DrawnLead) -> tuple[int, int]:
        """Return the gaps a lead starts and ends in; gap n lies left of column n."""
        ends = ((s.tail, "right"), (s.head, "right"))
        first, last = (self.column[end[0]] + (self.sheet.side(end) == side) for end, side in ends)
        return first, last

    def passed(self, s: DrawnLead) -> list[int]:
        """Return the columns a lead passes through, in the order of its way."""
        first, last = self.gaps(s)
        if first <= last:
            return list(range(first, last))
        return list(range(first - 1, last - 1, -1))

    def _demand(self) -> None:
        """Keep the order in every column, and keep zones apart."""
        by_column: dict[int, list[RowItem]] = defaultdict(list)
        for item in self.items.values():
            by_column[item.column].append(item)
        self.order.keys = list(self.items)
        for items in by_column.values():
            items.sort(key=lambda item: (item.middle, item.key))
            if not self.parent:
                self._patch(items)
            for a, b in pairwise(items):
                gap = NODE_GAP if a.key[0] == b.key[0] == "node" else PASS_GAP
                self.order.add(a.key, b.key, a.half + b.half + gap + self._beyond(a, b))
        for zone in self.parent:
            if zone in self.laid.clusters:
                self._demand_zone(zone)
        self._part_zones()

    def _patch(self, items: Sequence[RowItem]) -> None:
        """Lay the parts of one place that follow one another in a column on one patch."""
        for zone, row in groupby(items, key=self._home):
            if zone:
                patch = PlacePatch(zone, tuple(item.key[1] for item in row))
                self.patches.append(patch)
                self.patch.update(dict.fromkeys(patch.nodes, patch))

    def _home(self, item: RowItem) -> str:
        return self.sheet.pieces[item.key[1]].zone if item.key[0] == "node" else ""

    def _beyond(self, a: RowItem, b: RowItem) -> float:
        """Return what the patches of two neighbours need between them."""
        upper, lower = (self.patch.get(i.key[1]) if i.key[0] == "node" else None for i in (a, b))
        if upper is lower:
            return 0.0
        return (PATCH if upper else 0.0) + (PATCH + self.strip(lower) if lower else 0.0)

    def strip(self, patch: PlacePatch) -> float:
        """Return the height added over a patch for its place's name: none where it has a corner."""
        return 0.0 if self.corner(patch) else NAME

    def corner(self, patch: PlacePatch) -> tuple[str, Point] | None:
        """Return the first part of a patch beside which its name has room, and where there."""
        found = ((node, self.corners.at(node, patch.zone)) for node in patch.nodes)
        return next(((node, at) for node, at in found if at), None)

    def _demand_zone(self, zone: str) -> None:
        top, low = ("top", zone, 0), ("low", zone, 0)
        self.order.keys += [top, low]
        self.order.add(top, low, 2 * MARGIN)
        columns = [self.column[n] for n in self.column if self.inside(self.zone[n], zone)]
        rect = self.laid.clusters[zone]
        for item in self.items.values():
            if item.key[0] == "pass" and self._is_home(item, zone):
                self.order.add(top, item.key, item.half + PASS_GAP)
                self.order.add(item.key, low, item.half + PASS_GAP)
            if item.key[0] != "node" or not min(columns) <= item.column <= max(columns):
                continue
            if self.inside(self.zone[item.key[1]], zone):
                self.order.add(top, item.key, item.half + MARGIN + self.headroom)
                self.order.add(item.key, low, item.half + MARGIN)
            elif item.middle < rect.center[1]:
                self.order.add(item.key, top, item.half + ZONE_GAP)
            else:
                self.order.add(low, item.key, item.half + ZONE_GAP)

    def _is_home(self, item: RowItem, zone: str) -> bool:
        """Say whether a passing lead joins two parts of a zone and was drawn in it."""
        strand = self.strand[item.key[1]]
        ends = all(self.inside(self.zone[end[0]], zone) for end in (strand.tail, strand.head))
        rect = self.laid.clusters[zone]
        return ends and rect.y <= item.middle <= rect.y + rect.height

    def _part_zones(self) -> None:
        zones = [(z, self.laid.clusters[z]) for z in self.parent if z in self.laid.clusters]
        for zone, rect in zones:
            for other, second in zones:
                if zone != other and self.inside(other, zone):
                    self.order.add(("top", zone, 0), ("top", other, 0), MARGIN + self.headroom)
                    self.order.add(("low", other, 0), ("low", zone, 0), MARGIN)
                elif self._beside(zone, other) and rect.y + rect.height <= second.y + 1:
                    self.order.add(("low", zone, 0), ("top", other, 0), ZONE_GAP)

    def _beside(self, zone: str, other: str) -> bool:
        """Say whether neither holds the other and they share a stretch of the page's width."""
        a, b = self.laid.clusters[zone], self.laid.clusters[other]
        apart = not self.inside(zone, other) and not self.inside(other, zone)
        return apart and a.x < b.x + b.width and b.x < a.x + a.width

    def depth(self, zone: str) -> int:
        """Return in how many other zones a zone lies."""
        return sum(self.inside(zone, other) for other in self.parent) - 1

    def inside(self, zone: str | None, outer: str) -> bool:
        """Say whether a zone is another one or lies in it."""
        while zone is not None:
            if zone == outer:
                return True
            zone = self.parent.get(zone)
        return False

    def _link(self) -> None:
        """Note which items a lead joins, and how far from their middles."""
        for s in self.sheet.strands:
            weight = 1.0 + 2.0 * (s.gauge.wire > 2.5)
            stops = self.stops(s)
            for (a, da), (b, db) in pairwise(stops):
                self._links[a].append((b, db - da, weight))
                self._links[b].append((a, da - db, weight))

    def stops(self, s: DrawnLead) -> list[tuple[Key, float]]:
        """Return the items along a lead, each with the lead's height from its middle."""
        return [
            (("node", s.tail[0], 0), self._offset(s.tail)),
            *((("pass", s.id, column), 0.0) for column in self.passed(s)),
            (("node", s.head[0], 0), self._offset(s.head)),
        ]

    def _offset(self, end: tuple[str, str]) -> float:
        node = self.laid.nodes[end[0]]
        return node.ports[end[1]][1] - node.rect.center[1]

    def _wish(self, key: Key, at: Mapping[Key, int]) -> Wish:
        """Return where a key wants to be: a zone off what is in it, a lead straight."""
        if key[0] == "top":
            inside = [at[k] for k in self.order.below[key]]
            return lambda heights: min([heights[k] for k in inside]) - SLACK
        if key[0] == "low":
            inside = [at[k] for k in self.order.above[key]]
            return lambda heights: max([heights[k] for k in inside]) + SLACK
        held = self.anchor if key[0] == "node" else 0.0
        links = [(at[k], d, weight) for k, d, weight in self._links[key]]
        return _Pull(at[key], links, held, held * self._start(key))


class _Pull:
    """The mean of where the leads at an item would have it, and of its own place."""

    def __init__(
        self, own: int, links: Sequence[tuple[int, float, float]], held: float, home: float
    ) -> None:
        self.own, self.links, self.home = own, links, home
        self.total = held + sum(weight for _, _, weight in links)

    def __call__(self, heights: Sequence[float]) -> float:
        if not self.total:
            return heights[self.own]
        pull = 0.0
        for number, distance, weight in self.links:
            pull += (heights[number] + distance) * weight
        return (pull + self.home) / self.total


def without_zones(graph: LayoutGraph, laid: Laid) -> tuple[LayoutGraph, Laid]:
    """The same without places, whose order can always be kept."""
    nodes = tuple(replace(node, cluster=None) for node in graph.nodes)
    return replace(graph, nodes=nodes, clusters=()), replace(laid, clusters={})


def columns_of(laid: Laid) -> dict[str, int]:
    """Number of the column each part stands in, 0 at the left."""
    middles = sorted({round(node.rect.center[0] / SAME) for node in laid.nodes.values()})
    return {n: middles.index(round(k.rect.center[0] / SAME)) for n, k in laid.nodes.items()}
