"""A page of the aeroplane seen from above: its scale, and where signs and leads lie on the paper.

A lead goes straight from sign to sign, or bends where it would leave the aeroplane; at a sign
the leads stand side by side in the order in which they leave it, so that none crosses there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from math import dist

from harness.base.data import dataclass
from harness.diagram.from_above import SIDES, Aeroplane
from harness.diagram.outline import body_width
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point

MM = 72 / 25.4
"""Points in a millimetre."""
SCALES = (1, 2, 2.5, 3, 4, 5, 6, 7.5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500)
"""Drawn one to so many: what rulers and plans have."""
PITCH = 5.4  # from one lead to the next at a sign, points
INSET = 2.0  # how far inside a sign's edge a lead ends, points
BORDER = 30.0  # of the page, free of the aeroplane, points
LOOKS = 24  # points of a lead that are looked at, whether they lie in the aeroplane
SPARE = 14.0  # a lead this far outside still lies in the pale outline, mm


@dataclass(frozen=True, slots=True)
class Frame:
    """What lies where on a page of `size` points, 1 to `scale`; `each`: points a mm.

    `nodes`: signs by id; `lines`: leads by id, from tail to head.
    """

    size: Point
    scale: float
    each: float
    origin: Point
    nodes: Mapping[str, Rect]
    lines: Mapping[str, tuple[Point, ...]]

    def at(self, spot: Point) -> Point:
        """Return a position of the aeroplane on the paper."""
        return self.origin[0] + self.each * spot[0], self.origin[1] + self.each * spot[1]

    def rect(self, rect: Rect) -> Rect:
        """Return a rectangle of the aeroplane on the paper."""
        x, y = self.at((rect.x, rect.y))
        return Rect(x, y, rect.width * self.each, rect.height * self.each)


def bare_frame(plane: Aeroplane, size: Point) -> Frame:
    """Return a page that shows the aeroplane as large as can be, nothing on it yet."""
    area, (wide, high) = plane.whole, (size[0] - 2 * BORDER, size[1] - 2 * BORDER)
    each = min(wide / max(area.width, 1.0), high / max(area.height, 1.0))
    scale = next((n for n in SCALES if MM / n <= each), MM / each) if plane.scaled else 0.0
    each = MM / scale if scale else each
    x, y = area.center
    return Frame(size, scale, each, (size[0] / 2 - each * x, size[1] / 2 - each * y), {}, {})


def bend_of(plane: Aeroplane, one: Point, other: Point) -> tuple[Point, ...]:
    """Return where a lead bends so as to stay in the aeroplane; nothing where it goes straight."""
    if _inside(plane, (one, other)):
        return ()
    rects = [*plane.places.values(), *(rect for rect, _ in plane.wings), *plane.middle]
    mine = [[r for r in rects if _holds(r, end)] for end in (one, other)]
    corners = [_clamped(_shared(a, b), one, other) for a in mine[0] for b in mine[1] if a.meets(b)]
    ways = [(corner,) for corner in corners if _inside(plane, (one, corner, other))]
    return min(ways, key=lambda way: _length((one, *way, other)), default=())


def _inside(plane: Aeroplane, way: Sequence[Point]) -> bool:
    looked = (
        (a[0] + (b[0] - a[0]) * n / LOOKS, a[1] + (b[1] - a[1]) * n / LOOKS)
        for a, b in pairwise(way)
        for n in range(LOOKS + 1)
    )
    rects = list(plane.places.values())
    for rect, side in plane.wings:
        root = -rect.x if side == "left" else rect.x + rect.width
        rects.append(Rect(min(rect.x, 0.0), rect.y, root, rect.height))
    ends = [Rect(*way[0], 0.0, 0.0), Rect(*way[-1], 0.0, 0.0)]
    return all(
        abs(x) <= body_width(plane, y) + SPARE
        or any(_holds(rect.grown(SPARE), (x, y)) for rect in (*rects, *ends))
        for x, y in looked
    )


def _holds(rect: Rect, at: Point) -> bool:
    return rect.x <= at[0] <= rect.x + rect.width and rect.y <= at[1] <= rect.y + rect.height


def _shared(a: Rect, b: Rect) -> Rect:
    left, top = max(a.x, b.x), max(a.y, b.y)
    right, low = min(a.x + a.width, b.x + b.width), min(a.y + a.height, b.y + b.height)
    return Rect(left, top, right - left, low - top).grown(-min(right - left, low - top) / 5)


def _clamped(rect: Rect, one: Point, other: Point) -> Point:
    """Return the point in a rectangle by which the way from one to the other is shortest."""
    tried = [
        (rect.x + rect.width * i / 4, rect.y + rect.height * j / 4)
        for i in range(5)
        for j in range(5)
    ]
    return min(tried, key=lambda at: round(_length((one, at, other)), 3))


def _length(way: Sequence[Point]) -> float:
    return sum(dist(a, b) for a, b in pairwise(way))


class LeadEnds:
    """The ends of leads at the signs of a page; `joints`: dots."""

    def __init__(
        self,
        nodes: Mapping[str, Rect],
        ways: Mapping[str, tuple[str, str]],
        bends: Mapping[str, tuple[Point, ...]],
        joints: Collection[str],
    ) -> None:
        self.nodes, self.ways, self.bends, self.joints = dict(nodes), ways, bends, joints
        self.at: dict[tuple[str, str], Point] = {}
        self.met: dict[str, list[str]] = defaultdict(list)
        for lead, ends in ways.items():
            for node in dict.fromkeys(ends):
                self.met[node].append(lead)
        for _ in range(3):
            for node in self.met:
                self._stand(node)

    def line(self, lead: str) -> tuple[Point, ...]:
        """Return a lead from end to end."""
        tail, head = self.ways[lead]
        return (self.at[lead, tail], *self.bends.get(lead, ()), self.at[lead, head])

    def _toward(self, lead: str, node: str) -> Point:
        tail, head = self.ways[lead]
        bends = self.bends.get(lead, ())
        if bends:
            return bends[0] if node == tail else bends[-1]
        other = head if node == tail else tail
        return self.at.get((lead, other)) or self.nodes[other].center

    def _stand(self, node: str) -> None:
        rect = self.nodes[node]
        x, y = rect.center
        if node in self.joints:
            for lead in self.met[node]:
                to, reach = self._toward(lead, node), rect.width / 2
                size = max(dist(to, (x, y)), 1e-6)
                at = x + (to[0] - x) * reach / size, y + (to[1] - y) * reach / size
                self.at[lead, node] = at
            return
        sides: dict[str, list[tuple[float, str]]] = defaultdict(list)
        for lead in self.met[node]:
            to = self._toward(lead, node)
            dx, dy = to[0] - x, to[1] - y
            upright = abs(dy) * rect.width > abs(dx) * rect.height
            side = ("low" if dy > 0 else "top") if upright else ("right" if dx > 0 else "left")
            turn = dx / max(abs(dy), 1e-6) if upright else dy / max(abs(dx), 1e-6)
            sides[side].append((round(turn, 6), lead))
        most = [max(len(sides[a]), len(sides[b])) for a, b in (("top", "low"), SIDES)]
        wide, high = max(rect.width, most[0] * PITCH + 3), max(rect.height, most[1] * PITCH + 3)
        self.nodes[node] = Rect(x - wide / 2, y - high / 2, wide, high)
        for side, row in sides.items():
            for k, (_, lead) in enumerate(sorted(row)):
                off = (k - (len(row) - 1) / 2) * PITCH
                upright, sign = side in {"top", "low"}, 1 if side in {"right", "low"} else -1
                along = sign * ((high if upright else wide) / 2 - INSET)
                self.at[lead, node] = (x + off, y + along) if upright else (x + along, y + off)
