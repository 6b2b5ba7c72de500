"""The airframe: places laid out as the aeroplane seen from above, nose up."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence

from harness.base.data import dataclass, replace
from harness.diagram.flagged_parts import node_of
from harness.diagram.lead_ribbons import turned_plugs
from harness.diagram.page_setting import PageSetting
from harness.diagram.routes import LeadWays
from harness.diagram.rows import MARGIN, Rows
from harness.diagram.run_layout import Attempt, graph_of
from harness.diagram.sheets import Stand
from harness.diagram.stages import PartsSheet, PortId
from harness.diagram.zone_names import NOSE, TAIL
from harness.drawing.bezier import straight
from harness.drawing.layout_model import Laid, LaidNode, LayoutGraph, LayoutNode, Rect
from harness.drawing.scene import Point
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.wiring.build import Mate

LEFT, MIDDLE, RIGHT = 0, 1, 2
TAIL_END = 2  # the level of what sits in the tail


def has_tail(plan: Plan) -> bool:
    """Say whether the aeroplane has a tail: a place called so, or something that moves one."""
    words = {word for place in plan.places for word in place.lower().split("-")}
    moved = (plan.words.find(servo.moves) for servo in plan.of(Servo))
    return bool(words & TAIL) or any(function and function.tail for function in moved)


@dataclass(frozen=True)
class Standing:
    """Block (left, middle, right), height class (0 nose, 1 between, 2 tail), zone."""

    block: int
    level: int
    zone: str


class Stance:
    """Columns and facings of all parts of a plan, whether on the page or not.

    Each wing has a column of its own, the middle has `deepest` + 1: sources first.
    """

    def __init__(self, setting: PageSetting, deepest: int) -> None:
        self.setting, self.plan, self.deepest = setting, setting.report.plan, deepest
        mates = setting.report.wiring.mates
        turned = turned_plugs(setting.report.wiring)
        self.pairs = [_ends(mate, turned) for mate in mates if mate.socket is not None]
        self.spots = {p.id: self._spot(p) for p in self.plan.parts.values()}
        self.columns = self._columns()
        pushers = frozenset(m.id for m in self.plan.of(Motor) if self._pushes(m))
        self.stand = Stand(self.columns, frozenset(self._facing_left()), pushers)

    def _pushes(self, motor: Motor) -> bool:
        """Say whether a motor sits in the tail or is called a pusher."""
        return self.spots[motor.id].level == TAIL_END or "pusher" in motor.id.lower().split("-")

    def _spot(self, part: Part) -> Standing:
        zone = self.setting.home(part)
        chain = self.plan.holds(zone)
        sides = [self.plan.places[p].side for p in chain if self.plan.places[p].side]
        side = sides[0] if sides else _named_side(chain)
        if not chain and not part.carries_signal:
            side = self.plan.side(part)
        block = {"left": LEFT, "right": RIGHT}.get(side, MIDDLE)
        return Standing(block, self._level(part, chain) if block == MIDDLE else 1, zone)

    @staticmethod
    def _level(part: Part, chain: tuple[str, ...]) -> int:
        words = _words(chain)
        if words & NOSE:
            return 0
        if words & TAIL:
            return 2
        if not chain and (function := part.words.find(part.moves)) and function.tail:
            return 2
        return 0 if not chain and (part.drives or part.spins) else 1

    def _columns(self) -> dict[str, int]:
        depth = self._depths()
        sides = {LEFT: 0, RIGHT: self.deepest + 2}
        return {
            name: sides.get(spot.block, 1 + min(depth[name], self.deepest))
            for name, spot in self.spots.items()
        }

    def _depths(self) -> dict[str, int]:
        """Return how many leads lie between a part and a source, inside its own block."""
        depth = dict.fromkeys(self.spots, 0)
        for _ in depth:
            before = dict(depth)
            for near, far in self.pairs:
                if self.spots[near].block == self.spots[far].block:
                    depth[far] = min(max(depth[far], depth[near] + 1), len(depth))
            if depth == before or max(depth.values()) > len(depth) // 2 + 8:
                break
        return depth

    def _facing_left(self) -> list[str]:
        """Return the parts that are mirrored: what feeds them stands at their right."""
        depth = self._depths()
        found: dict[str, bool] = {}
        for name in sorted(self.spots, key=lambda n: (self.spots[n].block != MIDDLE, depth[n])):
            feeds = [near for near, far in self.pairs if far == name]
            found[name] = self._is_mirrored(name, feeds, found)
        return [name for name, mirrored in found.items() if mirrored]

    def _is_mirrored(self, name: str, feeds: list[str], found: Mapping[str, bool]) -> bool:
        here = self.columns[name]
        if not feeds:
            return self.spots[name].block == RIGHT
        turns = sum(
            self.columns[f] > here if self.columns[f] != here else not found.get(f, False)
            for f in feeds
        )
        return turns * 2 > len(feeds)


def _ends(mate: Mate, turned: Collection[PortId]) -> tuple[str, str]:
    """Return the part that feeds and the part that is fed, as they are drawn."""
    assert mate.socket is not None
    pair = (mate.socket.part.id, mate.plug.part.id)
    return (pair[1], pair[0]) if mate.plug.id in turned else pair


def _named_side(chain: tuple[str, ...]) -> str:
    return next((side for side in ("left", "right") if side in _words(chain)), "")


def _words(chain: tuple[str, ...]) -> set[str]:
    """Return the words of which the names of places are made."""
    return {word for place in chain for word in place.lower().replace("_", "-").split("-")}


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
    zones = {
        name: replace(rect, y=rect.y * more, height=rect.height * more)
        for name, rect in laid.clusters.items()
    }
    edges = {name: tuple((x, y * more) for x, y in points) for name, points in laid.edges.items()}
    nodes = {
        name: node.moved(0.0, node.rect.center[1] * (more - 1)) for name, node in laid.nodes.items()
    }
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
