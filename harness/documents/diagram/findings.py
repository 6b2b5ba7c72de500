"""Findings on a page: a marker on the very part, and the same number with its words below."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from harness.checks.run import Report
from harness.documents.diagram.model import Sheet
from harness.drawing.audit import Box, text_box
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.marks import MARKER, Remark, Severity, marker
from harness.drawing.scene import Group, Item, Point, Text, moved_group, walk

RING = 9.0


@dataclass(frozen=True)
class Numbered:
    """A finding with its number: the same on every page."""

    number: int
    severity: Severity
    text: str
    parts: tuple[str, ...]
    spot: str = ""

    @property
    def remark(self) -> Remark:
        """Its line in the legend."""
        return Remark(self.number, self.severity, self.text)


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


def on_sheet(found: Sequence[Numbered], sheet: Sheet, *, first: bool) -> list[Numbered]:
    """Return the findings of one page; those about no drawn part stand on the first."""
    return [n for n in found if anchor_piece(n, sheet) or (first and not n.parts)]


def anchor_piece(finding: Numbered, sheet: Sheet) -> str:
    """Return the piece that carries a finding's marker, or "" when it is not on the page."""
    for part in finding.parts:
        piece = sheet.homes.get(part, f"part-{part}")
        if piece in sheet.pieces:
            return piece
    return ""


def markers(
    found: Sequence[Numbered], sheet: Sheet, laid: Laid, body: Sequence[Item]
) -> list[Group]:
    """Return a marker for each finding, beside texts and other markers, never over them."""
    taken = [text_box(item) for item in walk(body) if isinstance(item, Text)]
    drawn: list[Group] = []
    for finding in found:
        piece = anchor_piece(finding, sheet)
        if not piece:
            continue
        page = (0.0, 0.0, laid.width, laid.height)
        x, y = _free(
            _anchor(finding, piece, sheet, laid), taken, _near(laid.nodes[piece].rect), page
        )
        taken.append(_box(x, y))
        mark = marker(f"finding-{finding.number}", finding.number, finding.severity, finding.text)
        drawn.append(moved_group(mark, x, y))
    return drawn


def _anchor(finding: Numbered, piece: str, sheet: Sheet, laid: Laid) -> Point:
    node = laid.nodes[piece]
    ports: Mapping[str, Point] = node.ports
    if finding.spot in ports and piece == f"part-{finding.parts[0]}":
        return ports[finding.spot]
    dx, dy = sheet.pieces[piece].glyph.mark
    return node.rect.x + dx, node.rect.y + dy


def _box(x: float, y: float) -> Box:
    reach = MARKER * 0.66
    return x - reach, y - reach, x + reach, y + reach


def _near(rect: Rect) -> Box:
    reach = 6.0
    return rect.x - reach, rect.y - reach, rect.x + rect.width + reach, rect.y + rect.height + reach


def _free(start: Point, taken: Sequence[Box], part: Box, page: Box) -> Point:
    """Return the nearest place where a marker covers no text: on its part, else beside it."""
    for bounds in (part, page):
        for dx, dy in _rings():
            box = _box(start[0] + dx, start[1] + dy)
            inside = box[0] >= page[0] and box[1] >= page[1] and box[2] <= page[2]
            inside = inside and box[3] <= page[3] and _meet(box, bounds)
            if inside and not any(_meet(box, other) for other in taken):
                return start[0] + dx, start[1] + dy
    return start


def _rings() -> Iterator[Point]:
    yield 0.0, 0.0
    for ring in range(1, 12):
        r = ring * RING
        for dx, dy in ((0, -1), (1, 0), (0, 1), (-1, 0), (1, -1), (1, 1), (-1, 1), (-1, -1)):
            yield dx * r, dy * r


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
