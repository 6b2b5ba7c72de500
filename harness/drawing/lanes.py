"""Leads that climb between two columns of parts, each in a lane of its own.

Graphviz draws all curves of one gap through its middle, where thick ribbons would hide one
another. No part stands in such a gap, so the way across it is free to choose: level to the lane,
along the lane, level on. Outside the gaps a lead keeps the course that Graphviz found.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from harness.drawing.bezier import Curve, Spline, curves, joined, mix, tangents
from harness.drawing.crossing_x import first_at, last_at, stretch
from harness.drawing.lane_order import Climb, lane_numbers
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.scene import KAPPA, Point
from harness.drawing.spread import Span, free_columns

RADIUS = 15.0  # of a corner, points
PITCH = 13.0  # most distance between lanes
LEVEL = 2.0  # less climb than this is a level lead


@dataclass(frozen=True, slots=True)
class Crossing:
    """An edge's way across one gap: heights and directions at both sides of it."""

    start: Point
    end: Point
    way_in: Point = (1.0, 0.0)
    way_out: Point = (1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Course:
    """An edge cut at the gaps: what stays (n + 1 pieces) and the n crossings between them."""

    kept: tuple[tuple[Curve, ...], ...]
    crossings: tuple[tuple[int, Crossing], ...]


def in_lanes(laid: Laid) -> Laid:
    """The layout (left to right) with every climb across a free column in its own lane."""
    spans = free_columns(laid)
    rects = [node.rect for node in laid.nodes.values()]
    courses = {name: course(points, spans, rects) for name, points in laid.edges.items()}
    routes: dict[tuple[str, int], list[Curve]] = {}
    for number, span in enumerate(spans):
        found = {
            name: crossing
            for name, way in courses.items()
            for index, crossing in way.crossings
            if index == number
        }
        for name, route in _cross(span, found).items():
            routes[name, number] = route
    edges = {name: _assembled(name, way, routes) for name, way in courses.items()}
    return replace(laid, edges=edges)


def _assembled(name: str, way: Course, routes: dict[tuple[str, int], list[Curve]]) -> Spline:
    pieces = list(way.kept[0])
    for (number, _), kept in zip(way.crossings, way.kept[1:], strict=True):
        pieces += [*routes[name, number], *kept]
    return joined(pieces)


def course(points: Sequence[Point], spans: Sequence[Span], rects: Sequence[Rect]) -> Course:
    """Cut an edge at each gap that it crosses; one that turns back is kept whole."""
    whole = tuple(curves(points))
    met = [(i, s) for i, s in enumerate(spans) if points[0][0] <= s[0] and s[1] <= points[-1][0]]
    spots = [
        spot for _, span in met for spot in (first_at(whole, span[0]), last_at(whole, span[1]))
    ]
    if not met or any(b < a for a, b in pairwise(spots)):
        return Course((whole,), ())
    pieces = [stretch(whole, a, b) for a, b in pairwise([0.0, *spots, float(len(whole))])]
    pieces[0] = _levelled(pieces[0], rects, at_start=True)
    pieces[-1] = _levelled(pieces[-1], rects, at_start=False)
    crossings = [
        (number, _crossing(span, pieces[2 * i], pieces[2 * i + 1], pieces[2 * i + 2]))
        for i, (number, span) in enumerate(met)
    ]
    return Course(tuple(pieces[::2]), tuple(crossings))


def _crossing(
    span: Span, before: tuple[Curve, ...], across: tuple[Curve, ...], after: tuple[Curve, ...]
) -> Crossing:
    start = before[-1][3] if before else across[0][0]
    end = after[0][0] if after else across[-1][3]
    way_in = tangents(before[-1])[1] if before else (1.0, 0.0)
    way_out = tangents(after[0])[0] if after else (1.0, 0.0)
    return Crossing((span[0], start[1]), (span[1], end[1]), way_in, way_out)


def _levelled(
    piece: tuple[Curve, ...], rects: Sequence[Rect], *, at_start: bool
) -> tuple[Curve, ...]:
    """A straight level line from the socket to the gap, where no other part is in the way."""
    if not piece:
        return piece
    first, last = piece[0][0], piece[-1][3]
    y = first[1] if at_start else last[1]
    for rect in rects:
        inside = rect.x + 1 < last[0] and first[0] < rect.x + rect.width - 1
        if (
            inside
            and rect.y - 3 < y < rect.y + rect.height + 3
            and not _holds(rect, first if at_start else last)
        ):
            return piece
    return (_line((first[0], y), (last[0], y)),)


def _holds(rect: Rect, point: Point) -> bool:
    across = rect.x - 1 <= point[0] <= rect.x + rect.width + 1
    return across and rect.y - 1 <= point[1] <= rect.y + rect.height + 1


def _cross(span: Span, found: dict[str, Crossing]) -> dict[str, list[Curve]]:
    climbs = [
        Climb(name, way.start[1], way.end[1])
        for name, way in found.items()
        if abs(way.end[1] - way.start[1]) > LEVEL
    ]
    numbers = lane_numbers(climbs)
    count = max(numbers.values(), default=0) + 1
    middle = (span[0] + span[1]) / 2
    pitch = min(PITCH, (span[1] - span[0]) / (count + 1))
    return {
        name: route(way, middle + (numbers.get(name, 0) - (count - 1) / 2) * pitch)
        for name, way in found.items()
    }


def route(way: Crossing, x: float) -> list[Curve]:
    """Level, up or down the lane at `x`, level, with round corners."""
    (x0, y0), (x1, y1) = way.start, way.end
    climb = y1 - y0
    if abs(climb) <= LEVEL:
        third = (x1 - x0) / 3
        return [(way.start, _ahead(way.start, way.way_in, third),
                 _ahead(way.end, way.way_out, -third), way.end)]  # fmt: skip
    reach = min(RADIUS, x - x0, x1 - x)
    if abs(climb) < 2 * RADIUS:
        reach = min(1.2 * RADIUS, x - x0, x1 - x)
        turn = [((x - reach, y0), (x, y0), (x, y1), (x + reach, y1))]
    else:
        r = reach if climb > 0 else -reach
        k = 1 - KAPPA
        turn = [
            ((x - reach, y0), (x - reach * k, y0), (x, y0 + r * k), (x, y0 + r)),
            _line((x, y0 + r), (x, y1 - r)),
            ((x, y1 - r), (x, y1 - r * k), (x + reach * k, y1), (x + reach, y1)),
        ]
    lead_in = _eased(way.start, way.way_in, (x - reach, y0))
    lead_out = _eased(way.end, (-way.way_out[0], -way.way_out[1]), (x + reach, y1))
    return [lead_in, *turn, (lead_out[3], lead_out[2], lead_out[1], lead_out[0])]


def _eased(start: Point, way: Point, end: Point) -> Curve:
    third = abs(end[0] - start[0]) / 3
    return start, _ahead(start, way, third), mix(end, (start[0], end[1]), 1 / 3), end


def _ahead(point: Point, way: Point, distance: float) -> Point:
    return point[0] + way[0] * distance, point[1] + way[1] * distance


def _line(a: Point, b: Point) -> Curve:
    return a, mix(a, b, 1 / 3), mix(a, b, 2 / 3), b
