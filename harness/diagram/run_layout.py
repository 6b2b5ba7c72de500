"""The run: sources at the left, devices at the right, places as zones.

Graphviz says which column each part falls in and in which order parts and passing leads follow
one another there. The heights are then made as tight as the page asks (`rows`), and every climb
of a lead gets a lane of its own (`routes`). A layout is only worked out as far as it takes to say
that it is of no use.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property, partial

from harness.base.data import dataclass, replace
from harness.diagram.flagged_parts import node_of
from harness.diagram.printing import FLOOR
from harness.diagram.routes import LeadWays
from harness.diagram.rows import HEADROOM, Rows, columns_of
from harness.diagram.stages import DrawnLead, PartsSheet
from harness.drawing import look
from harness.drawing.layout import lay_out, lay_out_all
from harness.drawing.layout_model import Laid, LayoutCluster, LayoutEdge, LayoutGraph
from harness.drawing.ribbon import CONTROL
from harness.drawing.scene import Point
from harness.plan.plan import Plan

LARGEST = look.SMALL / FLOOR  # how much larger than the page a layout can still be read
LOOSEST = 1.2  # how much wider than its lanes need a small plan is drawn


def run_layout(plan: Plan, sheet: PartsSheet, page: Point) -> Laid:
    """Lay a sheet out from left to right, for a page of this width and height.

    Where the plain layout is too large to be read, zones are drawn together, or put in another
    order, and the best is taken.
    """
    return first_readable(
        Attempt(partial(_rows, sheet, graph, laid), _tightened, page)
        for graph, laid in _orders(plan, graph_of(plan, sheet))
    ).done


def _rows(sheet: PartsSheet, graph: LayoutGraph, laid: Laid, headroom: float) -> Rows:
    return Rows(sheet, graph, laid, headroom=headroom)


def _orders(plan: Plan, graph: LayoutGraph) -> Iterator[tuple[LayoutGraph, Laid]]:
    """Yield layouts by Graphviz: the plain one, then the others, made side by side."""
    laid = lay_out(graph)
    yield graph, laid
    tight = drawn_together(graph, columns_of(laid))
    others = [tight] if tight != graph else []
    if len(graph.clusters) > 1:
        zones = tuple(sorted(graph.clusters, key=lambda z: _side(plan, z)))
        others.append(replace(tight, clusters=zones))
    yield from zip(others, lay_out_all(others), strict=True)


def _side(plan: Plan, zone: LayoutCluster) -> int:
    """Left places first, right places last."""
    sides = {plan.places[place].side for place in plan.holds(zone.id)}
    return 0 if "left" in sides else 2 if "right" in sides else 1


def _tightened(rows: Rows, page: Point) -> Laid:
    shape = page[0] / page[1]
    heights = rows.heights(rows.laid.width / shape)
    ways = LeadWays(rows, heights)
    return ways.laid(min(ways.height * shape, ways.width * LOOSEST) - ways.width)


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


def graph_of(plan: Plan, sheet: PartsSheet) -> LayoutGraph:
    """Return what is asked of the layout."""
    zones = zones_of(plan, sheet)
    nodes = tuple(node_of(p, p.zone if p.zone in zones else None) for p in sheet.pieces.values())
    edges = tuple(_edge(strand) for strand in sheet.strands)
    clusters = tuple(LayoutCluster(z, plan.places[z].within or None, 8.0) for z in zones)
    return LayoutGraph(nodes, edges, clusters, nodesep=4, ranksep=26)


def _edge(s: DrawnLead) -> LayoutEdge:
    heavy = 1 if s.supplies else 3 if s.gauge is not CONTROL else 2
    return LayoutEdge(s.id, s.tail[0], s.head[0], s.tail[1], s.head[1], heavy)


def zones_of(plan: Plan, sheet: PartsSheet) -> list[str]:
    """Return the places that hold something on this sheet, outer ones too."""
    used = {place for piece in sheet.pieces.values() for place in plan.holds(piece.zone)}
    return [zone for zone in sheet.zones if zone in used]


def excess(laid: Laid, page: Point) -> float:
    """Return by how much a layout is larger than the page."""
    return max(laid.width / page[0], laid.height / page[1])


def is_small_enough(laid: Laid, page: Point) -> bool:
    """Say whether a layout can be read on the page."""
    return excess(laid, page) <= LARGEST


@dataclass(frozen=True)
class Attempt:
    """One order of parts and passing leads, to be made into a layout for a page.

    `rows` makes its rows from the headroom for the places' names, `finish` a layout from rows.
    """

    rows: Callable[[float], Rows]
    finish: Callable[[Rows, Point], Laid]
    page: Point

    @cached_property
    def bare(self) -> Rows:
        """The rows without headroom."""
        return self.rows(0.0).untangled()

    @property
    def least(self) -> float:
        """What its excess is at the least, known before it is finished."""
        return self.bare.shortest / self.page[1]

    @cached_property
    def done(self) -> Laid:
        """The layout, with headroom if it can then be read on the page."""
        roomy = self.rows(HEADROOM).untangled()
        if roomy.shortest <= LARGEST * self.page[1]:
            laid = self.finish(roomy, self.page)
            if is_small_enough(laid, self.page):
                return laid
        return self.finish(self.bare, self.page)

    @property
    def excess(self) -> float:
        """By how much the finished layout is larger than the page."""
        return excess(self.done, self.page)


def first_readable(attempts: Iterable[Attempt]) -> Attempt:
    """Return the first that can be read on its page, else the smallest."""
    tried: list[Attempt] = []
    for attempt in attempts:
        if attempt.least <= LARGEST and attempt.excess <= LARGEST:
            return attempt
        tried.append(attempt)
    return smallest(tried)


def smallest(attempts: Iterable[Attempt]) -> Attempt:
    """Return the smallest, the first of those as small."""
    best: Attempt | None = None
    for attempt in attempts:
        if best is None or (attempt.least < best.excess and attempt.excess < best.excess):
            best = attempt
    assert best is not None
    return best
