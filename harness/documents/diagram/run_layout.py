"""The run: sources at the left, devices at the right, places as zones.

Graphviz says which column each part falls in and in which order parts and passing leads follow
one another there. The heights are then made as tight as the page asks (`rows`), and every climb
of a lead gets a lane of its own (`drawing.lanes`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from harness.documents.diagram.bounds import Tangle
from harness.documents.diagram.columns import columns_of
from harness.documents.diagram.model import Sheet, Strand
from harness.documents.diagram.paper import FLOOR
from harness.documents.diagram.pieces import node_of
from harness.documents.diagram.routes import routed
from harness.documents.diagram.rows import HEADROOM, Rows, without_zones
from harness.drawing import look
from harness.drawing.layout import lay_out
from harness.drawing.layout_model import Laid, LayoutCluster, LayoutEdge, LayoutGraph
from harness.drawing.ribbon import CONTROL
from harness.drawing.scene import Point
from harness.reader.plan import Plan

LOOSEST = 1.2  # how much wider than its lanes need a small plan is drawn


def run_layout(plan: Plan, sheet: Sheet, page: Point) -> Laid:
    """Lay a sheet out from left to right, for a page of this width and height.

    Where the plain layout is too large to be read, zones are drawn together, or put in another
    order, and the best is taken.
    """
    best: Laid | None = None
    for graph, laid in _attempts(plan, graph_of(plan, sheet)):
        done = _finished(sheet, graph, laid, page)
        if best is None or excess(done, page) < excess(best, page):
            best = done
        if is_small_enough(best, page):
            break
    assert best is not None
    return best


def _attempts(plan: Plan, graph: LayoutGraph) -> Iterator[tuple[LayoutGraph, Laid]]:
    """Yield layouts by Graphviz, the plain one first."""
    laid = lay_out(graph)
    yield graph, laid
    tight = drawn_together(graph, columns_of(laid))
    if tight != graph:
        yield tight, lay_out(tight)
    if len(graph.clusters) > 1:
        sided = replace(tight, clusters=tuple(sorted(graph.clusters, key=lambda z: _side(plan, z))))
        yield sided, lay_out(sided)


def _side(plan: Plan, zone: LayoutCluster) -> int:
    """Left places first, right places last."""
    sides = {plan.places[place].side for place in plan.holds(zone.id)}
    return 0 if "left" in sides else 2 if "right" in sides else 1


def excess(laid: Laid, page: Point) -> float:
    """Return by how much a layout is larger than the page."""
    return max(laid.width / page[0], laid.height / page[1])


def is_small_enough(laid: Laid, page: Point) -> bool:
    """Say whether a layout can be read on the page."""
    return excess(laid, page) <= look.SMALL / FLOOR


def _finished(sheet: Sheet, graph: LayoutGraph, laid: Laid, page: Point) -> Laid:
    """Heights and ways; with room for the places' names if that can be read on the page."""
    done = _with_headroom(sheet, graph, laid, page, HEADROOM)
    if is_small_enough(done, page):
        return done
    return _with_headroom(sheet, graph, laid, page, 0.0)


def _with_headroom(
    sheet: Sheet, graph: LayoutGraph, laid: Laid, page: Point, headroom: float
) -> Laid:
    try:
        return _tightened(Rows(sheet, graph, laid, headroom=headroom), page)
    except Tangle:
        return _tightened(Rows(sheet, *without_zones(graph, laid)), page)


def _tightened(rows: Rows, page: Point) -> Laid:
    shape = page[0] / page[1]
    heights = rows.heights(rows.laid.width / shape)
    tight = routed(rows, heights)
    spare = min(tight.height * shape, tight.width * LOOSEST) - tight.width
    return routed(rows, heights, spare) if spare > 0 else tight


def drawn_together(graph: LayoutGraph, columns: dict[str, int]) -> LayoutGraph:
    """Return the graph with devices that alone stretch their zone to the left moved right."""
    ends = {edge.tail for edge in graph.edges}
    zones: dict[str, dict[int, list[str]]] = {}
    for node in graph.nodes:
        if node.cluster:
            zones.setdefault(node.cluster, {}).setdefault(columns[node.id], []).append(node.id)
    later: dict[str, int] = {}
    for by_column in zones.values():
        first, *others = sorted(by_column)
        if others and not ends & set(by_column[first]):
            later.update(dict.fromkeys(by_column[first], others[0]))
    edges = tuple(
        replace(e, minlen=max(later[e.head] - columns[e.tail], 1)) if e.head in later else e
        for e in graph.edges
    )
    return replace(graph, edges=edges)


def graph_of(plan: Plan, sheet: Sheet) -> LayoutGraph:
    """Return what is asked of the layout."""
    zones = zones_of(plan, sheet)
    nodes = tuple(node_of(p, p.zone if p.zone in zones else None) for p in sheet.pieces.values())
    edges = tuple(_edge(strand) for strand in sheet.strands)
    clusters = tuple(LayoutCluster(z, plan.places[z].within or None, 8.0) for z in zones)
    return LayoutGraph(nodes, edges, clusters, nodesep=4, ranksep=26)


def _edge(s: Strand) -> LayoutEdge:
    heavy = 1 if s.supplies else 3 if s.gauge is not CONTROL else 2
    return LayoutEdge(s.id, s.tail[0], s.head[0], s.tail[1], s.head[1], heavy)


def zones_of(plan: Plan, sheet: Sheet) -> list[str]:
    """Return the places that hold something on this sheet, outer ones too."""
    used = {place for piece in sheet.pieces.values() for place in plan.holds(piece.zone)}
    return [zone for zone in sheet.zones if zone in used]
