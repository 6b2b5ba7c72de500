"""Pages of strips drawn as PDF. Imports reportlab, so import this module late."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import singledispatchmethod
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.pdfgen.canvas import Canvas

from harness.base.refusal import Refusal
from harness.drawing.font import missing_glyphs
from harness.drawing.look import shortened
from harness.drawing.pdf import NAMES, draw_scene, register_fonts
from harness.paper.blocks import Paper
from harness.paper.pdf.flow import Page
from harness.paper.pdf.marks import (
    EDGE,
    SOFT,
    TABLE,
    Drawn,
    Landing,
    Link,
    PageOf,
    Shape,
    Words,
    breadth,
)


def drawn(pages: Sequence[Page], paper: Paper) -> bytes:
    """Return the PDF. Raises Refusal for a letter that the font does not have."""
    register_fonts()
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1, lang="en-GB")
    canvas.setTitle(paper.title)
    canvas.setSubject(paper.subtitle)
    canvas.setAuthor("harness")
    canvas.setCreator("harness")
    _Drawer(canvas, pages, paper).draw()
    canvas.save()
    return buffer.getvalue()


class _Drawer:
    """Draws pages on a canvas; anchors get names of their own, so that any letters will do."""

    def __init__(self, canvas: Any, pages: Sequence[Page], paper: Paper) -> None:
        self.canvas, self.pages, self.paper = canvas, pages, paper
        self.page = pages[0]
        self.corner = (0.0, 0.0)
        self.landed: dict[str, int] = {}
        for number, page in enumerate(pages, 1):
            marks = [mark for _, _, strip in page.placed for mark in strip.marks]
            for mark in marks:
                if isinstance(mark, Landing) and mark.anchor:
                    self.landed.setdefault(mark.anchor, number)
        self.names = {anchor: f"a{n}" for n, anchor in enumerate(self.landed)}
        self.drawn: set[str] = set()

    def draw(self) -> None:
        """Draw all pages."""
        for number, page in enumerate(self.pages, 1):
            self.page = page
            self.canvas.setPageSize((page.width, page.height))
            for x, y, strip in page.placed:
                self.corner = (x, y)
                for mark in strip.marks:
                    self.mark(mark)
            self.corner = (0.0, 0.0)
            if page.drawing:
                self.mark(Drawn(page.drawing[0].scene, *page.drawing[1]))
            self._foot(number)
            self.canvas.showPage()

    def _foot(self, number: int) -> None:
        page = self.page
        y, right = page.height - page.foot, page.width - page.right
        count = f"page {number} of {len(self.pages)}"
        self.mark(Words(right - breadth(count, TABLE), y, count, TABLE, colour=SOFT))
        words = f"{self.paper.title}, plan revision {self.paper.revision}"
        if page.drawing:
            words = f"{page.drawing[0].caption}  ·  {words}"
        else:
            line = ((page.left, y - 12.0), (right, y - 12.0))
            self.mark(Shape(line, "", EDGE, 0.5))
        room = right - page.left - breadth(count, TABLE) - 20.0
        self.mark(Words(page.left, y, shortened(words, TABLE, room), TABLE, colour=SOFT))

    def _at(self, x: float, y: float) -> tuple[float, float]:
        return self.corner[0] + x, self.page.height - self.corner[1] - y

    @singledispatchmethod
    def mark(self, mark: Any) -> None:
        """Draw one mark."""
        raise TypeError(f"no mark: {mark!r}")

    @mark.register
    def _(self, mark: Words) -> None:
        if missing := missing_glyphs(mark.text, "bold" if mark.bold else "normal"):
            codes = ", ".join(f"U+{ord(letter):04X}" for letter in missing)
            raise Refusal(
                f"the documents' font has no {codes} for the words {mark.text!a}; "
                "write it with letters that the font has"
            )
        self.canvas.setFillColor(HexColor(mark.colour))
        self.canvas.setFont(NAMES["bold" if mark.bold else "normal"], mark.size)
        self.canvas.drawString(*self._at(mark.x, mark.y), mark.text)

    @mark.register
    def _(self, mark: PageOf) -> None:
        text = mark.form.format(self.landed[mark.anchor])
        left = mark.x - (breadth(text, mark.size) if mark.right else 0.0)
        self.mark(Words(left, mark.y, text, mark.size))

    @mark.register
    def _(self, mark: Shape) -> None:
        path = self.canvas.beginPath()
        path.moveTo(*self._at(*mark.points[0]))
        for point in mark.points[1:]:
            path.lineTo(*self._at(*point))
        if mark.fill:
            self.canvas.setFillColor(HexColor(mark.fill))
        if mark.stroke:
            self.canvas.setStrokeColor(HexColor(mark.stroke))
            self.canvas.setLineWidth(mark.width)
            self.canvas.setDash(list(mark.dash))
        self.canvas.drawPath(path, fill=int(bool(mark.fill)), stroke=int(bool(mark.stroke)))

    @mark.register
    def _(self, mark: Drawn) -> None:
        left, low = self._at(mark.x, mark.y + mark.height)
        draw_scene(self.canvas, mark.scene, (left, low, mark.width, mark.height))

    @mark.register
    def _(self, mark: Link) -> None:
        left, low = self._at(mark.x, mark.y + mark.height)
        box = (left, low, left + mark.width, low + mark.height)
        self.canvas.linkRect("", self.names[mark.anchor], box, relative=0, thickness=0)

    @mark.register
    def _(self, mark: Landing) -> None:
        if not mark.anchor or mark.anchor in self.drawn:
            return
        self.drawn.add(mark.anchor)
        name = self.names[mark.anchor]
        _, top = self._at(0.0, 0.0)
        self.canvas.bookmarkPage(name, fit="XYZ", left=0, top=min(top + 6.0, self.page.height))
        if mark.title:
            self.canvas.addOutlineEntry(mark.title, name)
