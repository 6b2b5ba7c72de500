"""Looks along a lead: points close enough together to stand for the whole of it."""

from __future__ import annotations

from bisect import bisect_left
from math import inf

from harness.drawing.bezier import Curve, Spline, curves, point_at
from harness.drawing.scene import Point

STEP = 4.0  # between looks, points


def along(curve: Curve) -> list[Point]:
    """Return points along a curve, both ends among them."""
    count = looks(curve)
    return [point_at(curve, k / count) for k in range(count + 1)]


def looks(curve: Curve) -> int:
    """Return the number of pieces, about STEP points long, into which a curve is cut."""
    (ax, ay), (bx, by), (_, cy), (dx, dy) = curve
    size = abs(dx - ax) + abs(dy - ay) + abs(bx - ax) + abs(cy - by)
    return max(int(size / STEP), 2)


def height_at(spline: Spline, x: float) -> float:
    """Return the height of a lead where it comes nearest to `x`."""
    best, height = inf, 0.0
    for curve in curves(spline):
        sides = [point[0] for point in curve]
        if max(min(sides) - x, x - max(sides), 0.0) >= best:
            continue
        for px, py in _near(curve, x):
            if abs(px - x) < best:
                best, height = abs(px - x), py
    return height


def _near(curve: Curve, x: float) -> list[Point]:
    """Return the looks on both sides of `x` where a curve goes one way, else all of them."""
    (a, _), (b, _), (c, _), (d, _) = curve
    way = 1.0 if a < b <= c < d else -1.0 if a > b >= c > d else 0.0
    if not way:
        return along(curve)
    count = looks(curve)
    numbers = range(count + 1)
    after = bisect_left(numbers, way * x, key=lambda k: way * point_at(curve, k / count)[0])
    return [point_at(curve, k / count) for k in (after - 1, after) if 0 <= k <= count]
