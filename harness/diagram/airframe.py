"""The airframe: places laid out as the aeroplane seen from above, nose up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import replace

from harness.diagram.airframe_positions import Stance, Standing
from harness.diagram.attempt import Attempt
from harness.diagram.flagged_parts import node_of
from harness.diagram.routes import LeadWays
from harness.diagram.rows import MARGIN, Rows
from harness.diagram.run_layout import graph_of
from harness.diagram.stages import PartsSheet
from harness.drawing.bezier import straight
from harness.drawing.layout_model import Laid, LaidNode, LayoutGraph, LayoutNode, Rect
from harness.drawing.scene import Point
from harness.plan.plan import Plan

SWEEPS = 10
LOOSEST = 1.5  # how much higher than its parts need a page may be drawn
BROADEST = 1.15  # and how much wider
ANCHOR = 1.0  # how strongly parts keep their bay, against one lead's pull to lie straight
GAP = 6.0
BAND = 2 * MARGIN + 8.0
APART = 1000.0  # distance of columns while the order is sought


def airframe_attempt(plan: Plan, sheet: PartsSheet, stance: Stance, page: Point) -> Attempt:
    """Return a layout as the aeroplane, to be finished."""
    used = sorted({stance.columns[p.part] for p in sheet.pieces.values()})
    columns = {n: used.index(stance.columns[p.part]) for n, p in sheet.pieces.items()}
    graph = graph_of(plan, sheet)
    drawn = Sorter(plan, sheet, stance, columns).laid(graph)

    def rows(headroom: float) -> Rows:
        return Rows(sheet, graph, drawn, columns, headroom=headroom)

    return Attempt(rows, _filled, page)


def _filled(rows: Rows, page: Point) -> Laid:
    """First as tight as can be, then loosened to fill the page."""
    drawn = rows.laid
    tight = LeadWays(rows, rows.heights(0.0))
    wanted = min(tight.width * page[1] / page[0], tight.height * LOOSEST)
    if wanted > drawn.height:
        drawn = stretched(drawn, wanted)
    rows = Rows(rows.sheet, rows.graph, drawn, rows.column, ANCHOR, rows.headroom).untangled()
    loose = LeadWays(rows, rows.heights(wanted))
    spare = min(loose.height * page[0] / page[1], loose.width * BROADEST) - loose.width
    return loose.laid(spare)


def stretched(laid: Laid, high: float) -> Laid:
    """The layout with its parts further apart, `high` points in all."""
    more = high / laid.height

    def moved(node: LaidNode) -> LaidNode:
        by = node.rect.center[1] * (more - 1)
        ports = {name: (x, y + by) for name, (x, y) in node.ports.items()}
        return LaidNode(replace(node.rect, y=node.rect.y + by), ports)

    zones = {
        name: replace(rect, y=rect.y * more, height=rect.height * more)
        for name, rect in laid.clusters.items()
    }
    edges = {name: tuple((x, y * more) for x, y in points) for name, points in laid.edges.items()}
    nodes = {name: moved(node) for name, node in laid.nodes.items()}
    return Laid(nodes, edges, zones, laid.width, high)


class Sorter:
    """Finds the order of parts in their columns: bands by zone, few crossings in each."""

    def __init__(
        self, plan: Plan, sheet: PartsSheet, stance: Stance, columns: Mapping[str, int]
    ) -> None:
        self.plan, self.sheet, self.columns = plan, sheet, columns
        self.spots = {n: stance.spots[p.part] for n, p in sheet.pieces.items()}
        self.nodes = {n: node_of(p, None) for n, p in sheet.pieces.items()}
        self.middle = dict.fromkeys(self.nodes, 0.0)
        self.near: dict[str, list[tuple[str, float]]] = defaultdict(list)
        for s in sheet.strands:
            (a, pa), (b, pb) = s.tail, s.head
            shift = self._port(a, pa) - self._port(b, pb)
            self.near[b].append((a, shift))
            self.near[a].append((b, -shift))

    def _port(self, node: str, port: str) -> float:
        return self.sheet.pieces[node].glyph.places[port].y - self.nodes[node].height / 2

    def laid(self, graph: LayoutGraph) -> Laid:
        """Return a first layout in which only order and heights have a meaning."""
        for _ in range(SWEEPS):
            self._stack()
        nodes = {n: self._placed(self.nodes[n]) for n in self.nodes}
        edges = {
            s.id: straight([nodes[s.tail[0]].ports[s.tail[1]], nodes[s.head[0]].ports[s.head[1]]])
            for s in self.sheet.strands
        }
        zones = {zone.id: self._zone(zone.id) for zone in graph.clusters}
        high = max((n.rect.y + n.rect.height for n in nodes.values()), default=0.0) + MARGIN
        return Laid(nodes, edges, zones, APART * (max(self.columns.values(), default=0) + 1), high)

    def _stack(self) -> None:
        """Put every block's bands one under the other, each sorted by what it is joined to."""
        blocks: dict[int, list[str]] = defaultdict(list)
        for name, spot in self.spots.items():
            blocks[spot.block].append(name)
        sizes = {block: self._stack_block(names) for block, names in blocks.items()}
        tallest = max(sizes.values(), default=0.0)
        for block, names in blocks.items():
            for name in names:
                self.middle[name] += (tallest - sizes[block]) / 2

    def _stack_block(self, names: Sequence[str]) -> float:
        wish = {name: self._wish(name) for name in names}
        bands: dict[tuple[int, ...], list[str]] = defaultdict(list)
        for name in names:
            bands[self._band(self.spots[name])].append(name)
        y = 0.0
        for key in sorted(bands):
            y += BAND / 2 + self._stack_band(bands[key], wish, y) + BAND / 2
        return y

    def _stack_band(self, names: Sequence[str], wish: Mapping[str, float], top: float) -> float:
        by_column: dict[int, list[str]] = defaultdict(list)
        for name in names:
            by_column[self.columns[name]].append(name)
        sums = {
            c: sum(self.nodes[n].height + GAP for n in inside) for c, inside in by_column.items()
        }
        tallest = max(sums.values())
        for column, inside in by_column.items():
            y = top + BAND / 2 + (tallest - sums[column]) / 2
            for name in sorted(inside, key=lambda n: (wish[n], n)):
                self.middle[name] = y + self.nodes[name].height / 2
                y += self.nodes[name].height + GAP
        return tallest

    def _wish(self, name: str) -> float:
        near = [self.middle[other] + shift for other, shift in self.near[name]]
        return sum(near) / len(near) if near else self.middle[name]

    def _band(self, spot: Standing) -> tuple[int, ...]:
        order = list(self.plan.places)
        chain = [order.index(place) for place in reversed(self.plan.holds(spot.zone))]
        return (spot.level, *chain)

    def _placed(self, node: LayoutNode) -> LaidNode:
        x = APART * self.columns[node.id]
        y = self.middle[node.id] - node.height / 2
        ports = {port.id: (x + port.x, y + port.y) for port in node.ports}
        return LaidNode(Rect(x, y, node.width, node.height), ports)

    def _zone(self, zone: str) -> Rect:
        inside = [n for n, spot in self.spots.items() if zone in self.plan.holds(spot.zone)]
        top = min(self.middle[n] - self.nodes[n].height / 2 for n in inside)
        low = max(self.middle[n] + self.nodes[n].height / 2 for n in inside)
        left = min(self.columns[n] for n in inside) * APART
        right = max(self.columns[n] for n in inside) * APART + APART / 2
        return Rect(left, top - MARGIN, right - left, low - top + 2 * MARGIN)
