"""Cubic spline geometry: cut, measure, offset. A spline is 3n + 1 control points."""

from bisect import bisect_left
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import acos, cos, dist, hypot, inf, pi

from harness.drawing.scene import Point

Spline = tuple[Point, ...]
Curve = tuple[Point, Point, Point, Point]
STEP = pi / 4 + 1e-6  # largest turn of one offset piece: half a round corner, rounding and all
STRAIGHT = 0.01  # a turn that needs no look, radians
ERROR = 0.01  # largest error of an offset piece where it is looked at, points
DEEPEST = 7  # most halvings of one curve
FINE = 80  # chords a curve when its length is measured
LOOK = 4.0  # between two looks at a curve, points


def curves(spline: Sequence[Point]) -> list[Curve]:
    """The single curves of a spline."""
    starts = range(0, len(spline) - 3, 3)
    return [(spline[i], spline[i + 1], spline[i + 2], spline[i + 3]) for i in starts]


def joined(pieces: Sequence[Curve]) -> Spline:
    """Curves end to end as one spline."""
    return (pieces[0][0], *(point for piece in pieces for point in piece[1:]))


def straight(points: Sequence[Point]) -> Spline:
    """A polyline as a spline."""
    pairs = pairwise(points)
    return joined([(a, mix(a, b, 1 / 3), mix(a, b, 2 / 3), b) for a, b in pairs])


def mix(a: Point, b: Point, t: float) -> Point:
    """The point at fraction t of the way from a to b."""
    return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t


def split(curve: Curve, t: float) -> tuple[Curve, Curve]:
    """Both halves of a curve cut at parameter t (de Casteljau)."""
    a, b, c, d = curve
    ab, bc, cd = mix(a, b, t), mix(b, c, t), mix(c, d, t)
    abc, bcd = mix(ab, bc, t), mix(bc, cd, t)
    middle = mix(abc, bcd, t)
    return (a, ab, abc, middle), (middle, bcd, cd, d)


def between(curve: Curve, start: float, end: float) -> Curve:
    """The piece of a curve from parameter `start` to `end`."""
    rest = split(curve, start)[1] if start > 0 else curve
    return split(rest, (end - start) / (1 - start))[0] if end < 1 else rest


def point_at(curve: Curve, t: float) -> Point:
    """The point of a curve at parameter t (Bernstein form)."""
    a, b, c, d = curve
    r = 1 - t
    i, j, k, m = r**3, 3 * r * r * t, 3 * r * t * t, t**3
    return (i * a[0] + j * b[0] + k * c[0] + m * d[0], i * a[1] + j * b[1] + k * c[1] + m * d[1])


def is_plain(curve: Curve) -> bool:
    """Whether a curve runs level or upright, straight from end to end."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = curve
    if ay == by == cy == dy:
        return ax <= bx <= cx <= dx or ax >= bx >= cx >= dx
    return ax == bx == cx == dx and (ay <= by <= cy <= dy or ay >= by >= cy >= dy)


def length(spline: Sequence[Point]) -> float:
    """Length in points; of what is bent, by chords."""
    return sum(
        dist(curve[0], curve[3]) if is_plain(curve) else sum(_chords(_at_origin(curve)))
        for curve in curves(spline)
    )


@lru_cache(1 << 12)
def _chords(curve: Curve) -> list[float]:
    points = [point_at(curve, i / FINE) for i in range(FINE + 1)]
    return [dist(a, b) for a, b in pairwise(points)]


def cut(spline: Sequence[Point], start: float, end: float) -> Spline:
    """The spline from distance `start` to distance `end` along it, in points."""
    pieces: list[Curve] = []
    done = 0.0
    for curve in curves(spline):
        chords = _chords(_at_origin(curve))
        size = sum(chords)
        low, high = _parameter(chords, start - done), _parameter(chords, end - done)
        if high > low:
            pieces.append(between(curve, low, high))
        done += size
    return joined(pieces) if pieces else tuple(spline[:1]) * 4


def _parameter(chords: Sequence[float], distance: float) -> float:
    """Curve parameter at a distance along it, 0 to 1."""
    for index, chord in enumerate(chords):
        if distance < chord:
            return max(0.0, (index + distance / chord) / len(chords)) if chord else 0.0
        distance -= chord
    return 1.0


def along(spline: Sequence[Point], distance: float) -> tuple[Point, Point]:
    """Point and unit direction at a distance along the spline, held to its ends."""
    total = length(spline)
    distance = min(max(distance, 0.0), total)
    if distance > total / 2:
        part = curves(cut(spline, 0.0, distance))[-1]
        return part[3], tangents(part)[1]
    part = curves(cut(spline, distance, total))[0]
    return part[0], tangents(part)[0]


def tangents(curve: Curve) -> tuple[Point, Point]:
    """Unit directions at both ends; handles of no length are passed over."""
    a, b, c, d = curve
    first = next((p for p in (b, c, d) if _far(a, p)), (a[0] + 1, a[1]))
    last = next((p for p in (c, b, a) if _far(d, p)), (d[0] - 1, d[1]))
    return _unit(a, first), _unit(last, d)


def _far(a: Point, b: Point) -> bool:
    return dist(a, b) > 1e-6


def _unit(a: Point, b: Point) -> Point:
    size = dist(a, b)
    return ((b[0] - a[0]) / size, (b[1] - a[1]) / size) if size else (1.0, 0.0)


def offset(spline: Sequence[Point], distance: float) -> Spline:
    """The parallel curve at `distance` to the right of travel (y downwards).

    Each curve is halved until the cubic with the parallel curve's ends and end derivatives is
    within ERROR of the parallel curve. Corners are mitred.
    """
    if not distance:
        return tuple(spline)
    pieces = [piece for curve in curves(spline) for piece in _gentle(curve, distance)]
    ends = [tangents(piece) for piece in pieces]
    normals = [_normal(ends[0][0], ends[0][0])]
    normals += [_normal(a[1], b[0]) for a, b in pairwise(ends)]
    normals.append(_normal(ends[-1][1], ends[-1][1]))
    return joined(
        [_parallel(piece, distance, normals[i], normals[i + 1]) for i, piece in enumerate(pieces)]
    )


def _gentle(curve: Curve, distance: float, depth: int = 0) -> list[Curve]:
    if depth == DEEPEST or is_plain(curve) or _is_gentle(_at_origin(curve), distance):
        return [curve]
    first, second = split(curve, 0.5)
    return _gentle(first, distance, depth + 1) + _gentle(second, distance, depth + 1)


def _at_origin(curve: Curve) -> Curve:
    """Return the shape of a curve, alike for all round corners of one radius."""
    (x, y), *others = curve
    b, c, d = ((round(u - x, 9), round(v - y, 9)) for u, v in others)
    return (0.0, 0.0), b, c, d


@lru_cache(1 << 12)
def _is_gentle(curve: Curve, distance: float) -> bool:
    units = [_unit(a, b) for a, b in pairwise(curve) if _far(a, b)]
    turn = sum(_angle(u, v) for u, v in pairwise(units))
    return turn < STRAIGHT or (turn <= STEP and _error(curve, distance) <= ERROR)


def _error(curve: Curve, distance: float) -> float:
    """How far the parallel cubic strays, looked at in three places."""
    start, end = (_normal(way, way) for way in tangents(curve))
    drawn = _parallel(curve, distance, start, end)
    worst = 0.0
    for t in (0.25, 0.5, 0.75):
        (x, y), way = point_at(curve, t), _way_at(curve, t)
        nx, ny = _normal(way, way)
        found = point_at(drawn, t)
        gap = (found[0] - x) * nx + (found[1] - y) * ny - distance
        worst = max(worst, abs(gap))
    return worst


def _way_at(curve: Curve, t: float) -> Point:
    """Unit direction inside a curve."""
    a, b, c, d = curve
    return _unit(mix(mix(a, b, t), mix(b, c, t), t), mix(mix(b, c, t), mix(c, d, t), t))


def _angle(u: Point, v: Point) -> float:
    return acos(min(1.0, max(-1.0, u[0] * v[0] + u[1] * v[1])))


def _normal(before: Point, after: Point) -> Point:
    """Normal at a joint, lengthened so that both offset lines meet in it (at most twofold)."""
    if before == after:
        return -before[1], before[0]
    x, y = before[0] + after[0], before[1] + after[1]
    size = hypot(x, y) or 1.0
    stretch = min(2.0, 1 / max(cos(_angle(before, after) / 2), 1e-9))
    return -y / size * stretch, x / size * stretch


def _parallel(piece: Curve, distance: float, first: Point, last: Point) -> Curve:
    a, b, c, d = piece
    start = (a[0] + first[0] * distance, a[1] + first[1] * distance)
    end = (d[0] + last[0] * distance, d[1] + last[1] * distance)
    grow = max(1 - distance * _bend(a, b, c), 0.0)
    shrink = max(1 - distance * _bend(b, c, d, at_end=True), 0.0)
    handle = (start[0] + (b[0] - a[0]) * grow, start[1] + (b[1] - a[1]) * grow)
    other = (end[0] - (d[0] - c[0]) * shrink, end[1] - (d[1] - c[1]) * shrink)
    return start, handle, other, end


def _bend(a: Point, b: Point, c: Point, *, at_end: bool = False) -> float:
    """Signed curvature at a (at c with `at_end`) from the three control points next to it."""
    u, v = (b[0] - a[0], b[1] - a[1]), (c[0] - b[0], c[1] - b[1])
    size = hypot(*(v if at_end else u))
    return 2 / 3 * (u[0] * v[1] - u[1] * v[0]) / size**3 if size > 1e-6 else 0.0


def looks(curve: Curve) -> list[Point]:
    """Return points along a curve, both ends among them."""
    count = look_count(curve)
    return [point_at(curve, k / count) for k in range(count + 1)]


def look_count(curve: Curve) -> int:
    """Return the number of pieces, about LOOK points long, into which a curve is cut."""
    (ax, ay), (bx, by), (_, cy), (dx, dy) = curve
    size = abs(dx - ax) + abs(dy - ay) + abs(bx - ax) + abs(cy - by)
    return max(int(size / LOOK), 2)


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
        return looks(curve)
    count = look_count(curve)
    numbers = range(count + 1)
    after = bisect_left(numbers, way * x, key=lambda k: way * point_at(curve, k / count)[0])
    return [point_at(curve, k / count) for k in (after - 1, after) if 0 <= k <= count]
