"""A page of the aeroplane seen from above: leads between the signs of parts, and what is told."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from math import dist

from harness.base.data import replace
from harness.diagram.findings import Numbered
from harness.diagram.flagged_parts import in_a_row
from harness.diagram.from_above import Aeroplane, bare_name, has_tail
from harness.diagram.outline import outline
from harness.diagram.page import GAP, SCALE_NOTES, TitleWords
from harness.diagram.page_setting import PageSetting
from harness.diagram.part_words import spoken_id
from harness.diagram.room import (
    FreeRoom,
    at_share,
    boxes_along,
    boxes_around,
    edge_of,
    is_crossed,
    lines_cross,
    stepped,
)
from harness.diagram.routes import rounded
from harness.diagram.scale_frame import MM, Frame
from harness.diagram.stages import DrawnLead
from harness.diagram.zone_names import tint_of
from harness.drawing import look
from harness.drawing.bezier import Spline
from harness.drawing.glyph import Glyph
from harness.drawing.layout_model import LostEdges, Rect
from harness.drawing.marks import legend, marker, note, zone
from harness.drawing.pill import band, scale
from harness.drawing.ribbon import Gauge, ribbon
from harness.drawing.scene import (
    Group,
    Item,
    Path,
    Point,
    Scene,
    bounds,
    circle_path,
    line_path,
    moved,
    moved_group,
    rect_path,
    text,
)
from harness.facts.of_leads import pulled_words
from harness.parts.part import Part
from harness.wiring.build import Mate

THIN = 0.65  # of a lead's breadth in the run view
REACH = 3.5  # of a lead, kept free of words, points
FAR = 60.0  # a code stands no further from its lead than this, points
BAR = 90.0  # about how long the scale bar is, points
NICE = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
CELL = 4.0  # of the grid that tells which leads pass where, points
MIDDLE = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)
NEAR = (0.16, 0.22, 0.28, 0.35, 0.42, 0.5)
LEGENDS = (0.3, 0.45, 0.6, 0.97)  # of the page's width that the findings are tried on
WITHOUT = "Signs of parts and plugs are not to scale, nor is the pale outline."
NOMINAL = "positions not stated: not to scale"


class AbovePage:
    """Draws it; `missed`: leads and parts whose words found no room, `beside`: not on them."""

    def __init__(
        self,
        setting: PageSetting,
        plane: Aeroplane,
        frame: Frame,
        leads: Mapping[str, DrawnLead],
        mates: Mapping[str, Mate],
        glyphs: Mapping[str, Glyph],
    ) -> None:
        self.setting, self.plane, self.frame = setting, plane, frame
        self.plan = setting.report.plan
        self.leads, self.mates, self.glyphs = leads, mates, glyphs
        self.ways: dict[str, Spline] = {n: rounded(line) for n, line in frame.lines.items()}
        self.room = FreeRoom(*frame.size)
        self.taken: list[Rect] = []
        self.leaders: list[tuple[Point, Point]] = []
        self.missed: set[str] = set()
        self.beside: set[str] = set()
        self.listed = False
        self.passing: dict[tuple[int, int], set[str]] = defaultdict(set)
        for name, line in frame.lines.items():
            for x, y in (p for a, b in pairwise(line) for p in stepped(a, b, 2.0)):
                self.passing[int(x // CELL), int(y // CELL)].add(name)

    def scene(
        self, heading: TitleWords, found: Sequence[Numbered], silent: Collection[str] = ()
    ) -> Scene:
        """Return the page; `found`: the findings marked; `silent`: leads without their codes.

        Lowest first: outline, places, leads, signs; words where nothing lies. Raises LostEdges
        when a lead or a part would be missing.
        """
        at, each = self.frame.at, self.frame.each
        self._cover()
        below = [outline(self.plane, at, each, tail=has_tail(self.plan)), *self._places()]
        drawn = [*self._leads(), *self._signs()]
        words = [*self._blocks(heading), *self._told(silent), *self._marked(found)]
        words += [*self._legend(found), *self._names()]
        self._whole([*drawn, *words], found)
        return heading.scene(self.frame.size, (*below, *drawn, *words))

    def _whole(self, groups: Iterable[Group], found: Iterable[Numbered]) -> None:
        drawn = {group.id for group in groups if group.items}
        wanted = [*self.frame.nodes, *self.frame.lines]
        wanted += [f"finding-{n.number}" for n in found if self._anchor(n)]
        if lost := tuple(name for name in wanted if name not in drawn):
            raise LostEdges(lost)

    def _cover(self) -> None:
        """Mark signs and leads as covered."""
        self.room.cover(rect.grown(2) for rect in self.frame.nodes.values())
        for line in self.frame.lines.values():
            self.room.cover(boxes_along(line, REACH))

    def _places(self) -> Iterator[Group]:
        order = list(self.plan.places)
        for name in sorted(self.plane.places, key=order.index):
            rect, tint = self.frame.rect(self.plane.places[name]), tint_of(self.plan, name)
            yield zone(f"place-{name}", rect, spoken_id(name), tint)

    def _leads(self) -> Iterator[Group]:
        for name, lead in self.leads.items():
            if lead.reading:
                ident, said = name.replace("lead-", "band-", 1), lead.reading
                yield band(ident, self.ways[name], lead.breadth * THIN, said.amps, said.share)
        for name, lead in self.leads.items():
            yield ribbon(
                name,
                self.ways[name],
                lead.wires,
                gauge=thinner(lead.gauge),
                title=lead.title,
                classes=lead.classes,
                sets=lead.sets,
                casing=None if lead.reading else look.PAPER,
            )

    def _signs(self) -> Iterator[Group]:
        for name, rect in self.frame.nodes.items():
            if name in self.glyphs:
                yield moved_group(self.glyphs[name].group, rect.x, rect.y)
            else:
                yield self._sign(self.plan.parts[name.removeprefix("part-")], rect)

    def _sign(self, part: Part, rect: Rect) -> Group:
        """The sign of a part; a motor in the tail, or one called so, pushes."""
        wide, high, fill = part.footprint
        behind = "pusher" in part.id.split("-") or self.plane.region[part.id] == "tail"
        items = part.sign(*rect.center, backwards=behind)
        if rect.width > wide + 0.1 or rect.height > high + 0.1:
            case = rect_path(rect.x, rect.y, rect.width, rect.height, 1.5)
            items = [Path(case, fill=fill, stroke=look.INK, width=0.8), *items[1:]]
        if part.is_lead:
            joint = circle_path(*rect.center, rect.width / 2)
            items = [Path(joint, fill=look.SOFT_INK, stroke=look.PAPER, width=0.8)]
        return Group(f"part-{part.id}", tuple(items), ("part",), self.setting.teller.part(part))

    def _blocks(self, heading: TitleWords) -> Iterator[Group]:
        """Title block, scale bar and scale of currents, in free corners."""
        size = f"to scale 1:{self.frame.scale:g} on {heading.paper}"
        notes = [size, *look.wrapped(WITHOUT, look.SMALL, 150)] if self.plane.scaled else [NOMINAL]
        about = look.wrapped(heading.about, look.SMALL, 200) if heading.about else []
        blocks = [heading.block([*about, *filter(None, [heading.missing]), *notes])]
        blocks += [scale_bar(self.frame)] if self.plane.scaled else []
        blocks += [scale("scale", SCALE_NOTES)] if heading.about else []
        for drawn, wide, high in blocks:
            x, y = self._corner(wide, high)
            self._take(Rect(x, y, wide, high).grown(GAP / 2))
            yield moved_group(drawn, x, y)

    def _corner(self, wide: float, high: float) -> Point:
        right, low = self.frame.size[0] - wide - GAP, self.frame.size[1] - high - GAP
        shown = [*(self.frame.rect(self.plane.places[n]) for n in self.plane.places), *self.taken]
        spots = [(GAP, GAP), (right, low), (GAP, low), (right, GAP)]
        free = [s for s in spots if self.room.is_free(Rect(*s, wide, high))]
        bare = [s for s in free if not any(Rect(*s, wide, high).meets(r) for r in shown)]
        anywhere = self.room.spots(wide, high, Rect(GAP, GAP, right + wide, low + high))
        return next(iter([*bare, *free]), None) or next(anywhere, spots[0])

    def _take(self, rect: Rect) -> None:
        self.room.cover([rect])
        self.taken.append(rect)

    def _told(self, silent: Collection[str]) -> Iterator[Group]:
        """Pulled pins first, then codes, then the names of parts."""
        for name, mate in self.mates.items():
            if words := pulled_words(mate):
                said = note(f"note-{name.removeprefix('lead-')}", words, self.leads[name].title)
                yield from self._on_lead(name, said, NEAR, told=True)
        for name, lead in self.leads.items():
            if name in silent:
                continue
            tip, pill = self.setting.tip(self.mates[name], lead), self.setting.pill(lead)
            row = in_a_row(tip, pill) if pill else tip
            yield from self._on_lead(name, row, MIDDLE, told=False)
        yield from self._labels()

    def _on_lead(
        self, lead: str, glyph: Glyph, shares: Sequence[float], *, told: bool
    ) -> Iterator[Group]:
        """Yield a flag on its own lead where no other passes, else beside it with a line to it."""
        line = self.frame.lines[lead]
        line = line if self._plug_first(lead) else line[::-1]
        for share in shares:
            x, y = at_share(line, share)
            box = Rect(x - glyph.width / 2, y - glyph.height / 2, glyph.width, glyph.height)
            if self._is_clear(box.grown(1.0), lead):
                self._take(box.grown(1.0))
                yield glyph.at(box.x, box.y)
                return
        at = at_share(line, shares[0])
        box_ = self._spot(at, (glyph.width + 2, glyph.height + 2), [])
        if not told and (box_ is None or dist(edge_of(box_, at), at) > FAR):
            self.missed.add(lead)
            return
        box_ = box_ or Rect(at[0] - glyph.width / 2, at[1] - 6, glyph.width, 12)
        self.beside.update([] if told else [lead])
        yield self._pointed("", [glyph.at(box_.x + 1, box_.y + 1)], box_, at)

    def _plug_first(self, lead: str) -> bool:
        mate, strand = self.mates[lead], self.leads[lead]
        return not (mate.socket and strand.head[0] == f"part-{mate.socket.part.id}")

    def _is_clear(self, box: Rect, lead: str) -> bool:
        """Say whether a box covers no words, no signs and no other lead."""
        wide, high = self.frame.size
        if box.x < 0 or box.y < 0 or box.x + box.width > wide or box.y + box.height > high:
            return False
        if any(box.meets(r) for r in (*self.taken, *self.frame.nodes.values())):
            return False
        columns = range(int(box.x // CELL), int((box.x + box.width) // CELL) + 1)
        rows = range(int(box.y // CELL), int((box.y + box.height) // CELL) + 1)
        met = (self.passing.get((i, j), ()) for i in columns for j in rows)
        crossed = any(is_crossed(*leader, (box,)) for leader in self.leaders)
        return not crossed and not any(set(names) - {lead} for names in met)

    def _names(self) -> Iterator[Group]:
        """The names of the places, inside them or just outside, where nothing lies."""
        for name in self.plane.places:
            rect = self.frame.rect(self.plane.places[name])
            words = text(
                0, 0, spoken_id(name).upper(), look.SMALL, weight="bold", fill=look.SOFT_INK
            )
            wide = words.width + 4
            around = Rect(rect.x - wide, rect.y - 14, rect.width + 2 * wide, rect.height + 28)
            spot = next(
                (s for area in (rect.grown(-2), around) for s in self.room.spots(wide, 11.0, area)),
                None,
            )
            if spot:
                self._take(Rect(spot[0], spot[1], wide, 11.0))
                inked = moved(words, spot[0] + 2, spot[1] + 8.5)
                yield Group(f"place-name-{name}", (inked,), ("place-name",))

    def _labels(self) -> Iterator[Group]:
        """Each part's name, and the length of its way or its volts, with a line to its sign."""
        for name, at in self._order():
            lines = self.setting.sign_words(self.plan.parts[name], scaled=self.plane.scaled)
            wide, high = max(line.width for line in lines) + 4, 10.5 * len(lines) + 1
            barred = [r for other, r in self.frame.nodes.items() if other != f"part-{name}"]
            box = self._spot(at, (wide, high), barred)
            if box is None:
                self.missed.add(f"part-{name}")
                continue
            inked = [moved(one, box.x + 2, box.y + 8.5 + 10.5 * n) for n, one in enumerate(lines)]
            yield self._pointed(f"told-{name}", inked, box, at, spoken_id(name))

    def _pointed(
        self, ident: str, items: Sequence[Item], box: Rect, at: Point, title: str = ""
    ) -> Group:
        """Words with a line to what they tell of."""
        self._take(box)
        edge = edge_of(box, at)
        self.leaders.append((edge, at))
        self.room.cover(boxes_along((edge, at), 1.0))
        leader = Path(line_path((edge, at)), stroke=look.SOFT_INK, width=0.6)
        dot = Path(circle_path(*at, 0.9), fill=look.SOFT_INK)
        return Group(ident, (leader, dot, *items), ("told",), title)

    def _order(self) -> list[tuple[str, Point]]:
        """Those with the least room round them first, twins together; no plain leads."""
        signs = {
            n.removeprefix("part-"): r.center
            for n, r in self.frame.nodes.items()
            if n not in self.glyphs
        }
        spots = {n: at for n, at in signs.items() if not self.plan.parts[n].is_lead}
        near = {n: sum(dist(at, other) < 60 for other in signs.values()) for n, at in spots.items()}
        return sorted(spots.items(), key=lambda row: (-near[row[0]], bare_name(row[0]), row[0]))

    def _spot(self, at: Point, size: Point, barred: Collection[Rect]) -> Rect | None:
        """Return the nearest free room whose line crosses no words, no other line, no sign."""
        flip = at[0] < self.frame.at((0.0, 0.0))[0]
        for box in boxes_around(at, *size, flip=flip):
            if self.room.is_free(box):
                line = edge_of(box, at), at
                met = is_crossed(*line, (*self.taken, *barred))
                if not met and not any(lines_cross(line, other) for other in self.leaders):
                    return box
        return None

    def _anchor(self, finding: Numbered) -> Point | None:
        """Return what a finding's marker points at: the plug it names, else the part's sign."""
        for part in finding.parts:
            if (sign := self.frame.nodes.get(f"part-{part}")) is None:
                continue
            lead = f"lead-{part}.{finding.spot}"
            line = self.frame.lines.get(lead, ()) if part == finding.parts[0] else ()
            ends = (line[0], line[-1]) if line else (sign.center,)
            return min(ends, key=lambda p: dist(p, sign.center))
        return None

    def _marked(self, found: Iterable[Numbered]) -> Iterator[Group]:
        for finding in found:
            if (at := self._anchor(finding)) is None:
                continue
            mark = marker(
                f"finding-{finding.number}", finding.number, finding.severity, finding.text
            )
            box = self._spot(at, (19.0, 19.0), ()) or self.room.nearest(at, 19.0)
            told = self._pointed("", (), box, at)
            yield replace(mark, items=(*told.items, *moved_group(mark, *box.center).items))

    def _legend(self, found: Sequence[Numbered]) -> Iterator[Group]:
        """The findings in words, if there is room for them."""
        wide, high = self.frame.size
        for share in LEGENDS if found else ():
            words, tall = legend("legend", found, wide * share)
            spots = self.room.spots(wide * share + GAP, tall + GAP, Rect(GAP, GAP, wide, high))
            if spot := next(spots, None):
                self._take(Rect(*spot, wide * share, tall))
                self.listed = True
                yield moved_group(words, spot[0] + GAP / 2, spot[1] + GAP / 2)
                return


def marked_on(found: Iterable[Numbered], parts: Collection[str], *, first: bool) -> list[Numbered]:
    """Return the findings about some parts; those about no part at all stand on the first page."""
    return [n for n in found if set(n.parts) & set(parts) or (first and not n.parts)]


def thinner(gauge: Gauge) -> Gauge:
    """Return how a lead is drawn among signs that are small."""
    wire, outlined, gap = (v * THIN for v in (gauge.wire, gauge.outline, gauge.gap))
    return replace(gauge, wire=wire, outline=outlined, gap=gap)


def scale_bar(frame: Frame) -> tuple[Group, float, float]:
    """Return a bar of a round number of millimetres, with its width and height."""
    each = MM / frame.scale
    whole = max((n for n in NICE if n * each <= BAR), default=NICE[0])
    wide = whole * each
    halves = [(0.0, look.INK), (wide / 2, look.PAPER)]
    items: list[Item] = [
        Path(rect_path(12 + x, 6, wide / 2, 5), fill=fill, stroke=look.INK, width=0.8)
        for x, fill in halves
    ]
    for share, words in ((0.0, "0"), (1.0, f"{whole} mm")):
        items.append(text(12 + share * wide, 21, words, look.SMALL, anchor="middle", fill=look.INK))
    broad = max(bounds([items[-1]])[2], 12 + wide) + 4
    return Group("scale-bar", tuple(items), ("scale-bar",), f"{whole} mm to scale"), broad, 26.0
