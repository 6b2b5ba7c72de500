"""Findings on a page: a marker on the very part, and the same number with its words below."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from harness.base.data import dataclass, field, replace
from harness.diagram.stages import PartsSheet
from harness.drawing import look
from harness.drawing.layout_model import Laid
from harness.drawing.marks import MARKER, Remark, marker
from harness.drawing.scene import (
    Box,
    Group,
    Item,
    Path,
    Point,
    Text,
    line_path,
    moved_group,
    text_box,
    walk,
)
from harness.rules.run import Report

RING = 4.5  # step of the search, points
REACH = 20.0  # how far from its part a marker stands, points
BACK, AHEAD, BESIDE = 12.0, 12.5, 6.5  # what of a lead about its plug stays free, points
BRANCH = 70.0  # the same of a lead that parts, its branches included
FAR = MARKER * 0.9  # from here on a tick leads from a marker to its spot


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
    found: Sequence[Numbered], sheet: PartsSheet, laid: Laid, body: Sequence[Item]
) -> list[Group]:
    """Return a marker for each finding, beside texts, plugs and other markers."""
    texts = [text_box(item) for item in walk(body) if isinstance(item, Text)]
    marks: list[Box] = []
    drawn: list[Group] = []
    for finding in found:
        piece = anchor_piece(finding, sheet)
        if not piece:
            continue
        start = _anchor(finding, piece, sheet, laid)
        spot = _spot(start, piece, sheet, laid, [*texts, *marks])
        marks.append(_box(*spot))
        mark = marker(f"finding-{finding.number}", finding.number, finding.severity, finding.text)
        drawn.append(_ticked(moved_group(mark, *spot), spot, start))
    return drawn


def _spot(start: Point, piece: str, sheet: PartsSheet, laid: Laid, taken: list[Box]) -> Point:
    """Return where a marker stands: clear of plugs and other parts, else at least of texts."""
    page = (0.0, 0.0, laid.width, laid.height)
    near = _grown(laid.nodes[piece].rect.box, REACH)
    plugs = [*_plugs(piece, sheet, laid)]
    others = [node.rect.box for name, node in laid.nodes.items() if name != piece]
    others = [box for box in others if _meet(box, _grown(near, 2 * MARKER))]
    barred = [box for box in plugs if not _holds(box, start)]
    clear = _free(start, [*taken, *plugs, *others], [near], page, barred)
    return clear or _free(start, taken, [near, page], page, []) or start


def _ticked(mark: Group, spot: Point, start: Point) -> Group:
    """A marker with a tick to its spot, if it stands beside it and not on the lead itself."""
    dx, dy = start[0] - spot[0], start[1] - spot[1]
    if abs(dy) < BESIDE or abs(dx) + abs(dy) < FAR:
        return mark
    line = line_path([spot, (start[0], start[1] - (BESIDE - 2.0) * (1 if dy > 0 else -1))])
    ticks = [Path(line, stroke=color, width=width, cap="round")
             for color, width in ((look.PAPER, 3.2), (look.INK, 1.2))]  # fmt: skip
    return replace(mark, items=(*ticks, *mark.items))


def _plugs(piece: str, sheet: PartsSheet, laid: Laid) -> Iterator[Box]:
    """Yield what markers do not cover of the leads at a part: their plugs and first wires."""
    body = sheet.pieces[piece].glyph.group.items[0]
    back = BRANCH if isinstance(body, Group) and "lead" in body.classes else BACK
    for name, (x, y) in laid.nodes[piece].ports.items():
        faces_right = sheet.side((piece, name)) == "right"
        left, right = (back, AHEAD) if faces_right else (AHEAD, back)
        yield x - left, y - BESIDE, x + right, y + BESIDE


def _anchor(finding: Numbered, piece: str, sheet: PartsSheet, laid: Laid) -> Point:
    node = laid.nodes[piece]
    ports = node.ports
    if finding.spot in ports and piece == f"part-{finding.parts[0]}":
        return ports[finding.spot]
    dx, dy = sheet.pieces[piece].glyph.mark
    return node.rect.x + dx, node.rect.y + dy


def _box(x: float, y: float) -> Box:
    reach = MARKER * 0.66
    return x - reach, y - reach, x + reach, y + reach


def _grown(box: Box, reach: float) -> Box:
    return box[0] - reach, box[1] - reach, box[2] + reach, box[3] + reach


def _holds(box: Box, point: Point) -> bool:
    return box[0] <= point[0] <= box[2] and box[1] <= point[1] <= box[3]


def _free(
    start: Point, taken: Sequence[Box], areas: Sequence[Box], page: Box, barred: Sequence[Box]
) -> Point | None:
    """Return the nearest free place for a marker, its tick crossing nothing that is barred."""
    for area in areas:
        for dx, dy in _rings():
            spot = (start[0] + dx, start[1] + dy)
            box = _box(*spot)
            inside = box[0] >= page[0] and box[1] >= page[1] and box[2] <= page[2]
            inside = inside and box[3] <= page[3] and _meet(box, area)
            if inside and not any(_meet(box, other) for other in taken):
                tick = [(start[0] + dx * t, start[1] + dy * t) for t in (0.3, 0.5, 0.7, 0.9)]
                if not any(_holds(bar, point) for bar in barred for point in tick):
                    return spot
    return None


def _rings() -> Iterator[Point]:
    yield 0.0, 0.0
    for ring in range(1, 23):
        r = ring * RING
        for dx, dy in ((0, -1), (1, 0), (0, 1), (-1, 0), (1, -1), (1, 1), (-1, 1), (-1, -1)):
            yield dx * r, dy * r


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
