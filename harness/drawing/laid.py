"""Graphviz JSON to a finished layout, refusing one in which an edge is missing."""

import json
from collections.abc import Mapping
from typing import Any

from harness.drawing.landing import landed
from harness.drawing.layout_model import (
    Laid,
    LaidNode,
    LayoutError,
    LayoutGraph,
    LayoutNode,
    LostEdges,
    Rect,
)
from harness.drawing.scene import Point


def read_laid(text: str, graph: LayoutGraph) -> Laid:
    """The layout of `graph` as drawn; raises LayoutError, and LostEdges if an edge is missing."""
    try:
        drawn = json.loads(text)
        left, low, right, top = map(float, drawn["bb"].split(","))
    except (ValueError, KeyError, TypeError, AttributeError):
        raise LayoutError("Graphviz gave no layout that can be read") from None
    objects = {item["name"]: item for item in drawn.get("objects", ())}
    splines = _edges(drawn, graph)
    nodes = {
        node.id: _node(node, objects.get(f"n{i}"), left, top) for i, node in enumerate(graph.nodes)
    }
    edges = {
        edge.id: landed(_flipped(splines[edge.id], left, top), edge, graph, nodes)
        for edge in graph.edges
    }
    zones = {
        zone.id: rect
        for i, zone in enumerate(graph.clusters)
        if (rect := _zone(objects.get(f"cluster_{i}"), left, top))
    }
    return Laid(nodes, edges, zones, right - left, top - low)


def _edges(drawn: Mapping[str, Any], graph: LayoutGraph) -> dict[str, str]:
    """Control points as text by edge id; each edge exactly once and between its own nodes."""
    names = {item["_gvid"]: item["name"] for item in drawn.get("objects", ())}
    index = {node.id: f"n{i}" for i, node in enumerate(graph.nodes)}
    found: dict[str, list[Mapping[str, Any]]] = {}
    for item in drawn.get("edges", ()):
        found.setdefault(str(item.get("id", "")), []).append(item)
    splines: dict[str, str] = {}
    for number, edge in enumerate(graph.edges):
        rows = found.get(f"e{number}", [])
        ends = (index[edge.tail], index[edge.head])
        if len(rows) == 1 and (names[rows[0]["tail"]], names[rows[0]["head"]]) == ends:
            points = str(rows[0].get("pos", ""))
            if len(points.split()) >= 4 and ";" not in points:
                splines[edge.id] = points
    lost = tuple(edge.id for edge in graph.edges if edge.id not in splines)
    if lost:
        raise LostEdges(lost)
    return splines


def _node(node: LayoutNode, item: Mapping[str, Any] | None, left: float, top: float) -> LaidNode:
    if item is None or "pos" not in item:
        raise LayoutError(f"the layout lost {node.id}")
    x, y = map(float, str(item["pos"]).rstrip("!").split(","))
    corner = (x - left - node.width / 2, top - y - node.height / 2)
    ports = {port.id: (corner[0] + port.x, corner[1] + port.y) for port in node.ports}
    return LaidNode(Rect(*corner, node.width, node.height), ports)


def _zone(item: Mapping[str, Any] | None, left: float, top: float) -> Rect | None:
    if item is None or "bb" not in item:
        return None
    x0, y0, x1, y1 = map(float, str(item["bb"]).split(","))
    return Rect(x0 - left, top - y1, x1 - x0, y1 - y0)


def _flipped(text: str, left: float, top: float) -> list[Point]:
    pairs = (pair.split(",") for pair in text.split() if pair[0] not in "es")
    return [(float(x) - left, top - float(y)) for x, y in pairs]
