"""Free room on a drawing: a coarse grid of what is covered, asked for rectangles in no time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point

CELL = 2.0  # points


class Room:
    """Which cells of a drawing `wide` by `high` points are covered."""

    def __init__(self, wide: float, high: float) -> None:
        self.wide, self.high = wide, high
        self.columns, self.rows = int(wide / CELL) + 2, int(high / CELL) + 2
        self.covered = [bytearray(self.columns) for _ in range(self.rows)]

    def cover(self, rects: Iterable[Rect]) -> None:
        """Mark rectangles as covered."""
        for rect in rects:
            left, right = self._cells(rect.x, rect.x + rect.width, self.columns)
            top, low = self._cells(rect.y, rect.y + rect.height, self.rows)
            if right > left:
                for row in self.covered[top:low]:
                    row[left:right] = b"\x01" * (right - left)

    def cover_line(self, points: Iterable[Point], reach: float) -> None:
        """Mark the neighbourhood of points along a lead."""
        self.cover(Rect(x - reach, y - reach, 2 * reach, 2 * reach) for x, y in points)

    def is_free(self, rect: Rect) -> bool:
        """Say whether nothing covers a rectangle that lies inside the drawing."""
        inside = rect.x >= 0 and rect.x + rect.width <= self.wide
        inside = inside and rect.y >= 0 and rect.y + rect.height <= self.high
        return inside and self._blocker(rect) < 0

    def _blocker(self, rect: Rect) -> int:
        """Return the rightmost covered column of cells under a rectangle, -1 for none."""
        left, right = self._cells(rect.x, rect.x + rect.width, self.columns)
        top, low = self._cells(rect.y, rect.y + rect.height, self.rows)
        return max((row.rfind(1, left, right) for row in self.covered[top:low]), default=-1)

    def spots(self, width: float, height: float, within: Rect) -> Iterator[Point]:
        """Yield free top left corners for a rectangle, from the top down, left to right."""
        y = max(within.y, 0.0)
        right = min(within.x + within.width, self.wide) - width + 0.01
        low = min(within.y + within.height, self.high) - height + 0.01
        while y <= low:
            x = max(within.x, 0.0)
            while x <= right:
                blocked = self._blocker(Rect(x, y, width, height))
                if blocked < 0:
                    yield x, y
                x = max(x + CELL, (blocked + 1) * CELL)
            y += CELL

    @staticmethod
    def _cells(start: float, end: float, count: int) -> tuple[int, int]:
        low = min(max(int(start // CELL), 0), count)
        return low, max(min(int(-(-end // CELL)), count), low)


def along_spline(points: tuple[Point, ...], step: float = 4.0) -> Iterator[Point]:
    """Yield points along a chain of cubic curves, about `step` points apart."""
    for i in range(0, len(points) - 3, 3):
        (ax, ay), (bx, by), (cx, cy), (dx, dy) = points[i : i + 4]
        size = abs(dx - ax) + abs(dy - ay) + abs(bx - ax) + abs(cy - by)
        count = max(int(size / step), 2)
        for k in range(count + 1):
            t = k / count
            r = 1 - t
            yield (
                r**3 * ax + 3 * r * r * t * bx + 3 * r * t * t * cx + t**3 * dx,
                r**3 * ay + 3 * r * r * t * by + 3 * r * t * t * cy + t**3 * dy,
            )
