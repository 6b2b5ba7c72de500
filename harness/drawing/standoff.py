"""Leads between pinned parts: away from the socket first, then round everything, own part too.

Graphviz lets an edge run through the two nodes that it joins. With the ends on small nodes just
outside the sockets the parts themselves are in its way, and leads go round them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import hypot

from harness.drawing.bezier import Curve, Spline, along, curves, cut, joined, length
from harness.drawing.landing import OUTWARD, on_rim
from harness.drawing.layout_model import (
    Laid,
    LayoutEdge,
    LayoutError,
    LayoutGraph,
    LayoutNode,
    Rect,
    Side,
)
from harness.drawing.scene import Point

REACH = 12.0  # distance of the small node from the socket, points
STEP_OUT = 8.0  # how much farther out the next lead of the same side turns
MOST_STEPS = 4
DOT = 1.0  # its size
BLEND = 14.0  # length of the lead that is bent to leave the socket squarely


def stood_off(graph: LayoutGraph) -> LayoutGraph:
    """The graph with each edge's ends on small nodes outside the sockets; raises LayoutError."""
    nodes = {node.id: node for node in graph.nodes}
    ends = [end for edge in graph.edges for end in _ends(edge, nodes)]
    steps = _steps(ends)
    dots = {(end.edge, end.which): _dot(end, steps[end.edge, end.which]) for end in ends}
    edges = tuple(
        replace(
            edge,
            tail=dots[edge.id, "tail"].id if edge.tail_port is not None else edge.tail,
            head=dots[edge.id, "head"].id if edge.head_port is not None else edge.head,
            tail_port=None,
            head_port=None,
        )
        for edge in graph.edges
    )
    return replace(graph, nodes=(*graph.nodes, *dots.values()), edges=edges)


@dataclass(frozen=True, slots=True)
class _End:
    """One end of an edge: its part, its rim point, which way out, where the other end is."""

    edge: str
    which: str
    node: LayoutNode
    rim: Point
    side: Side
    toward: Point


def _ends(edge: LayoutEdge, nodes: Mapping[str, LayoutNode]) -> list[_End]:
    found: list[_End] = []
    for which, own, name, other in (
        ("tail", edge.tail, edge.tail_port, edge.head),
        ("head", edge.head, edge.head_port, edge.tail),
    ):
        node, goal = nodes[own], nodes[other].pos
        if name is None:
            continue
        port = next((port for port in node.ports if port.id == name), None)
        if node.pos is None or goal is None:
            raise LayoutError(f"{own if node.pos is None else other} has no place")
        if port is None:
            raise LayoutError(f"{own} has no port {name}")
        left, top = node.pos[0] - node.width / 2, node.pos[1] - node.height / 2
        box = Rect(left, top, node.width, node.height)
        rim = on_rim((left + port.x, top + port.y), box, port.side)
        found.append(_End(edge.id, which, node, rim, port.side, goal))
    return found


def _steps(ends: Sequence[_End]) -> dict[tuple[str, str], int]:
    """How many steps farther out each end turns, so that neighbours do not cross or cover."""
    groups: dict[tuple[str, Side, bool], list[tuple[float, _End]]] = {}
    for end in ends:
        along_y = end.side in ("left", "right")
        own, goal = (end.rim[1], end.toward[1]) if along_y else (end.rim[0], end.toward[0])
        back = goal < own
        groups.setdefault((end.node.id, end.side, back), []).append((own if back else -own, end))
    steps: dict[tuple[str, str], int] = {}
    for group in groups.values():
        for index, (_, end) in enumerate(sorted(group, key=lambda row: (row[0], row[1].edge))):
            steps[end.edge, end.which] = min(index, MOST_STEPS)
    return steps


def _dot(end: _End, step: int) -> LayoutNode:
    way = OUTWARD[end.side]
    reach = REACH + step * STEP_OUT
    place = (end.rim[0] + way[0] * reach, end.rim[1] + way[1] * reach)
    return LayoutNode(f"{end.which} of {end.edge}", DOT, DOT, end.node.cluster, (), place)


def landed_again(laid: Laid, graph: LayoutGraph) -> Laid:
    """The layout of a stood-off graph as one of `graph`: leads on sockets, small nodes gone."""
    sides = {(node.id, port.id): port.side for node in graph.nodes for port in node.ports}
    edges: dict[str, Spline] = {}
    for edge in graph.edges:
        spline = tuple(laid.edges[edge.id])
        if edge.tail_port is not None:
            port = laid.nodes[edge.tail].ports[edge.tail_port]
            spline = _blended(spline, port, OUTWARD[sides[edge.tail, edge.tail_port]])
        if edge.head_port is not None:
            port = laid.nodes[edge.head].ports[edge.head_port]
            spline = _blended(spline[::-1], port, OUTWARD[sides[edge.head, edge.head_port]])[::-1]
        edges[edge.id] = spline
    nodes = {node.id: laid.nodes[node.id] for node in graph.nodes}
    return replace(laid, nodes=nodes, edges=edges)


def _blended(spline: Spline, port: Point, way: Point) -> Spline:
    """The spline from the port on: its first stretch replaced by one smooth bend."""
    total = length(spline)
    skip = min(BLEND, total / 3)
    (x, y), (dx, dy) = along(spline, skip)
    reach = hypot(spline[0][0] - port[0], spline[0][1] - port[1]) * 1.2
    first: Curve = (
        port,
        (port[0] + way[0] * reach, port[1] + way[1] * reach),
        (x - dx * skip * 0.8, y - dy * skip * 0.8),
        (x, y),
    )
    return joined([first, *curves(cut(spline, skip, total))])
