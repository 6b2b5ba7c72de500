"""The run: sources at the left, devices at the right, neighbours of one place on one patch.

Graphviz says which column each part falls in and in which order parts and passing leads follow
one another there. The heights are then made as tight as the page asks (`rows`), and every climb
of a lead gets a lane of its own (`routes`).
"""

from __future__ import annotations

from contextlib import suppress
from graphlib import CycleError, TopologicalSorter

from harness.diagram.flagged_parts import node_of
from harness.diagram.printing import FLOOR, GOOD
from harness.diagram.routes import EDGE, TURN, LeadWays
from harness.diagram.rows import Corners, Rows
from harness.diagram.stacks import Stacks
from harness.diagram.stages import DrawnLead, PartsSheet
from harness.drawing import look
from harness.drawing.layout import lay_out_all
from harness.drawing.layout_model import Laid, LayoutEdge, LayoutGraph
from harness.drawing.ribbon import CONTROL
from harness.drawing.scene import Point

LARGEST = look.SMALL / FLOOR  # how much larger than the page a layout can still be read
ROOMY = look.SMALL / GOOD  # how much larger, that it can be read well
LOOSEST = 1.2  # how much wider than its lanes need a small plan is drawn


def run_layout(sheet: PartsSheet, page: Point) -> Laid:
    """Lay a sheet out from left to right, for a page of this width and height, whatever its places.

    Graphviz begins with the parts in the order of the plan, then from behind, then by their names
    from behind: it stops at other orders each time, and the one with fewest crossings is taken.
    """
    stacks = Stacks(sheet, sheet.under)
    whole = stacks.sheet()
    nodes, corners = [node_of(piece) for piece in whole.pieces.values()], Corners(whole)
    starts = (nodes, nodes[::-1], sorted(nodes, key=lambda n: n.id)[::-1])
    edges = tuple(map(_edge, whole.strands))
    graphs = [LayoutGraph(tuple(start), edges) for start in starts]
    rows = [Rows(whole, laid, corners) for laid in lay_out_all(graphs)]
    return stacks.taken_apart(_tightened(min(rows, key=Rows.crossings), page))


def _tightened(rows: Rows, page: Point) -> Laid:
    shape = page[0] / page[1]
    return spaced(LeadWays(rows, rows.heights(rows.laid.width / shape)), page)


def spaced(ways: LeadWays, page: Point) -> Laid:
    """Return a layout whose gaps share what width the page's shape leaves."""
    shape = page[0] / page[1]
    return ways.laid(min(ways.height * shape, ways.width * LOOSEST) - ways.width)


def _edge(s: DrawnLead) -> LayoutEdge:
    heavy = 1 if s.supplies else 3 if s.gauge is not CONTROL else 2
    return LayoutEdge(s.id, s.tail[0], s.head[0], s.tail[1], s.head[1], heavy)


def excess(laid: Laid, page: Point) -> float:
    """Return by how much a layout is larger than the page."""
    return max(laid.width / page[0], laid.height / page[1])


def least_width(sheet: PartsSheet) -> float:
    """Return the breadth of the longest chain of parts, which no layout undercuts, points."""
    ahead: dict[str, set[str]] = {name: set() for name in sheet.pieces}
    for lead in sheet.strands:
        ahead[lead.head[0]].add(lead.tail[0])
    reach: dict[str, float] = {}
    with suppress(CycleError):  # there Graphviz chooses where they start
        for name in TopologicalSorter(ahead).static_order():
            before = max((reach[other] + TURN for other in ahead[name]), default=2 * EDGE)
            reach[name] = before + sheet.pieces[name].glyph.width
    return max(reach.values(), default=0.0)
