"""A panel of the aeroplane seen from above, spread out: nose up, a row for every plug of a part.

What lies left, right, ahead and behind is as in the aeroplane; distances are not. Parts stand in
columns, leads run in lanes between them; those that go on elsewhere end at that side of the page.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import ceil, inf

from harness.diagram.flagged_parts import beside, in_a_row
from harness.diagram.from_above import SIDES, Aeroplane
from harness.diagram.page_setting import PageSetting
from harness.diagram.routes import LeadWays, back
from harness.diagram.rows import Corners, Rows
from harness.diagram.run_layout import ROOMY, excess, spaced
from harness.diagram.sheets import loose_end, off_page
from harness.diagram.spots import Columns, settled
from harness.diagram.stages import Extract, FlaggedPart, PartsSheet, PortId
from harness.drawing import look
from harness.drawing.bezier import straight
from harness.drawing.glyph import Glyph, GlyphPlace, flipped
from harness.drawing.layout_model import Laid, LaidNode, Rect
from harness.drawing.marks import FLAG_HEIGHT, note
from harness.drawing.scene import Group, Item, Path, Point, line_path, moved, rect_path, text
from harness.facts.of_leads import pulled_words
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Mate

ROW = 14.0  # from one plug of a part to the next, points
HEAD = 15.0  # over the rows of a part: its sign and its name, points
PITCH = 40.0  # from one column to the next, and
STEP = 18.0  # from one part of a column to the next, while they are moved about
STARTS = ((3, 1, False), (4, 0, False), (5, 1, False), (5, 1, True), (6, 1, False))
TURN, SMALL = 2.0, 300.0  # crossings that a lead within a column, or back, and small text are worth
BACK = 30.0  # of a lead's way up or down that it goes back, points
NONE = "", ""
NEAR = 0.2  # of a panel's length, how far from its own spot a part may stand


class PanelSheet:
    """Lays out one panel: which column, which side, which row; then heights and lanes."""

    def __init__(
        self, setting: PageSetting, plane: Aeroplane, cut: Extract, turned: Iterable[PortId]
    ) -> None:
        self.setting, self.plane, self.cut, self.turned = setting, plane, cut, set(turned)
        self.plan, self.shown = setting.report.plan, set(cut.parts)
        across = {n: self.plan.parts[n].across for n in cut.parts}
        self.fitted = {n: host for n, host in across.items() if host in self.shown}
        self.nodes = {f"part-{n}": n for n in cut.parts if n not in self.fitted}
        self.mates = {f"lead-{'.'.join(m.plug.id)}": m for m in cut.mates}
        self.ends: dict[str, tuple[Mate, str]] = {}
        self.joins = {
            lead: (self._node(m, m.plug), self._node(m, m.socket)) for lead, m in self.mates.items()
        }
        self.best: dict[str, Point] = {}

    def _node(self, mate: Mate, port: Port | None) -> str:
        """Return the part at an end of a lead, or the end itself if it is elsewhere."""
        if port and port.part.id in self.shown:
            return f"part-{port.part.id}"
        ident = f"{'beyond' if port else 'nowhere'}-{'.'.join(mate.plug.id)}"
        self.ends[ident] = mate, port.part.id if port else ""
        return ident

    def _settled(self, count: int, beyond: int, known: bool) -> dict[str, Point]:
        """Return the column and the height of every node, moved about until few leads cross.

        `beyond`: so many columns at either side are for leads that go on elsewhere; `known`: all
        begin where they stand in the aeroplane, not those of the body in the middle.
        """
        edge, total = (count - 1) / 2 * PITCH, len(self.nodes) + len(self.ends)
        high = STEP * max(6.0, 1.5 * ceil(total / count))
        mine = [self.plane.parts[n] for n in self.nodes.values()]
        (left, wide), (top, long) = (
            (min(v), max(max(v) - min(v), 1.0)) for v in zip(*mine, strict=True)
        )
        out = edge + beyond * PITCH
        spots, rooms, lean = dict[str, Point](), dict[str, Rect](), dict[str, int]()
        for node, name in self.nodes.items():
            (x, y), in_line = self.plane.parts[name], self.plan.parts[name].in_line
            aside = self.plane.region[name] in SIDES and wide > long / 4
            column = round((x - left) / wide * (count - 1)) if aside or known else count // 2
            x, y = spots[node] = column * PITCH - edge, (y - top) / long * high
            free = PITCH if aside and not in_line else 2 * edge
            x0, x1 = max(x - free, -edge), min(x + free, edge)
            rooms[node] = Rect(x0, y - NEAR * high, x1 - x0, 2 * NEAR * high)
            if in_line:
                rooms[node] = Rect(x0, 0.0, x1 - x0, high)
        for node, (mate, far) in self.ends.items():
            side, (x, y) = self._side(mate, far), spots[self._near(mate)]
            lean[node] = {"left": -1, "right": 1}.get(side, 0)
            spots[node] = x + lean[node] * PITCH, {"low": high, "top": 0.0}.get(side, y)
            rooms[node] = Rect(-out, 0.0, 2 * out, high)
        key = {node: node.replace(".", "-") for node in spots}  # twins are told by their words
        board = replace(
            self.plane,
            parts={key[n]: at for n, at in spots.items()},
            free={key[n]: room for n, room in rooms.items()},
        )
        leads = [(key[a], key[b]) for a, b in self.joins.values()]
        columns = Columns(PITCH, {key[n]: way for n, way in lean.items()})
        found = settled(board, leads, 1.0, columns)
        return {node: found[key[node]] for node in spots}

    def _near(self, mate: Mate) -> str:
        ends = (mate.plug.part.id, mate.socket.part.id if mate.socket else "")
        return next(f"part-{n}" for n in ends if n in self.shown)

    def _side(self, mate: Mate, far: str) -> str:
        """Return the side of the page to which a lead goes on."""
        near = self._near(mate)[5:]
        here, there = self.plane.region[near], self.plane.region.get(far, "")
        if there in SIDES and there != here:
            return there
        if here in SIDES or not far:
            return {"left": "right"}.get(here, "left")
        return "low" if self.plane.parts[far][1] > self.plane.parts[near][1] else "top"

    def laid(self, page: Point) -> tuple[PartsSheet, Laid]:
        """Return pictures and leads, and where they lie: in as many columns as are clearest."""
        if not self.best:
            least = inf
            for start in STARTS:
                spots = self._settled(*start)
                found, _, _ = self._tried(spots, page)
                if found < least:
                    least, self.best = found, spots
                if not least:
                    break
        return self._tried(self.best, page)[1:]

    def _tried(self, spots: dict[str, Point], page: Point) -> tuple[float, PartsSheet, Laid]:
        self.spots = spots
        rows: dict[tuple[str, str], list[str]] = defaultdict(list)
        for lead, pair in self.joins.items():
            for node, other in (pair, pair[::-1]):
                rows[node, "right" if spots[other][0] - spots[node][0] > 1 else "left"].append(lead)
        pieces = {}
        for node in spots:
            known = {
                side: sorted(rows[node, side], key=lambda k, n=node: self._turn(n, k))  # type: ignore[misc]
                for side in SIDES
            }
            pieces[node] = self._piece(node, known)
        strands = []
        for lead, pair in self.joins.items():
            mate, ends = self.mates[lead], [(node, self._place(node, lead)) for node in pair]
            tail, head = ends if mate.plug.id in self.turned else ends[::-1]
            strands.append(self.setting.strander.strand(mate, tail, head))
        homes = {name: f"part-{host}" for name, host in self.fitted.items()}
        sheet = PartsSheet(pieces, tuple(strands), tuple(self.plan.places), homes)
        order = Rows(sheet, _rough(sheet, spots), Corners(sheet))
        ways = LeadWays(order, order.heights(0.0))
        laid = spaced(ways, page)
        turns = sum(abs(spots[a][0] - spots[b][0]) < 1 for a, b in self.joins.values())
        turns += sum(back(legs) > BACK for legs in ways.legs.values())
        small = SMALL * max(excess(laid, page) - ROOMY, 0.0)
        return ways.crossings + TURN * turns + small, sheet, laid

    def _turn(self, node: str, lead: str) -> tuple[float, str]:
        """Return by what the leads at one side of a part are sorted, from the top."""
        a, b = self.joins[lead]
        (x, y), (ox, oy) = self.spots[node], self.spots[b if node == a else a]
        return (oy - y) / max(abs(ox - x), 1.0), lead

    def _place(self, node: str, lead: str) -> str:
        """Return the name of a lead's place on a picture: the port, told apart if taken."""
        if node in self.ends:
            return "lead"
        mate = self.mates[lead]
        if node == self.joins[lead][0]:
            return mate.plug.name
        assert mate.socket
        others = [k for k, (_, socket) in self.joins.items() if socket == node]
        same = [k for k in others if (s := self.mates[k].socket) and s.id == mate.socket.id]
        return mate.socket.name + ("" if same[0] == lead else f"~{same.index(lead)}")

    def _piece(self, node: str, rows: dict[str, list[str]]) -> FlaggedPart:
        if node in self.ends:
            mate, far = self.ends[node]
            at_right = bool(rows["left"])
            if not far:
                piece = loose_end(mate, self.setting.home(mate.plug.part))
                return replace(piece, glyph=flipped(piece.glyph)) if at_right else piece
            beyond = self.plan.parts[far]
            return off_page(self.setting, mate, beyond, at_right=at_right, narrow=True)
        name = self.nodes[node]
        part = self.plan.parts[name]
        glyph = (self._joint if part.is_lead else self._box)(part, node, rows)
        if others := [n for n, host in self.fitted.items() if host == name]:
            glyph = beside(glyph, [self.setting.artist.glyph(self.plan.parts[n]) for n in others])
        return FlaggedPart(node, glyph, self.setting.home(part), name)

    def _box(self, part: Part, node: str, rows: dict[str, list[str]]) -> Glyph:
        """A part as a case with its sign and name, under them its plugs in rows at both sides."""
        wide_sign, _, _ = part.footprint
        behind = "pusher" in part.id.split("-") or self.plane.region[part.id] == "tail"
        lines = self.setting.sign_words(part, scaled=False)
        words = [moved(line, wide_sign + 9, 10.5 + 10.5 * n) for n, line in enumerate(lines)]
        head = HEAD + 10.5 * (len(lines) - 1)
        items: list[Item] = [*part.sign(5 + wide_sign / 2, 9.0, backwards=behind), *words]
        broad = sum(
            max((g.width for _, g in self._row(node, some)), default=0.0) + 4
            for some in rows.values()
        )
        wide = max(broad + 8, *(wide_sign + 13 + line.width for line in lines))
        high = head + ROW * max(map(len, rows.values())) + 2
        case = Path(rect_path(0, 0, wide, high, 3), fill=look.PAPER, stroke=look.INK, width=0.8)
        return self._glyph(part, node, [case, *items], (wide, high), head, rows)

    def _joint(self, part: Part, node: str, rows: dict[str, list[str]]) -> Glyph:
        """A separate lead: a bar at which its ends meet."""
        left, right = (
            max((g.width for _, g in self._row(node, rows[s])), default=0.0) + 8 for s in SIDES
        )
        high = ROW * max(map(len, rows.values())) + 2
        items: list[Item] = [Path(rect_path(left, 3, 5.0, high - 6, 2), fill=look.SOFT_INK)]
        for side, leads in rows.items():
            for n in range(len(leads)):
                ends = (0.0, left) if side == "left" else (left + 5, left + 5 + right)
                line = line_path([(x, ROW * (n + 0.5) + 1) for x in ends])
                items.append(Path(line, stroke=look.SOFT_INK, width=3.0))
        return self._glyph(part, node, items, (left + 5 + right, high), 1.0, rows)

    def _glyph(
        self,
        part: Part,
        node: str,
        items: list[Item],
        size: Point,
        top: float,
        rows: dict[str, list[str]],
    ) -> Glyph:
        """Return a picture with what is told of its plugs on it."""
        places, laid = dict[str, GlyphPlace](), list[Item]()
        for side in SIDES:
            for n, lead in enumerate(rows[side]):
                x, y = (0.0 if side == "left" else size[0]), top + ROW * (n + 0.5)
                places[self._place(node, lead)] = GlyphPlace(x, y, side)  # type: ignore[arg-type]
            for n, told in self._row(node, rows[side]):
                x, y = 4.0 if side == "left" else size[0] - 4 - told.width, top + ROW * (n + 0.5)
                laid.append(told.at(x, y - told.height / 2))
        drawn = Group(f"part-{part.id}", tuple(items), ("part",), self.setting.teller.part(part))
        return Glyph(Group("", (drawn, *laid)), *size, places, (size[0] - 2, 2.0))

    def _row(self, node: str, leads: Sequence[str]) -> list[tuple[int, Glyph]]:
        told = enumerate(self._told(node, lead) for lead in leads)
        return [(n, glyph) for n, glyph in told if glyph]

    def _told(self, node: str, lead: str) -> Glyph | None:
        """Return what stands in a lead's row: label and current at its part, else the socket."""
        mate = self.mates[lead]
        plug, socket = self.joins[lead]
        words, strand = pulled_words(mate), self.setting.strander.strand(mate, NONE, NONE)
        warned = note(f"note-{lead[5:]}", words, strand.title) if words else None
        if node == plug:
            tip, pill = self.setting.tip(mate, strand), self.setting.pill(strand)
            tip = in_a_row(tip, pill) if pill else tip
            return in_a_row(tip, warned) if warned and socket in self.ends else tip
        if mate.socket is None or mate.socket.part.is_lead:
            return warned
        said = _word(mate.socket.name)
        return in_a_row(said, warned) if warned else said


def _word(name: str) -> Glyph:
    """A socket's name."""
    inked = text(0, 9, name, look.SMALL, fill=look.SOFT_INK)
    return Glyph(Group("", (inked,)), inked.width, FLAG_HEIGHT, {}, (0, 0))


def _rough(sheet: PartsSheet, spots: dict[str, Point]) -> Laid:
    """Return a layout whose columns and orders are right, and nothing else."""
    nodes: dict[str, LaidNode] = {}
    for name, piece in sheet.pieces.items():
        glyph, (x, y) = piece.glyph, spots[name]
        rect = Rect(x * 10 - glyph.width / 2, y * 4 - glyph.height / 2, glyph.width, glyph.height)
        ports = {n: (rect.x + p.x, rect.y + p.y) for n, p in glyph.places.items()}
        nodes[name] = LaidNode(rect, ports)
    edges = {
        s.id: tuple(straight([nodes[end].rect.center for end in (s.tail[0], s.head[0])]))
        for s in sheet.strands
    }
    high = max(node.rect.y + node.rect.height for node in nodes.values())
    return Laid(nodes, edges, {}, 1.0, high)
