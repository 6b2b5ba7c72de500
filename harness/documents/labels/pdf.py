"""Draws placed labels, and a page to test the printer with: PDF, the same bytes every time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

from harness.documents.labels.fit import cap_height, font_name, load_font, text_width, wrap_words
from harness.documents.labels.label import (
    MM_PER_POINT,
    Arrow,
    Band,
    Face,
    LabelArea,
    Page,
    PlacedLabel,
    TextLine,
)
from harness.documents.labels.layout import cell_rect
from harness.documents.labels.stock import Flag, SheetStock, Stock, Tape, wrap_length

INK = "#111111"
WHITE = "#FFFFFF"
CUT = "#8A8A8A"
SIDE_COLOURS = {"left": "#B3001B", "right": "#00693E"}
LETTER_PT_PER_MM = 2.6
HAIRLINE_MM = 0.1
REFERENCE_MM = 100.0
SMALL_PT = 7.8

Point = tuple[float, float]


class Sheetwork:
    """A PDF being drawn in mm from the top left corner of each page."""

    def __init__(self, title: str) -> None:
        from harness.drawing.pdf import Sheets

        for bold in (False, True):
            load_font(bold)
        self._out = BytesIO()
        # Uncompressed: another machine's zlib may make other bytes of the same page.
        self._canvas: Any = Sheets(self._out, pageCompression=0)
        self._canvas.setTitle(title)
        self._canvas.setAuthor("harness")
        self._canvas.setCreator("harness")
        self._canvas.setViewerPreference("PrintScaling", "None")
        self._height = 0.0

    def page(self, width: float, height: float) -> None:
        """Begin a page of that size in mm."""
        self._height = height
        self._canvas.setPageSize((width / MM_PER_POINT, height / MM_PER_POINT))

    def end_page(self) -> None:
        """Finish the page."""
        self._canvas.showPage()

    def finish(self) -> bytes:
        """The whole document."""
        self._canvas.save()
        return self._out.getvalue()

    def _at(self, x: float, y: float) -> Point:
        return x / MM_PER_POINT, (self._height - y) / MM_PER_POINT

    def _pen(self, width: float, colour: str) -> None:
        self._canvas.setLineWidth(width / MM_PER_POINT)
        self._canvas.setStrokeColor(colour)

    def line(self, start: Point, end: Point, width: float, colour: str = INK) -> None:
        """A straight line, butt ended, `width` mm thick."""
        self._pen(width, colour)
        self._canvas.line(*self._at(*start), *self._at(*end))

    def outline(
        self, rect: LabelArea, radius: float, colour: str, width: float = HAIRLINE_MM
    ) -> None:
        """The edge of a rectangle with round corners."""
        self._pen(width, colour)
        x, y = self._at(rect.x, rect.bottom)
        size = rect.width / MM_PER_POINT, rect.height / MM_PER_POINT
        self._canvas.roundRect(x, y, *size, radius / MM_PER_POINT, stroke=1, fill=0)

    def polygon(self, points: Sequence[Point], fill: str, stroke: str, width: float) -> None:
        """A filled closed shape with an edge."""
        self._pen(width, stroke)
        self._canvas.setFillColor(fill)
        path = self._canvas.beginPath()
        path.moveTo(*self._at(*points[0]))
        for point in points[1:]:
            path.lineTo(*self._at(*point))
        path.close()
        self._canvas.drawPath(path, stroke=int(width > 0), fill=1)

    def text(self, line: TextLine) -> None:
        """A line of text with its left end on the baseline."""
        self._canvas.setFillColor(WHITE if line.white else INK)
        self._canvas.setFont(font_name(line.bold), line.size_pt)
        self._canvas.drawString(*self._at(line.x, line.baseline), line.text)


def draw_pages(pages: Iterable[Page], title: str, uncut: bool = False) -> bytes:
    """The pages as a PDF document; with `uncut` the labels' edges are printed too."""
    work = Sheetwork(title)
    for page in pages:
        work.page(page.width, page.height)
        for placed in page.labels:
            draw_label(work, placed, uncut)
        _margin(work, page)
        work.end_page()
    return work.finish()


MARGIN_MM = 8.0
"""The least margin above or below the labels in which a desk printer prints a line."""


def _margin(work: Sheetwork, page: Page) -> None:
    """Say what the arrow means, above or below the labels, where there is a margin for it."""
    top = min(placed.outline.y for placed in page.labels)
    below = page.height - max(placed.outline.bottom for placed in page.labels)
    arrows = any(face.arrow for placed in page.labels for face in placed.faces)
    if arrows and page.width >= REFERENCE_MM and max(top, below) >= MARGIN_MM:
        y = top - 2.0 if top >= MARGIN_MM else page.height - below + 4.0
        draw_arrow(work, Arrow(LabelArea(12.0, y - 2.6, 2.0, 3.0), "up"))
        work.text(TextLine(LEGEND_ARROW, 15.5, y, SMALL_PT))


def draw_label(work: Sheetwork, placed: PlacedLabel, uncut: bool) -> None:
    """One label with all its faces."""
    if uncut:
        work.outline(placed.outline, placed.corner_radius, CUT)
    if placed.wrap is not None:
        draw_fold(work, placed.wrap)
    for face in placed.faces:
        draw_face(work, face)


def draw_fold(work: Sheetwork, wrap: LabelArea) -> None:
    """Short ticks at both edges: the fold in the middle, and where the wire's turn begins."""
    for x, tick in ((wrap.x, 0.8), (wrap.x + wrap.width / 2, 2.0), (wrap.right, 0.8)):
        work.line((x, wrap.y), (x, wrap.y + tick), HAIRLINE_MM, CUT)
        work.line((x, wrap.bottom - tick), (x, wrap.bottom), HAIRLINE_MM, CUT)


def draw_face(work: Sheetwork, face: Face) -> None:
    """Band, words and arrow of one face."""
    if face.band is not None:
        draw_band(work, face.band)
    for line in face.texts:
        work.text(line)
    if face.arrow is not None:
        draw_arrow(work, face.arrow)


def draw_band(work: Sheetwork, band: Band) -> None:
    """The side mark: its colour, a point to that side, and its letter in white."""
    rect, colour = band.rect, SIDE_COLOURS[band.side]
    point = 0.28 * rect.width
    middle = rect.y + rect.height / 2
    if band.side == "left":
        tip, near, far, centre = rect.x, rect.x + point, rect.right, rect.x + 0.56 * rect.width
    else:
        tip, near, far, centre = rect.right, rect.right - point, rect.x, rect.x + 0.44 * rect.width
    edge = [(near, rect.y), (far, rect.y), (far, rect.bottom), (near, rect.bottom)]
    work.polygon([(tip, middle), *edge], colour, colour, 0)
    letter = band.side[0].upper()
    size = LETTER_PT_PER_MM * rect.width
    x = centre - text_width(letter, size, True) / 2
    work.text(TextLine(letter, x, middle + cap_height(size) / 2, size, True, True))


def draw_arrow(work: Sheetwork, arrow: Arrow) -> None:
    """A hollow arrow that points at a hollow bar, the pale wire."""
    work.polygon(_turned(arrow, _ARROW), WHITE, INK, 0.25)
    work.polygon(_turned(arrow, _BAR), WHITE, INK, 0.25)


# Across and along from the tip's end, as shares of the arrow's own box.
_BAR = ((0.05, 0.03), (0.95, 0.03), (0.95, 0.2), (0.05, 0.2))
_ARROW = ((0.5, 0.28), (0.95, 0.64), (0.68, 0.64), (0.68, 0.97), (0.32, 0.97), (0.32, 0.64),
          (0.05, 0.64))  # fmt: skip


def _turned(arrow: Arrow, shape: Iterable[Point]) -> list[Point]:
    box = arrow.rect
    points: list[Point] = []
    for across, along in shape:
        if arrow.direction == "up":
            points.append((box.x + across * box.width, box.y + along * box.height))
            continue
        x = along * box.width
        left = box.x + x if arrow.direction == "left" else box.right - x
        points.append((left, box.y + across * box.height))
    return points


EDGE = "#9FB0C0"
RULER_AT_MM = 5.0

ADVICE = (
    "Print at 100 %: no scaling, no fit to page.",
    "Measure both lines: each is {:g} mm, within half a mm.",
    "If not, set the printer's scale right.",
    "Hold this page behind a sheet of labels, against the light: "
    "each outline must lie on the edge of a label.",
)
LEGEND_ARROW = "points to the edge where the pale (signal) wire lies"
LEGEND_FLAG = "flag: wire on the middle tick, folded out on the pale wire's side"


def draw_test_page(stock: Stock) -> bytes:
    """The test page of a stock as a PDF document."""
    base = stock.base if isinstance(stock, Flag) else stock
    work = Sheetwork(f"Test page: {stock.name}")
    wrap = wrap_length(stock.wire_diameter) if isinstance(stock, Flag) else 0.0
    if isinstance(base, SheetStock):
        _sheet(work, base, wrap)
    else:
        _tape(work, base)
    work.end_page()
    return work.finish()


def _sheet(work: Sheetwork, sheet: SheetStock, wrap: float) -> None:
    work.page(sheet.page_width, sheet.page_height)
    for cell in range(sheet.cells):
        rect = cell_rect(sheet, cell)
        work.outline(rect, sheet.corner_radius, EDGE)
        if wrap:
            each = (rect.width - wrap) / 2
            draw_fold(work, LabelArea(rect.x + each, rect.y, wrap, rect.height))
    _ruler(work, sheet.page_width, down=False)
    _ruler(work, sheet.page_height, down=True)
    _fill_panel(work, sheet, bool(wrap))


def _tick(mm: int) -> float:
    if mm % 10 == 0:
        return 3.0
    return 2.2 if mm % 5 == 0 else 1.4


def _ruler(work: Sheetwork, length: float, *, down: bool) -> None:
    """Draw the ruler along the upper edge of a page, or down its left edge."""
    for mm in range(int(RULER_AT_MM), int(length - RULER_AT_MM) + 1):
        start, end = (float(mm), RULER_AT_MM), (float(mm), RULER_AT_MM + _tick(mm))
        work.line(start[::-1] if down else start, end[::-1] if down else end, HAIRLINE_MM)
        x, y = (RULER_AT_MM + 3.4, mm + 0.8) if down else (mm + 0.4, RULER_AT_MM + 4.6)
        if mm % 10 == 0 and mm >= 20 and (down or mm <= length - 10):
            work.text(TextLine(str(mm), x, y, 6.0))


def _reference_length(*room: float) -> float:
    """100 mm, or on a small page the most whole centimetres that it has room for."""
    return min(REFERENCE_MM, max(10.0, 10.0 * int((min(room) - 40.0) / 10.0)))


def _fill_panel(work: Sheetwork, sheet: SheetStock, flag: bool) -> None:
    width, height = sheet.page_width, sheet.page_height
    long = _reference_length(width, height)
    left, top = (width - long) / 2, (height - long) / 2
    _reference(work, (left, top), (left + long, top))
    _reference(work, (left - 6.0, top), (left - 6.0, top + long))
    _say(work, TextLine(f"{long:g} mm", left + long / 2 - 8.0, top - 2.5, 10.0, True))
    size = f"{sheet.label_width:g} x {sheet.label_height:g} mm"
    facts = f"page {width:g} x {height:g} mm, {sheet.cells} labels of {size}"
    y = top + 5.0
    said = [(sheet.name, 13.0), (facts, 9.5), *((line.format(long), 9.5) for line in ADVICE)]
    for words, points in said:
        y += 3.0
        for line in wrap_words(words, min(width - left - 12.0, 104.0), points) or ():
            y += 5.0
            _say(work, TextLine(line, left + 2.0, y, points))
    if long == REFERENCE_MM:
        _legend(work, left + 2.0, y + 7.0, flag)


def _legend(work: Sheetwork, x: float, y: float, flag: bool) -> None:
    draw_band(work, Band(LabelArea(x, y, 5.0, 9.0), "left"))
    _say(work, TextLine("left side", x + 7.5, y + 5.6, 9.5))
    draw_band(work, Band(LabelArea(x + 30.0, y, 5.0, 9.0), "right"))
    _say(work, TextLine("right side of the aeroplane", x + 37.5, y + 5.6, 9.5))
    draw_arrow(work, Arrow(LabelArea(x + 1.0, y + 13.0, 3.0, 4.6), "up"))
    _say(work, TextLine(LEGEND_ARROW, x + 7.5, y + 16.4, 9.0))
    if flag:
        _say(work, TextLine(LEGEND_FLAG, x, y + 24.5, 9.0))


def _say(work: Sheetwork, line: TextLine) -> None:
    """The line on white, so that no label edge runs through the letters."""
    width = text_width(line.text, line.size_pt, line.bold)
    size = line.size_pt * MM_PER_POINT
    top, bottom = line.baseline - 0.85 * size, line.baseline + 0.3 * size
    left, right = line.x - 0.8, line.x + width + 0.8
    work.polygon([(left, top), (right, top), (right, bottom), (left, bottom)], WHITE, WHITE, 0)
    work.text(line)


def _reference(work: Sheetwork, start: tuple[float, float], end: tuple[float, float]) -> None:
    """A line with end ticks whose outer edges are its ends."""
    (x1, y1), (x2, y2) = start, end
    work.line(start, end, 0.4)
    inward = HAIRLINE_MM / 2
    if y1 == y2:
        for x in (x1 + inward, x2 - inward):
            work.line((x, y1 - 2.0), (x, y1 + 2.0), HAIRLINE_MM)
    else:
        for y in (y1 + inward, y2 - inward):
            work.line((x1 - 2.0, y), (x1 + 2.0, y), HAIRLINE_MM)


def _tape(work: Sheetwork, tape: Tape) -> None:
    length = tape.max_length
    reference = REFERENCE_MM if length >= REFERENCE_MM + 8 else 10.0 * int((length - 4) / 10)
    work.page(length, tape.tape_width)
    strip = (tape.tape_width - tape.printable_height) / 2
    inner = LabelArea(tape.end_margin, strip, length - 2 * tape.end_margin, tape.printable_height)
    work.outline(inner, 0.0, EDGE)
    left = (length - reference) / 2
    for mm in range(int(reference) + 1):
        x = left + mm
        work.line((x, strip), (x, strip + 0.7 * _tick(mm)), HAIRLINE_MM, INK)
    words = f"{reference:g} mm from first tick to last: print at 100 %   {tape.name}"
    work.text(TextLine(words, left, inner.bottom - 0.9, SMALL_PT))
