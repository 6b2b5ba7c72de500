"""The last points of an edge: from where Graphviz ended it to the very socket."""

from collections.abc import Mapping
from math import hypot

from harness.drawing.bezier import mix
from harness.drawing.layout_model import LaidNode, LayoutEdge, LayoutGraph, LayoutPort, Rect, Side
from harness.drawing.scene import Point


def landed(
    points: list[Point], edge: LayoutEdge, graph: LayoutGraph, laid: Mapping[str, LaidNode]
) -> tuple[Point, ...]:
    """The spline with each end that has a port moved onto it, leaving at a right angle."""
    ports = {node.id: {port.id: port for port in node.ports} for node in graph.nodes}
    if edge.tail_port is not None:
        port = ports[edge.tail][edge.tail_port]
        points = _land(points, laid[edge.tail], port)
    if edge.head_port is not None:
        port = ports[edge.head][edge.head_port]
        points = _land(points[::-1], laid[edge.head], port)[::-1]
    return tuple(points)


def _land(points: list[Point], node: LaidNode, port: LayoutPort) -> list[Point]:
    target = node.ports[port.id]
    rim = on_rim(target, node.rect, port.side)
    dx, dy = rim[0] - points[0][0], rim[1] - points[0][1]
    first = (points[1][0] + dx, points[1][1] + dy)
    points = [rim, first, *points[2:]]
    if hypot(target[0] - rim[0], target[1] - rim[1]) < 0.01:
        return points
    return [target, mix(target, rim, 1 / 3), mix(target, rim, 2 / 3), *points]


def on_rim(target: Point, rect: Rect, side: Side) -> Point:
    """The point of a part's rim from which a lead to `target`, on or inside it, comes in."""
    x = {"left": rect.x, "right": rect.x + rect.width}.get(side, target[0])
    y = {"top": rect.y, "bottom": rect.y + rect.height}.get(side, target[1])
    return x, y
