"""The run: sources at the left, devices at the right, places as zones.

Graphviz lays the sheet out twice. The first time says which column each part falls in. For the
second time the parts of a column are given the same breadth, so that they stand in line and no
lead cuts a corner.
"""

from __future__ import annotations

from dataclasses import replace

from harness.documents.diagram.columns import columns_of, roomy
from harness.documents.diagram.model import Sheet, Strand
from harness.documents.diagram.pieces import node_of
from harness.drawing.lanes import in_lanes
from harness.drawing.layout import lay_out
from harness.drawing.layout_model import Laid, LayoutCluster, LayoutEdge, LayoutGraph
from harness.drawing.ribbon import CONTROL
from harness.reader.plan import Plan


def run_layout(plan: Plan, sheet: Sheet) -> Laid:
    """Lay a sheet out from left to right."""
    first = graph_of(plan, sheet)
    columns = columns_of(lay_out(first))
    return in_lanes(roomy(lay_out(widened(first, columns))))


def widened(graph: LayoutGraph, columns: dict[str, int]) -> LayoutGraph:
    """Return the graph with all boxes of a column as broad as the broadest."""
    broad: dict[int, float] = {}
    for node in graph.nodes:
        broad[columns[node.id]] = max(broad.get(columns[node.id], 0.0), node.width)
    nodes = tuple(replace(node, width=broad[columns[node.id]]) for node in graph.nodes)
    return replace(graph, nodes=nodes)


def graph_of(plan: Plan, sheet: Sheet) -> LayoutGraph:
    """Return what is asked of the layout."""
    zones = zones_of(plan, sheet)
    nodes = tuple(node_of(p, p.zone if p.zone in zones else None) for p in sheet.pieces.values())
    edges = tuple(_edge(strand) for strand in sheet.strands)
    clusters = tuple(LayoutCluster(z, plan.places[z].within or None, 10.0) for z in zones)
    return LayoutGraph(nodes, edges, clusters, nodesep=4, ranksep=26)


def _edge(s: Strand) -> LayoutEdge:
    heavy = 1 if s.supplies else 3 if s.gauge is not CONTROL else 2
    return LayoutEdge(s.id, s.tail[0], s.head[0], s.tail[1], s.head[1], heavy)


def zones_of(plan: Plan, sheet: Sheet) -> list[str]:
    """Return the places that hold something on this sheet, outer ones too."""
    used = {place for piece in sheet.pieces.values() for place in plan.holds(piece.zone)}
    return [zone for zone in sheet.zones if zone in used]
