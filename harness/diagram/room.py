"""Free room on a drawing: a coarse grid of what is covered, asked for rectangles in no time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import dist

from harness.diagram.lead_points import along
from harness.drawing.bezier import Curve, Spline, curves, is_plain
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point

CELL = 2.0  # points


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
    for x, y in along(curve):
        yield x, y, x, y
