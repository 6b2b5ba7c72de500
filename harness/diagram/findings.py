"""Findings on a page: a marker on the very part, and the same number with its words below."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import cos, dist, pi, sin

from harness.base.data import dataclass, field, replace
from harness.diagram.stages import FlaggedPart, PartsSheet
from harness.drawing import look
from harness.drawing.bezier import curves, looks
from harness.drawing.layout_model import Laid
from harness.drawing.marks import MARKER, Remark, marker
from harness.drawing.scene import (
    Box,
    Group,
    Item,
    Path,
    Point,
    Text,
    bounds,
    circle_path,
    line_path,
    moved_group,
    text_box,
    walk,
)
from harness.rules.run import Report

RING = 4.0  # step of the search, points
RINGS = 40
WAYS = 16
REACH = MARKER * 0.68  # from its middle a marker, whatever its shape, covers so much
CLEAR = 1.0  # between a marker and what it must not cover
BODY = 12.0  # a filled shape smaller than this either way is a detail that is looked at
PLUG_WIDE, PLUG_HIGH = 11.0, 6.5  # of the ground about a plug that stays free, points
INTO = 4.0  # how far inside the plug its leader ends
OUT = 60  # or how far beside it at most, points
WORDY = frozenset(("flag", "note", "current", "lead-code", "title-block", "legend", "scale"))


@dataclass(frozen=True)
class Numbered(Remark):
    """A finding with its number, the same on every page: a line of the legend, and its parts."""

    parts: tuple[str, ...]
    spot: str = ""


@dataclass(frozen=True)
class Marks:
    """What a drawing marks in place of the findings of its plan.

    `halos` are tints of pieces and strands by id; `view` the words of the title, `file` the stem
    of the file's name, `listed` what a page with only words is called, `note` a line of the title.
    """

    found: tuple[Numbered, ...]
    halos: Mapping[str, str] = field(default_factory=dict)
    view: str = ""
    file: str = ""
    listed: str = "findings"
    note: str = ""


def numbered(report: Report) -> tuple[Numbered, ...]:
    """Number the findings, then what the plan accepts."""
    found: list[Numbered] = []
    for f in report.findings:
        words = f"{f.severity.word}: {f.message}" + (f"; {f.help}" if f.help else "")
        found.append(Numbered(len(found) + 1, f.severity.word, words, f.parts, f.spot))  # type: ignore[arg-type]
    for a in report.accepted:
        words = f"accepted: {a.finding.message}; because {a.because}"
        found.append(Numbered(len(found) + 1, "ok", words, a.finding.parts, a.finding.spot))
    return tuple(found)


def missing_facts(report: Report) -> str:
    """Return how many facts the rules lack and where they are listed; nothing for none."""
    count = len({(unknown.part, unknown.missing) for unknown in report.unknown})
    words = "1 fact missing: harness check names it"
    return words if count == 1 else f"{count} facts missing: harness check names them" * bool(count)


def on_sheet(found: Sequence[Numbered], sheet: PartsSheet, *, first: bool) -> list[Numbered]:
    """Return the findings of one page; those about no drawn part stand on the first."""
    return [n for n in found if anchor_piece(n, sheet) or (first and not n.parts)]


def anchor_piece(finding: Numbered, sheet: PartsSheet) -> str:
    """Return the piece that carries a finding's marker, or "" when it is not on the page."""
    for part in finding.parts:
        piece = sheet.homes.get(part, f"part-{part}")
        if piece in sheet.pieces:
            return piece
    return ""


def markers(
    found: Sequence[Numbered], sheet: PartsSheet, laid: Laid, body: Sequence[Item], page: Point
) -> list[Group]:
    """Return a marker for each finding on a page of this size, over nothing else that is drawn."""
    placed = [finding for finding in found if anchor_piece(finding, sheet)]
    return Marking(sheet, laid, body, page).markers(placed) if placed else []


class Marking:
    """Finds room for the markers of one page."""

    def __init__(self, sheet: PartsSheet, laid: Laid, body: Sequence[Item], page: Point) -> None:
        self.sheet, self.laid, self.page = sheet, laid, page
        self.words = [text_box(i) for i in walk(body) if isinstance(i, Text) and i.text]
        self.words += [
            bounds([i]) for i in walk(body) if isinstance(i, Group) and WORDY & set(i.classes)
        ]
        self.drawn = [*self._leads(), *self._plugs(), *self._details()]

    def markers(self, found: Sequence[Numbered]) -> list[Group]:
        """Return the markers, each kept clear of those before it."""
        drawn: list[Group] = []
        for finding in found:
            piece = anchor_piece(finding, self.sheet)
            spot = self._spot(finding)
            ground = [(*spot, *spot)] if spot else self._picture(self.sheet.pieces[piece])
            at = self._free(ground, piece)
            self.words.append(_around(at, REACH + CLEAR))
            mark = marker(
                f"finding-{finding.number}", finding.number, finding.severity, finding.text
            )
            drawn.append(_led(moved_group(mark, *at), at, ground, always=bool(spot)))
        return drawn

    def _spot(self, finding: Numbered) -> Point | None:
        """Return the middle of the plug or socket that a finding is about, if it is about one.

        Where a label covers it, that is the first of the lead beside the label.
        """
        own = (f"part-{finding.parts[0]}", finding.spot)
        lead = next(
            (s for s in self.sheet.strands if s.id == f"lead-{finding.parts[0]}.{finding.spot}"),
            None,
        )
        if lead and own in {lead.tail, lead.head}:
            own = lead.tail if own == lead.head else lead.head
        if own[0] not in self.laid.nodes or own[1] not in self.laid.nodes[own[0]].ports:
            return None
        x, y = self.laid.nodes[own[0]].ports[own[1]]
        out = 1 if self.sheet.side(own) == "right" else -1
        steps = (x + out * step for step in (-INTO, *range(2, OUT, 3)))
        free = ((at, y) for at in steps if not any(_holds(box, (at, y)) for box in self.words))
        return next(free, (x, y))

    def _picture(self, piece: FlaggedPart) -> list[Box]:
        """Return the bodies of which a part's picture is made, without its name and its flags."""
        inner = piece.glyph.group.items if not piece.glyph.group.id else (piece.glyph.group,)
        shapes = [
            i
            for g in inner
            if isinstance(g, Group) and not WORDY & set(g.classes)
            for i in walk(g.items)
            if isinstance(i, Path)
        ]
        rect = self.laid.nodes[piece.id].rect
        bodies = [bounds([i]) for i in shapes if i.fill] or [bounds(shapes)]
        return [_moved(box, rect.x, rect.y) for box in bodies]

    def _leads(self) -> Iterator[Box]:
        for lead in self.sheet.strands:
            for curve in curves(self.laid.edges[lead.id]):
                for (ax, ay), (bx, by) in pairwise(looks(curve)):
                    box = min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)
                    yield _grown(box, lead.breadth / 2)

    def _plugs(self) -> Iterator[Box]:
        for node in self.laid.nodes.values():
            for x, y in node.ports.values():
                yield x - PLUG_WIDE, y - PLUG_HIGH, x + PLUG_WIDE, y + PLUG_HIGH

    def _details(self) -> Iterator[Box]:
        """Yield what is drawn on and about the parts, but their cases."""
        for name, piece in self.sheet.pieces.items():
            rect = self.laid.nodes[name].rect
            for item in walk([piece.glyph.group]):
                if isinstance(item, Path):
                    left, top, right, low = box = bounds([item])
                    if item.fill is None or min(right - left, low - top) < BODY:
                        yield _moved(box, rect.x, rect.y)

    def _free(self, ground: Sequence[Box], piece: str) -> Point:
        """Return the nearest place for a marker: clear of all, of all but parts, of words."""
        others = [n.rect.box for name, n in self.laid.nodes.items() if name != piece]
        left, top, right, low = zip(*ground, strict=True)
        whole = min(left), min(top), max(right), max(low)
        near = _grown(whole, RING * RINGS + REACH)
        words, drawn, others = (
            [box for box in boxes if _meet(box, near)] for boxes in (self.words, self.drawn, others)
        )
        for taken, barred in (([*drawn, *others], drawn), (drawn, ()), ((), ())):
            for at in self._places(whole):
                box = _around(at, REACH + CLEAR)
                if not any(_meet(box, one) for one in (*words, *taken)) and _is_open(
                    at, ground, words, barred
                ):
                    return at
        return whole[0], whole[1]

    def _places(self, ground: Box) -> Iterator[Point]:
        """Yield places on the page, from the upper right corner of what is meant outwards."""
        wide, high = self.page
        x, y = ground[2], ground[1]
        for ring in range(RINGS):
            for way in range(WAYS if ring else 1):
                turn = 2 * pi * way / WAYS - pi / 4
                at = (x + RING * ring * cos(turn), y + RING * ring * sin(turn))
                if REACH <= at[0] <= wide - REACH and REACH <= at[1] <= high - REACH:
                    yield at


def _is_open(at: Point, ground: Sequence[Box], words: Sequence[Box], barred: Sequence[Box]) -> bool:
    """Say whether a leader from here crosses no words and nothing barred but what it ends in."""
    end = _nearest(at, ground)
    far = dist(at, end)
    if far <= REACH:
        return True
    shares = [n / far for n in range(0, int(far), 2)] + [1.0]
    way = [(at[0] + (end[0] - at[0]) * t, at[1] + (end[1] - at[1]) * t) for t in shares]
    about = [*words, *(box for box in barred if not _holds(box, end))]
    return not any(_holds(box, point) for box in about for point in way)


def _led(mark: Group, at: Point, ground: Sequence[Box], *, always: bool) -> Group:
    """A marker with its leader, unless it stands at what it is about; a dot ends it (ISO 128-2)."""
    end = _nearest(at, ground)
    if not always and dist(at, end) <= REACH + 2 * CLEAR:
        return mark
    line = line_path([at, end])
    strokes = [
        Path(line, stroke=color, width=width, cap="round")
        for color, width in ((look.PAPER, 3.2), (look.INK, 1.2))
    ]
    dot = Path(circle_path(*end, 1.7), fill=look.INK, stroke=look.PAPER, width=0.8)
    return replace(mark, items=(*strokes, dot, *mark.items))


def _nearest(at: Point, boxes: Sequence[Box]) -> Point:
    ends = [(min(max(at[0], b[0]), b[2]), min(max(at[1], b[1]), b[3])) for b in boxes]
    return min(ends, key=lambda end: dist(at, end))


def _moved(box: Box, dx: float, dy: float) -> Box:
    return box[0] + dx, box[1] + dy, box[2] + dx, box[3] + dy


def _around(at: Point, reach: float) -> Box:
    return at[0] - reach, at[1] - reach, at[0] + reach, at[1] + reach


def _grown(box: Box, reach: float) -> Box:
    return box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _holds(box: Box, point: Point) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]
