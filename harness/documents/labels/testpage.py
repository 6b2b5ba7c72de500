"""A page to print before the labels: rulers, every label's edge, two lines of 100 mm."""

from __future__ import annotations

from harness.documents.labels.fit import wrap_words
from harness.documents.labels.fonts import text_width
from harness.documents.labels.label import MM_PER_POINT, Arrow, Band, LabelArea, TextLine
from harness.documents.labels.layout import cell_rect
from harness.documents.labels.pdf import (
    HAIRLINE_MM,
    INK,
    WHITE,
    Sheetwork,
    draw_arrow,
    draw_band,
    draw_fold,
)
from harness.documents.labels.stock import Flag, SheetStock, Stock, Tape, wrap_length

EDGE = "#9FB0C0"
RULER_AT_MM = 5.0
REFERENCE_MM = 100.0
SMALL_PT = 7.8

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
    _ruler_across(work, sheet.page_width)
    _ruler_down(work, sheet.page_height)
    _fill_panel(work, sheet, bool(wrap))


def _tick(mm: int) -> float:
    if mm % 10 == 0:
        return 3.0
    return 2.2 if mm % 5 == 0 else 1.4


def _ruler_across(work: Sheetwork, width: float) -> None:
    for mm in range(int(RULER_AT_MM), int(width - RULER_AT_MM) + 1):
        x = float(mm)
        work.line((x, RULER_AT_MM), (x, RULER_AT_MM + _tick(mm)), HAIRLINE_MM)
        if mm % 10 == 0 and 20 <= mm <= width - 10:
            work.text(TextLine(str(mm), x + 0.4, RULER_AT_MM + 4.6, 6.0))


def _ruler_down(work: Sheetwork, height: float) -> None:
    for mm in range(int(RULER_AT_MM), int(height - RULER_AT_MM) + 1):
        y = float(mm)
        work.line((RULER_AT_MM, y), (RULER_AT_MM + _tick(mm), y), HAIRLINE_MM)
        if mm % 10 == 0 and mm >= 20:
            work.text(TextLine(str(mm), RULER_AT_MM + 3.4, y + 0.8, 6.0))


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
