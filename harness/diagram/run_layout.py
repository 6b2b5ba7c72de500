"""The run: sources at the left, devices at the right, neighbours of one place on one patch.

Graphviz says which column each part falls in and in which order parts and passing leads follow
one another there. The heights are then made as tight as the page asks (`rows`), and every climb
of a lead gets a lane of its own (`routes`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property

from harness.base.data import dataclass, replace
from harness.diagram.flagged_parts import node_of
from harness.diagram.printing import FLOOR, GOOD
from harness.diagram.routes import LeadWays
from harness.diagram.rows import HEADROOM, Corners, Rows
from harness.diagram.stacks import Stacks
from harness.diagram.stages import DrawnLead, PartsSheet
from harness.drawing import look
from harness.drawing.layout import lay_out_all
from harness.drawing.layout_model import Laid, LayoutCluster, LayoutEdge, LayoutGraph
from harness.drawing.ribbon import CONTROL
from harness.drawing.scene import Point
from harness.plan.plan import Plan

LARGEST = look.SMALL / FLOOR  # how much larger than the page a layout can still be read
ROOMY = look.SMALL / GOOD  # how much larger, that it can be read well
LOOSEST = 1.2  # how much wider than its lanes need a small plan is drawn


def run_layout(sheet: PartsSheet, page: Point) -> Laid:
    """Lay a sheet out from left to right, for a page of this width and height.

    Graphviz begins with the parts in the order of the plan, then from behind, then by their names
    from behind: it stops at other orders each time, and the one with fewest crossings is taken.
    """
    stacks = Stacks(sheet, sheet.under)
    whole = stacks.sheet()
    graph, corners = run_graph(whole), Corners(whole)
    starts = (graph.nodes, graph.nodes[::-1], sorted(graph.nodes, key=lambda n: n.id)[::-1])
    graphs = [replace(graph, nodes=tuple(nodes)) for nodes in starts]
    rows = [Rows(whole, g, laid, corners=corners)
            for g, laid in zip(graphs, lay_out_all(graphs), strict=True)]  # fmt: skip
    return stacks.taken_apart(_tightened(min(rows, key=Rows.crossings), page))


def run_graph(sheet: PartsSheet) -> LayoutGraph:
    """Return parts and leads; places do not force where parts stand."""
    nodes = tuple(node_of(piece, None) for piece in sheet.pieces.values())
    return LayoutGraph(nodes, tuple(_edge(lead) for lead in sheet.strands), nodesep=4, ranksep=26)


def _tightened(rows: Rows, page: Point) -> Laid:
    shape = page[0] / page[1]
    ways = LeadWays(rows, rows.heights(rows.laid.width / shape))
    return ways.laid(min(ways.height * shape, ways.width * LOOSEST) - ways.width)


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


def smallest(attempts: Iterable[Attempt]) -> Attempt:
    """Return the smallest, the first of those as small."""
    best: Attempt | None = None
    for attempt in attempts:
        if best is None or (attempt.least < best.excess and attempt.excess < best.excess):
            best = attempt
    assert best is not None
    return best
