"""The last points of an edge: from where Graphviz ended it to the very socket."""

from collections.abc import Mapping
from math import hypot

from harness.drawing.bezier import mix
from harness.drawing.layout_model import LaidNode, LayoutEdge, LayoutGraph, LayoutPort, Rect, Side
from harness.drawing.scene import Point

OUTWARD: Mapping[Side, Point] = {
    "left": (-1.0, 0.0), "right": (1.0, 0.0), "top": (0.0, -1.0), "bottom": (0.0, 1.0),
}  # fmt: skip
EASE = 30.0  # longest handle given to an edge that Graphviz drew without a direction, points


def landed(
    points: list[Point], edge: LayoutEdge, graph: LayoutGraph, laid: Mapping[str, LaidNode]
) -> tuple[Point, ...]:
    """The spline with each end that has a port moved onto it, leaving at a right angle."""
    eased = graph.engine == "neato"
    ports = {node.id: {port.id: port for port in node.ports} for node in graph.nodes}
    if edge.tail_port is not None:
        port = ports[edge.tail][edge.tail_port]
        points = _land(points, laid[edge.tail], port, eased=eased)
    if edge.head_port is not None:
        port = ports[edge.head][edge.head_port]
        points = _land(points[::-1], laid[edge.head], port, eased=eased)[::-1]
    return tuple(points)


def _land(points: list[Point], node: LaidNode, port: LayoutPort, *, eased: bool) -> list[Point]:
    target = node.ports[port.id]
    rim = _on_rim(target, node.rect, port.side)
    dx, dy = rim[0] - points[0][0], rim[1] - points[0][1]
    first = (points[1][0] + dx, points[1][1] + dy)
    if eased:
        first = _handle(rim, points[3], OUTWARD[port.side])
    points = [rim, first, *points[2:]]
    if hypot(target[0] - rim[0], target[1] - rim[1]) < 0.01:
        return points
    return [target, mix(target, rim, 1 / 3), mix(target, rim, 2 / 3), *points]


def _on_rim(target: Point, rect: Rect, side: Side) -> Point:
    x = {"left": rect.x, "right": rect.x + rect.width}.get(side, target[0])
    y = {"top": rect.y, "bottom": rect.y + rect.height}.get(side, target[1])
    return x, y


def _handle(start: Point, end: Point, way: Point) -> Point:
    reach = min(EASE, hypot(end[0] - start[0], end[1] - start[1]) / 2)
    return start[0] + way[0] * reach, start[1] + way[1] * reach
