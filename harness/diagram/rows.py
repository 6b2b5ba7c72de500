"""Heights of a run, made as tight as the page asks: parts, passing leads, and patches.

Graphviz says in which column a part stands and in which order parts and passing leads follow one
another. That order is kept; the distances are ours.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from itertools import combinations, groupby, pairwise

from harness.base.data import dataclass
from harness.diagram.heights import HeightOrder, HeightRange, Wish, settled, straightened
from harness.diagram.stages import DrawnLead, PartsSheet
from harness.diagram.zone_names import corner
from harness.drawing.bezier import height_at
from harness.drawing.layout_model import Laid
from harness.drawing.scene import Point

Key = tuple[str, str, int]
"""("node", id, 0) or ("pass", strand, column)."""

NODE_GAP = 3.0
PASS_GAP = 4.3  # a little of it may go for a climb too small to be drawn
SAME = 1.0  # parts whose middles differ by less stand in one column, points
PATCH = 4.0  # how far a patch reaches beyond its parts
NAME = 8.0  # of a place's name over its parts, where no corner beside them is free


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

    def __init__(self, sheet: PartsSheet, laid: Laid, corners: Corners) -> None:
        self.sheet, self.laid, self.corners = sheet, laid, corners
        middles = {name: node.rect.center[0] for name, node in laid.nodes.items()}
        columns = sorted({round(x / SAME) for x in middles.values()})  # 0 at the left
        self.column = {name: columns.index(round(x / SAME)) for name, x in middles.items()}
        self.count = max(self.column.values(), default=0) + 1
        self.strand = {s.id: s for s in sheet.strands}
        self.items = {item.key: item for item in (*self._nodes(), *self._passes())}
        self.patches: list[PlacePatch] = []
        self.patch: dict[str, PlacePatch] = {}
        self.order: HeightOrder[Key] = HeightOrder()
        self._links: dict[Key, list[tuple[Key, float, float]]] = defaultdict(list)
        self._demand()
        self._link()

    def heights(self, high: float) -> dict[Key, float]:
        """Return the middle of each item within `high` points, or what is needed at the least."""
        order = self.order.sorted()
        least = self.order.highest(order, {key: self._over(key) for key in order})
        needed = max((least[key] + self.reach_under(key) for key in order), default=0.0)
        room = max(needed, min(high, self.laid.height))
        most = self.order.lowest(order, {key: room - self.reach_under(key) for key in order})
        squeeze = room / self.laid.height if self.laid.height else 1.0
        at = {key: number for number, key in enumerate(order)}
        near = [self.order.neighbours(key, at) for key in order]
        spans = [HeightRange(least[k], most[k], *s) for k, s in zip(order, near, strict=True)]
        found = settled(
            [self.items[key].middle * squeeze for key in order],
            spans,
            [self._wish(key, at) for key in order],
        )
        links = [[(at[k], d) for k, d, _ in self._links[key]] for key in order]
        return dict(zip(order, straightened(found, spans, links), strict=True))

    def crossings(self) -> int:
        """Return how often leads cross between the columns, by the order of what they join."""
        levels: dict[int, list[tuple[float, float]]] = defaultdict(list)
        for s in self.sheet.strands:
            gaps = self.gaps(s)
            for gap, pair in zip(gaps, pairwise(self.stops(s)), strict=True):
                a, b = (self.items[key].middle + offset for key, offset in pair)
                levels[gap].append((a, b) if gaps.step > 0 else (b, a))
        pairs = (pair for some in levels.values() for pair in combinations(some, 2))
        return sum((a - c) * (b - d) < 0 for (a, b), (c, d) in pairs)

    def _over(self, key: Key) -> float:
        """Return how far something reaches over its middle, its patch and the name on it too."""
        patch = self.patch.get(key[1]) if key[0] == "node" else None
        return self.items[key].half + PATCH + (self.strip(patch) if patch else 0.0)

    def reach_under(self, key: Key) -> float:
        """Return how far something reaches under its middle, its patch too."""
        return self.items[key].half + PATCH

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

    def gaps(self, s: DrawnLead) -> range:
        """Return the gaps of a lead, in the order of its way; gap n lies left of column n."""
        ends = (s.tail, s.head)
        first, last = (self.column[end[0]] + (self.sheet.side(end) == "right") for end in ends)
        step = 1 if first <= last else -1
        return range(first, last + step, step)

    def passed(self, s: DrawnLead) -> list[int]:
        """Return the columns a lead passes through, in the order of its way."""
        return [min(pair) for pair in pairwise(self.gaps(s))]

    def _demand(self) -> None:
        """Keep the order in every column."""
        by_column: dict[int, list[RowItem]] = defaultdict(list)
        for item in self.items.values():
            by_column[item.column].append(item)
        self.order.keys = list(self.items)
        for items in by_column.values():
            items.sort(key=lambda item: (item.middle, item.key))
            self._patch(items)
            for a, b in pairwise(items):
                gap = NODE_GAP if a.key[0] == b.key[0] == "node" else PASS_GAP
                self.order.add(a.key, b.key, a.half + b.half + gap + self._beyond(a, b))

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
        """Return where a key wants to be: where its leads lie straight."""
        links = [(at[k], d, weight) for k, d, weight in self._links[key]]
        if not (total := sum(weight for _, _, weight in links)):
            return lambda heights: heights[at[key]]
        return lambda heights: sum([(heights[n] + d) * weight for n, d, weight in links]) / total
