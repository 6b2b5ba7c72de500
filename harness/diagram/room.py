"""Free room on a drawing: a coarse grid of what is covered, asked for rectangles in no time.

Where a label may stand near what it tells of, too, and what its line meets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, dist, pi, sin

from harness.drawing.bezier import Curve, Spline, curves, is_plain, looks
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point

CELL = 2.0  # points
RINGS = (*range(10, 120, 6), *range(120, 420, 14))  # how far from its part a label is tried
WAYS = sorted(((cos(pi * n / 10), sin(pi * n / 10)) for n in range(20)), key=lambda w: abs(w[1]))
"""Directions that are tried at each distance."""


class FreeRoom:
    """Which cells of a drawing `wide` by `high` points are covered."""

    def __init__(self, wide: float, high: float) -> None:
        self.wide, self.high = wide, high
        self.columns, self.rows = int(wide / CELL) + 2, int(high / CELL) + 2
        self.covered = [bytearray(self.columns) for _ in range(self.rows)]

    def cover(self, rects: Iterable[Rect]) -> None:
        """Mark rectangles as covered."""
        for rect in rects:
            self._mark(rect.x, rect.y, rect.x + rect.width, rect.y + rect.height)

    def cover_lines(self, splines: Iterable[Spline], reach: float) -> None:
        """Mark the neighbourhood of leads."""
        for spline in splines:
            for curve in curves(spline):
                for left, top, right, low in _boxes(curve):
                    self._mark(left - reach, top - reach, right + reach, low + reach)

    def _mark(self, left: float, top: float, right: float, low: float) -> None:
        start, end = self._cells(left, right, self.columns)
        first, last = self._cells(top, low, self.rows)
        marks = b"\x01" * (end - start)
        for row in self.covered[first:last]:
            row[start:end] = marks

    def copy(self, high: float) -> FreeRoom:
        """Return a drawing covered alike, of this height or less, to be covered further."""
        other = FreeRoom(self.wide, high)
        other.covered = [row[:] for row in self.covered]
        return other

    def is_free(self, rect: Rect) -> bool:
        """Say whether nothing covers a rectangle that lies inside the drawing."""
        left, top, right, low = rect.box
        if left < 0 or right > self.wide or top < 0 or low > self.high:
            return False
        start, end = self._cells(left, right, self.columns)
        first, last = self._cells(top, low, self.rows)
        return all(row.find(1, start, end) < 0 for row in self.covered[first:last])

    def spots(self, width: float, height: float, within: Rect) -> Iterator[Point]:
        """Yield free top left corners for a rectangle, from the top down, left to right."""
        y = max(within.y, 0.0)
        right = min(within.x + within.width, self.wide) - width + 0.01
        low = min(within.y + within.height, self.high) - height + 0.01
        while y <= low:
            x = max(within.x, 0.0)
            first, last = self._cells(y, y + height, self.rows)
            while x <= right:
                start, end = self._cells(x, x + width, self.columns)
                rows = (row.rfind(1, start, end) for row in self.covered[first:last])
                if (blocked := max(rows, default=-1)) < 0:
                    yield x, y
                x = max(x + CELL, (blocked + 1) * CELL)
            y += CELL

    def nearest(self, at: Point, size: float) -> Rect:
        """Return the free square nearest to a point and off the edge, else the one over it.

        Row after row away from the point, each as far as what was found lies.
        """
        found = (self.wide + self.high, at[1], at[0])
        for y in sorted((n * CELL for n in range(1, self.rows)), key=lambda y: abs(y - at[1])):
            if abs(y - at[1]) > found[0]:
                break
            left = max((at[0] - found[0]) // CELL * CELL, CELL)
            wide = min(at[0] + found[0] + size, self.wide - CELL) - left
            row = Rect(left, y, wide, min(size, self.high - CELL - y))
            free = ((dist((x, y), at), y, x) for x, _ in self.spots(size, size, row))
            found = min((found, *free))
        return Rect(found[2], found[1], size, size)

    @staticmethod
    def _cells(start: float, end: float, count: int) -> tuple[int, int]:
        low, high = int(start // CELL), int(-(-end // CELL))
        low = 0 if low < 0 else low if low < count else count
        return low, low if high < low else high if high < count else count


def _boxes(curve: Curve) -> Iterator[tuple[float, float, float, float]]:
    """Yield what a curve covers: one box if it is level or upright, else points along it."""
    if is_plain(curve):
        (ax, ay), (dx, dy) = curve[0], curve[3]
        yield min(ax, dx), min(ay, dy), max(ax, dx), max(ay, dy)
        return
    for x, y in looks(curve):
        yield x, y, x, y


def boxes_along(line: Sequence[Point], reach: float) -> Iterator[Rect]:
    """Yield small boxes along a polyline."""
    for a, b in pairwise(line):
        for x, y in stepped(a, b, 3):
            yield Rect(x, y, 0.0, 0.0).grown(reach)


def stepped(a: Point, b: Point, step: float) -> list[Point]:
    """Return points along a line, both ends among them."""
    count = max(int(dist(a, b) / step), 1)
    ways = range(count + 1)
    return [(a[0] + (b[0] - a[0]) * n / count, a[1] + (b[1] - a[1]) * n / count) for n in ways]


def at_share(line: Sequence[Point], share: float) -> Point:
    """Return the point at a share of a polyline's length."""
    left = share * sum(dist(a, b) for a, b in pairwise(line))
    for a, b in pairwise(line):
        size = dist(a, b)
        if left <= size and size:
            return a[0] + (b[0] - a[0]) * left / size, a[1] + (b[1] - a[1]) * left / size
        left -= size
    return line[-1]


def boxes_around(at: Point, wide: float, high: float, *, flip: bool) -> Iterator[Rect]:
    """Yield boxes about a point, nearer ones first; beside it, outward, before above and below."""
    outward = -1 if flip else 1
    for ring in RINGS:
        for dx, dy in WAYS:
            x, y = at[0] + dx * outward * (ring + wide / 2), at[1] + dy * (ring + high / 2)
            yield Rect(x - wide / 2, y - high / 2, wide, high)


def edge_of(box: Rect, at: Point) -> Point:
    """Return where the line from a box to a point begins: at its nearest side."""
    left, top, right, low = box.box
    return min(max(at[0], left), right), min(max(at[1], top), low)


def is_crossed(a: Point, b: Point, boxes: Iterable[Rect]) -> bool:
    """Say whether a line meets one of some rectangles."""
    (left, right), (top, low) = sorted((a[0], b[0])), sorted((a[1], b[1]))
    near = (
        box
        for box in boxes
        if box.x <= right
        and box.y <= low
        and left <= box.x + box.width
        and top <= box.y + box.height
    )
    return any(_meets(a, b, box) for box in near)


def _meets(a: Point, b: Point, box: Rect) -> bool:
    """Say whether a line meets a rectangle (Liang and Barsky 1984)."""
    first, last = 0.0, 1.0
    for start, way, low, high in (
        (a[0], b[0] - a[0], box.x, box.x + box.width),
        (a[1], b[1] - a[1], box.y, box.y + box.height),
    ):
        if abs(way) < 1e-9:
            if not low <= start <= high:
                return False
            continue
        near, far = sorted(((low - start) / way, (high - start) / way))
        first, last = max(first, near), min(last, far)
    return first <= last


def lines_cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Say whether two lines cross."""

    def side(a: Point, b: Point, p: Point) -> float:
        return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0
