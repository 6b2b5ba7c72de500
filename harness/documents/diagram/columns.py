"""Columns of a run: parts stand in line at their left, and each gap is as wide as its lanes need."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from harness.drawing.lane_order import Climb, lane_numbers
from harness.drawing.lanes import course
from harness.drawing.layout_model import Laid, LaidNode, Rect
from harness.drawing.spread import Span, free_columns

LANE = 10.5  # distance of lanes, points
TURN = 12.0  # room for the corners at both sides of the lanes
SAME = 1.0  # parts whose middles differ by less stand in one column


def columns_of(laid: Laid) -> dict[str, int]:
    """Number of the column each part stands in, 0 at the left."""
    middles = sorted({round(node.rect.center[0] / SAME) for node in laid.nodes.values()})
    return {n: middles.index(round(k.rect.center[0] / SAME)) for n, k in laid.nodes.items()}


def shifted(node: LaidNode, dx: float, dy: float) -> LaidNode:
    """A node moved with its ports."""
    ports = {name: (x + dx, y + dy) for name, (x, y) in node.ports.items()}
    return LaidNode(replace(node.rect, x=node.rect.x + dx, y=node.rect.y + dy), ports)


def roomy(laid: Laid) -> Laid:
    """The layout with every gap between columns just as wide as the lanes through it."""
    spans = free_columns(laid)
    if not spans:
        return laid
    growth = [_needed(laid, spans, i) - (s[1] - s[0]) for i, s in enumerate(spans)]
    to = _mapping(spans, growth)
    return Laid(
        {n: shifted(node, to(node.rect.x) - node.rect.x, 0.0) for n, node in laid.nodes.items()},
        {name: tuple((to(x), y) for x, y in points) for name, points in laid.edges.items()},
        {name: _zone(rect, to) for name, rect in laid.clusters.items()},
        to(laid.width),
        laid.height,
    )


def _needed(laid: Laid, spans: list[Span], number: int) -> float:
    rects = [node.rect for node in laid.nodes.values()]
    climbs: list[Climb] = []
    for name, points in laid.edges.items():
        for index, crossing in course(points, spans, rects).crossings:
            if index == number and abs(crossing.end[1] - crossing.start[1]) > 2:
                climbs.append(Climb(name, crossing.start[1], crossing.end[1]))
    lanes = max(lane_numbers(climbs).values(), default=-1) + 1
    return 2 * TURN + max(lanes - 1, 0) * LANE if lanes else TURN


def _mapping(spans: list[Span], growth: list[float]) -> Callable[[float], float]:
    def to(x: float) -> float:
        moved = x
        for (start, end), more in zip(spans, growth, strict=True):
            moved += more * min(max((x - start) / (end - start), 0.0), 1.0)
        return moved

    return to


def _zone(rect: Rect, to: Callable[[float], float]) -> Rect:
    left = to(rect.x)
    return replace(rect, x=left, width=to(rect.x + rect.width) - left)
