"""Ways of leads between columns of parts: level through the columns, upright in the gaps.

No part stands in a gap, so every upright stretch gets a lane of its own there, and a gap is just
as wide as its lanes need. Which lane it takes makes few crossings and nothing on top of anything
else. Corners are round.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from itertools import combinations, pairwise, takewhile
from math import dist

from harness.base.data import dataclass
from harness.diagram.rows import PATCH, Key, PlacePatch, Rows
from harness.diagram.stages import DrawnLead
from harness.diagram.zone_names import name_width
from harness.drawing.bezier import mix, straight
from harness.drawing.layout_model import Laid, LaidNode, Rect, bounding
from harness.drawing.scene import KAPPA, Point

BARE = 3.3  # ground between ribbons in neighbouring lanes, points
LOOSE = 1.5  # how much further apart lanes may lie where there is room
TURN = 5.8  # room for the corners at both sides of the lanes
RADIUS = 12.0
LEVEL = 1.0  # less climb than this is none
NEAR = 10.5  # two level runs closer than this would cover each other, points
CLEAR = 10.0  # least distance of two stretches in one lane
COVER = 12  # a covered run is as bad as this many crossings
ROUNDS = 12
EDGE = 8.0  # of a layout, left and right of all parts


@dataclass(frozen=True)
class LaneLeg:
    """One gap of a lead's way: from a height to a height, and the side each of them lies at."""

    gap: int
    start: float
    end: float
    from_left: bool
    to_left: bool

    def stretch(self, name: str) -> LaneStretch:
        """Return its heights by side."""
        ends = ((self.start, self.from_left), (self.end, self.to_left))
        return LaneStretch(
            name, tuple(y for y, left in ends if left), tuple(y for y, left in ends if not left)
        )

    @property
    def climbs(self) -> bool:
        """Say whether it needs a lane."""
        return abs(self.end - self.start) > LEVEL or self.from_left == self.to_left


class LeadWays:
    """The ways of all leads at given heights: in which gaps they climb, and in which lanes."""

    def __init__(self, rows: Rows, heights: Mapping[Key, float]) -> None:
        self.rows, self.heights = rows, heights
        self.legs = {s.id: _legs(rows, s, heights) for s in rows.sheet.strands}
        self.lanes = _lanes(rows, self.legs)

    @property
    def crossings(self) -> int:
        """How many leads cross in the gaps."""
        found = 0
        for gap, lanes in enumerate(self.lanes):
            met = [
                (lanes.get(name, 0), leg.stretch(name))
                for lead, legs in self.legs.items()
                for n, leg in enumerate(legs)
                if leg.gap == gap
                for name in [f"{lead}/{n}"]
            ]
            met.sort(key=lambda pair: pair[0])
            found += sum(crossed(a, b) for (_, a), (_, b) in combinations(met, 2))
        return found

    @property
    def width(self) -> float:
        """The least width, points."""
        return _whole_width(self.rows, _gap_widths(self.rows, self.lanes, 0.0))

    @property
    def height(self) -> float:
        """The height, points."""
        keys = [("node", name, 0) for name in self.rows.laid.nodes]
        rims = [self.heights[key] + self.rows.reach_under(key) for key in keys]
        return max([0.0, *rims])

    def laid(self, spare: float = 0.0) -> Laid:
        """Return the finished layout; `spare` points of width are shared out among the gaps."""
        rows, lanes = self.rows, self.lanes
        widths = _gap_widths(rows, lanes, max(spare, 0.0))
        left = _columns(rows, widths)
        nodes = {
            name: _at(node, left[rows.column[name]], self.heights["node", name, 0])
            for name, node in rows.laid.nodes.items()
        }
        edges: dict[str, tuple[Point, ...]] = {}
        for s in rows.sheet.strands:
            start, end = nodes[s.tail[0]].ports[s.tail[1]], nodes[s.head[0]].ports[s.head[1]]
            xs = [
                _lane_x(rows, leg, lanes[leg.gap].get(f"{s.id}/{i}"), lanes, widths, left)
                for i, leg in enumerate(self.legs[s.id])
            ]
            edges[s.id] = rounded(_corners(start, end, self.legs[s.id], xs))
        zones: dict[str, Rect] = {}
        names: dict[str, Point] = {}
        for number, patch in enumerate(rows.patches):
            key = f"{patch.zone} {number}"
            zones[key], names[key] = _patch(rows, patch, nodes)
        return Laid(nodes, edges, zones, _whole_width(rows, widths), self.height, names)


def back(legs: Sequence[LaneLeg]) -> float:
    """Return how far a lead climbs and falls again, or falls and climbs, points."""
    climbs = [leg.end - leg.start for leg in legs]
    return min(sum(max(c, 0.0) for c in climbs), -sum(min(c, 0.0) for c in climbs))


def _legs(rows: Rows, s: DrawnLead, heights: Mapping[Key, float]) -> list[LaneLeg]:
    """Return one leg a gap, in the order of the lead's way."""
    levels = [heights[key] + offset for key, offset in rows.stops(s)]
    gaps = rows.gaps(s)
    # A port at the right of its picture lies at the left side of the gap beyond it.
    starts = [rows.sheet.side(s.tail) == "right", *(gaps.step > 0 for _ in gaps[1:])]
    ends = [*(gaps.step < 0 for _ in gaps[1:]), rows.sheet.side(s.head) == "right"]
    ways = zip(gaps, pairwise(levels), starts, ends, strict=True)
    return [LaneLeg(gap, a, b, start, end) for gap, (a, b), start, end in ways]


def _lanes(rows: Rows, legs: Mapping[str, list[LaneLeg]]) -> list[dict[str, int]]:
    """Return for each gap the lane of each climb, named strand/number."""
    climbs: dict[int, list[LaneStretch]] = defaultdict(list)
    for s in rows.sheet.strands:
        for i, leg in enumerate(legs[s.id]):
            if leg.climbs:
                climbs[leg.gap].append(leg.stretch(f"{s.id}/{i}"))
    return [lane_numbers(climbs[g]) if climbs[g] else {} for g in range(rows.count + 1)]


def _offsets(rows: Rows, lanes: Mapping[str, int]) -> list[float]:
    """Return how far each lane of a gap lies right of the first, as its ribbons are broad."""
    broad = [0.0] * (max(lanes.values(), default=-1) + 1)
    for name, lane in lanes.items():
        broad[lane] = max(broad[lane], rows.strand[name.rpartition("/")[0]].breadth)
    found = [0.0] * min(len(broad), 1)
    for left, right in pairwise(broad):
        found.append(found[-1] + (left + right) / 2 + BARE)
    return found


def _gap_widths(rows: Rows, lanes: Sequence[Mapping[str, int]], spare: float) -> list[float]:
    widths = []
    offsets = [_offsets(rows, lane) for lane in lanes]
    total = sum(len(some) + 1 for some in offsets[1:-1]) or 1
    for number, some in enumerate(offsets):
        outer = number in (0, rows.count)
        wide = 2 * TURN + some[-1] if some else 0.0 if outer else TURN
        widths.append(wide + (0.0 if outer else spare * (len(some) + 1) / total))
    return widths


def _columns(rows: Rows, widths: Sequence[float]) -> list[float]:
    """Return the left edge of each column, and at last that of what lies beyond the last gap."""
    broad = [0.0] * rows.count
    for name, node in rows.laid.nodes.items():
        broad[rows.column[name]] = max(broad[rows.column[name]], node.rect.width)
    left: list[float] = []
    x = EDGE
    for gap, size in zip(widths, [*broad, 0.0], strict=True):
        left.append(x + gap)
        x = left[-1] + size
    return left


def _whole_width(rows: Rows, widths: Sequence[float]) -> float:
    """Return the width of a layout, the zones' margins at both edges included."""
    return _columns(rows, widths)[-1] + EDGE


def _lane_x(
    rows: Rows,
    leg: LaneLeg,
    lane: int | None,
    lanes: Sequence[Mapping[str, int]],
    widths: Sequence[float],
    left: Sequence[float],
) -> float | None:
    """Return where in its gap a leg climbs; None for a level one."""
    if lane is None:
        return None
    wide, offsets = widths[leg.gap], _offsets(rows, lanes[leg.gap])
    room = min((wide - 2 * TURN) / offsets[-1], LOOSE) if offsets[-1] else 0.0
    return left[leg.gap] - wide / 2 + (offsets[lane] - offsets[-1] / 2) * room


def _corners(
    start: Point, end: Point, legs: Sequence[LaneLeg], xs: Sequence[float | None]
) -> list[Point]:
    points = [start]
    for leg, x in zip(legs, xs, strict=True):
        if x is not None:
            points += [(x, points[-1][1]), (x, leg.end)]
    return [*_slid(points, end[1]), end]


def _slid(points: list[Point], y: float) -> list[Point]:
    """The corners with the last level stretch moved the fraction of a point that it is off."""
    off = points[-1][1]
    count = sum(1 for _ in takewhile(lambda point: point[1] == off, reversed(points)))
    if count == len(points):
        return points
    return [*points[:-count], *((x, y) for x, _ in points[-count:])]


def rounded(corners: Sequence[Point]) -> tuple[Point, ...]:
    """Return a polyline as cubic curves with round corners."""
    points = [corners[0]]
    for corner in corners[1:]:
        if dist(corner, points[-1]) > 0.01:
            points.append(corner)
    if len(points) == 1:
        points.append((points[0][0] + 0.1, points[0][1]))
    chain = [points[0]]
    last = len(points) - 1
    # a corner has all of the stretch to an end of the lead, half of one to another corner
    rooms = [dist(*ends) / (1 + (0 < n < last - 1)) for n, ends in enumerate(pairwise(points))]
    index = 1
    while index < last:
        near = points[index - 1 : index + 3]
        if len(near) == 4 and _is_step(*near):
            _step(chain, near, (rooms[index - 1], rooms[index + 1]))
            index += 2
            continue
        _turn(chain, near, min(RADIUS, rooms[index - 1], rooms[index]))
        index += 1
    _line(chain, points[-1])
    return tuple(chain)


def _turn(chain: list[Point], near: Sequence[Point], reach: float) -> None:
    """A quarter circle, or less of one where there is no room."""
    before, corner, after = near[:3]
    _line(chain, _toward(corner, before, reach))
    handle = reach * (1 - KAPPA)
    chain += [
        _toward(corner, before, handle),
        _toward(corner, after, handle),
        _toward(corner, after, reach),
    ]


def _is_step(before: Point, one: Point, other: Point, after: Point) -> bool:
    """Say whether a lead goes on the same way after a climb too short for two round corners."""
    onward = (one[0] - before[0]) * (after[0] - other[0]) > 0
    return onward and dist(one, other) < 2 * RADIUS


def _step(chain: list[Point], near: Sequence[Point], rooms: Point) -> None:
    """A soft S."""
    before, one, other, after = near
    reach = min(1.3 * RADIUS, *rooms)
    _line(chain, _toward(one, before, reach))
    chain += [one, other, _toward(other, after, reach)]


def _line(chain: list[Point], end: Point) -> None:
    chain += straight([chain[-1], end])[1:]


def _toward(corner: Point, other: Point, distance: float) -> Point:
    total = dist(corner, other)
    return mix(corner, other, distance / total if total else 0.0)


def _at(node: LaidNode, x: float, middle: float) -> LaidNode:
    rect = node.rect
    y = middle - rect.height / 2
    ports = {n: (px - rect.x + x, py - rect.y + y) for n, (px, py) in node.ports.items()}
    return LaidNode(Rect(x, y, rect.width, rect.height), ports)


def _patch(rows: Rows, patch: PlacePatch, nodes: Mapping[str, LaidNode]) -> tuple[Rect, Point]:
    """Return the rectangle of a patch, and where its name stands."""
    frame = bounding([nodes[name].rect for name in patch.nodes]).grown(PATCH)
    if at := rows.corner(patch):
        rect = nodes[at[0]].rect
        return frame, (rect.x + at[1][0], rect.y + at[1][1])
    column = rows.column[patch.nodes[0]]
    broad = max(node.rect.width for name, node in nodes.items() if rows.column[name] == column)
    wide = max(frame.width, min(name_width(patch.zone), broad) + 2 * PATCH)
    top = frame.y - rows.strip(patch)
    name = (frame.x + PATCH + 1.5, top + 1.5)
    return Rect(frame.x, top, wide, frame.y + frame.height - top), name


@dataclass(frozen=True, eq=False)
class LaneStretch:
    """Heights at the left and at the right side of the gap, two in all."""

    name: str
    lefts: tuple[float, ...]
    rights: tuple[float, ...]

    @cached_property
    def low(self) -> float:
        """The smaller height."""
        return min(*self.lefts, *self.rights)

    @cached_property
    def high(self) -> float:
        """The greater height."""
        return max(*self.lefts, *self.rights)


def lane_numbers(stretches: Sequence[LaneStretch]) -> dict[str, int]:
    """Return the lane of each stretch, 0 at the left."""
    order = best_order(stretches)
    lanes: dict[str, int] = {}
    for index, one in enumerate(order):
        met = [
            lanes[other.name]
            for other in order[:index]
            if one.low < other.high + CLEAR and other.low < one.high + CLEAR
        ]
        lanes[one.name] = max(met, default=-1) + 1
    return lanes


def best_order(stretches: Sequence[LaneStretch]) -> list[LaneStretch]:
    """Return an order, left to right, that no move of one stretch improves."""
    order = sorted(stretches, key=_first_guess)
    gain = _gains(order)
    for _ in range(ROUNDS):
        moved = [_moved(order, one, gain) for one in list(order)]
        if not any(moved):
            break
    return order


def _gains(stretches: Iterable[LaneStretch]) -> dict[tuple[str, str], int]:
    """Return what it saves to put the first of two left of the second, where it matters."""
    found: dict[tuple[str, str], int] = {}
    for a, b in combinations(stretches, 2):
        if a.low < b.high + NEAR and b.low < a.high + NEAR:
            gain = cost(b, a) - cost(a, b)
            found[a.name, b.name], found[b.name, a.name] = gain, -gain
    return found


def _moved(order: list[LaneStretch], one: LaneStretch, gain: Mapping[tuple[str, str], int]) -> bool:
    """Move one stretch to where it does best; say whether that is another place."""
    old = order.index(one)
    others = [other for other in order if other is not one]
    saved, best, at = 0, 0, 0
    for place, other in enumerate(others, 1):
        saved -= gain.get((one.name, other.name), 0)
        if place == old:
            here = saved
        if saved > best:
            best, at = saved, place
    if best <= (here if old else 0):
        return False
    order[:] = [*others[:at], one, *others[at:]]
    return True


def _first_guess(one: LaneStretch) -> tuple[int, float, str]:
    """Turns at the left side first, the short ones outside; turns at the right side last."""
    size = one.high - one.low
    if not one.rights:
        return 0, size, one.name
    if not one.lefts:
        return 2, -size, one.name
    start, end = one.lefts[0], one.rights[0]
    return 1, -start if end > start else start, one.name


def cost(left: LaneStretch, right: LaneStretch) -> int:
    """Return crossings between two neighbours, and level runs that would cover each other."""
    covers = sum(abs(a - b) < NEAR for a in left.rights for b in right.lefts)
    return crossed(left, right) + COVER * covers


def crossed(left: LaneStretch, right: LaneStretch) -> int:
    """Return crossings between two neighbours."""
    found = sum(right.low < y < right.high for y in left.rights)
    return found + sum(left.low < y < left.high for y in right.lefts)
