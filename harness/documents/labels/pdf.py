"""Draws placed labels as PDF, millimetre for millimetre, the same bytes every time."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from io import BytesIO
from typing import Any

from harness.documents.labels.fonts import cap_height, font_name, load_font, text_width
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

INK = "#111111"
WHITE = "#FFFFFF"
CUT = "#8A8A8A"
SIDE_COLOURS = {"left": "#B3001B", "right": "#00693E"}
LETTER_PT_PER_MM = 2.6
HAIRLINE_MM = 0.1

Point = tuple[float, float]


class Sheetwork:
    """A PDF being drawn in mm from the top left corner of each page."""

    def __init__(self, title: str) -> None:
        from reportlab.pdfgen.canvas import Canvas

        for bold in (False, True):
            load_font(bold)
        self._out = BytesIO()
        # Uncompressed: another machine's zlib may make other bytes of the same page.
        self._canvas: Any = Canvas(self._out, pageCompression=0, invariant=1)
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
        work.end_page()
    return work.finish()


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
_ARROW = (
    (0.5, 0.28),
    (0.95, 0.64),
    (0.68, 0.64),
    (0.68, 0.97),
    (0.32, 0.97),
    (0.32, 0.64),
    (0.05, 0.64),
)


def _turned(arrow: Arrow, shape: Iterable[Point]) -> list[Point]:
    box = arrow.rect
    points: list[Point] = []
    for across, along in shape:
        if arrow.direction == "up":
            points.append((box.x + across * box.width, box.y + along * box.height))
        elif arrow.direction == "left":
            points.append((box.x + along * box.width, box.y + across * box.height))
        else:
            points.append((box.right - along * box.width, box.y + across * box.height))
    return points
