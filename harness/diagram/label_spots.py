"""Where a label may stand near what it tells of, and what its line meets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, dist, pi, sin

from harness.drawing.layout_model import Rect
from harness.drawing.scene import Point

RINGS = (*range(10, 120, 6), *range(120, 420, 14))  # how far from its part a label is tried
WAYS = sorted(((cos(pi * n / 10), sin(pi * n / 10)) for n in range(20)), key=lambda w: abs(w[1]))
"""Directions that are tried at each distance."""


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
    near = (box for box in boxes if box.x <= right and box.y <= low
            and left <= box.x + box.width and top <= box.y + box.height)  # fmt: skip
    return any(_meets(a, b, box) for box in near)


def _meets(a: Point, b: Point, box: Rect) -> bool:
    """Say whether a line meets a rectangle (Liang and Barsky 1984)."""
    first, last = 0.0, 1.0
    for start, way, low, high in ((a[0], b[0] - a[0], box.x, box.x + box.width),
                                  (a[1], b[1] - a[1], box.y, box.y + box.height)):  # fmt: skip
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
