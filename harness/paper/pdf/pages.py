"""Pages of a printed paper: frames, feet, where anchors are, what stays together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    NextPageTemplate,
    PageBreak,
    PageTemplate,
)

from harness.drawing.look import shortened
from harness.drawing.pdf import draw_scene
from harness.drawing.scene import PAPERS, Point, Scene
from harness.paper.blocks import Paper
from harness.paper.pdf.words import EDGE, SOFT, TABLE, Mark, PrintedText, breadth, font, plain

LEFT = 51.0  # 18 mm, to be punched
RIGHT = 40.0
TOP = 40.0
LOW = 52.0
FOOT = 30.0  # the foot's baseline above the edge
NARROW = 16.0  # margin of a page that is a drawing, points: 5.6 mm, what printers need


class Pages(BaseDocTemplate):
    """Sets flowables on pages until the pages that it names are those it set.

    `known` are the pages of anchors as the last pass found them, and under "" how many there are;
    as long as it is empty, nothing need be drawn.
    """

    def __init__(self, target: Any, paper: Paper, page: str) -> None:
        self.paper, self.caption = paper, ""
        self.known: dict[str, int] = {}
        self.found: dict[str, int] = {}
        super().__init__(
            target,
            title=paper.title,
            subject=paper.subtitle,
            author="harness",
            creator="harness",
            lang="en-GB",
            pageCompression=1,
            initialFontName=font(False),
            keepTogetherClass=Kept,
            pageTemplates=_templates(page),
        )

    def beforeDocument(self) -> None:  # noqa: N802 (the library calls it)
        """Begin a pass."""
        self.known, self.found = self.found, {}

    def _allSatisfied(self) -> bool:  # noqa: N802
        return self.known == self.found

    def land(self, canvas: Any, anchor: str, title: str, top: float) -> None:
        """Make a place one that links lead to, unless the anchor has one; see `landing`."""
        if anchor in self.found:
            return
        self.found[anchor] = self.page
        _, high = canvas.absolutePosition(0.0, top)
        name = f"anchor {anchor}"
        canvas.bookmarkPage(name, fit="XYZ", left=0, top=min(high + 6.0, canvas._pagesize[1]))
        if title:
            canvas.addOutlineEntry(title, name)

    def foot(self, canvas: Any) -> None:
        """Draw the foot of a page."""
        self.found[""] = self.page
        edge = RIGHT if not self.caption else NARROW
        left, y = (LEFT, FOOT) if not self.caption else (NARROW, NARROW)
        right = canvas._pagesize[0] - edge
        words = f"{self.paper.title}, plan revision {self.paper.revision}"
        canvas.setFillColor(HexColor(SOFT))
        canvas.setStrokeColor(HexColor(EDGE))
        canvas.setLineWidth(0.5)
        canvas.setFont(font(False), TABLE)
        if self.caption:
            words = f"{self.caption}  ·  {words}"
        else:
            canvas.line(left, y + 12.0, right, y + 12.0)
        count = f"page {self.page} of {self.known.get('', 0)}"
        room = right - left - breadth(count, TABLE) - 20.0
        canvas.drawString(left, y, shortened(plain(words), TABLE, room))
        canvas.drawRightString(right, y, count)
        self.caption = ""


def text_size(page: str) -> Point:
    """Return width and height of the text on an upright page."""
    high, wide = PAPERS[page]
    return wide - LEFT - RIGHT, high - TOP - LOW


def _templates(page: str) -> list[PageTemplate]:
    """Return pages of text, and upright and turned ones for drawings."""
    high, wide = PAPERS[page]
    free = NARROW, NARROW + 11.0
    return [
        _template("text", (wide, high), (LEFT, LOW, *text_size(page))),
        _template("upright", (wide, high), (*free, wide - 2 * NARROW, high - 2 * NARROW - 11.0)),
        _template("turned", (high, wide), (*free, high - 2 * NARROW, wide - 2 * NARROW - 11.0)),
    ]


def _template(name: str, size: Point, frame: tuple[float, float, float, float]) -> PageTemplate:
    return PageTemplate(
        name,
        [Frame(*frame, 0, 0, 0, 0)],
        pagesize=size,
        onPageEnd=lambda canvas, pages: pages.foot(canvas),
    )


class Kept(KeepTogether):
    """Headings and what follows: as much of that as a page has room for stays with them."""

    def split(self, width: float, height: float) -> list[Any]:
        """Return what goes on from here, or nothing where it begins the next page."""
        self.wrap(width, height)
        if height >= self._H:
            return list(self._content)
        *heads, last = self._content
        last._frame = self._frame
        above = sum(f.getSpaceBefore() + f.wrapOn(self.canv, width, height)[1] for f in heads)
        left = height - above + heads[0].getSpaceBefore() - last.getSpaceBefore()
        if left > 0 and (parts := last.splitOn(self.canv, width, left)):
            return [*heads, *parts]
        if not self._frame._atTop:
            return []
        parts = heads[0].splitOn(self.canv, width, height) if above > height else heads[:1]
        return [*parts, *self._content[1:]]


class Drawn(Flowable):
    """A scene of a size, in the middle of its line or at its left."""

    def __init__(self, scene: Scene, width: float, height: float, *, middle: bool = False) -> None:
        super().__init__()
        self.scene, self.width, self.height = scene, width, height
        self.hAlign = "CENTER" if middle else "LEFT"

    def draw(self) -> None:
        """Draw it."""
        if self.canv._doctemplate.known:
            draw_scene(self.canv, self.scene, (0.0, 0.0, self.width, self.height))


class WholePage(Drawn):
    """A scene that takes the rest of its page, its caption in the foot."""

    def __init__(self, scene: Scene, caption: str) -> None:
        super().__init__(scene, 0.0, 0.0)
        self.caption = caption

    def wrap(self, width: float, height: float) -> Point:
        """Take what there is."""
        self.width, self.height = width, height
        return width, height

    def draw(self) -> None:
        """Draw it, and leave the caption to the foot."""
        self.canv._doctemplate.caption = self.caption or " "
        super().draw()


def whole(scene: Scene, caption: str, heads: Sequence[PrintedText]) -> list[Any]:
    """Return a page of a drawing, turned where it is wider than high; headings stand above it."""
    for head in heads:
        head.keepWithNext = 0
    kind = "turned" if scene.width > scene.height else "upright"
    return [
        NextPageTemplate(kind),
        PageBreak(),
        *heads,
        WholePage(scene, caption),
        NextPageTemplate("text"),
    ]


def landing(anchor: str, title: str = "") -> tuple[Mark, ...]:
    """Return what makes a paragraph one that links lead to; with a title, in the outline too."""

    def draw(canvas: Any, words: PrintedText) -> None:
        canvas._doctemplate.land(canvas, anchor, title, words.height)

    return (draw,) if anchor else ()


def entry(anchor: str) -> Mark:
    """Return what a line of the contents has: dots, the number of the page, a link."""

    def draw(canvas: Any, words: PrintedText) -> None:
        x, y = words.ends()[-1]
        size, wide = words.style.fontSize, words.width
        canvas.setStrokeColor(HexColor(EDGE))
        canvas.setLineWidth(0.8)
        canvas.setDash([1, 3])
        canvas.line(x + 6.0, y + 1.0, wide - 30.0, y + 1.0)
        canvas.setFillColor(words.style.textColor)
        canvas.setFont(font(False), size)
        canvas.drawRightString(wide, y, _page(canvas, anchor))
        _link(canvas, anchor, (0.0, 0.0, wide, words.height))

    return draw


def leading(anchor: str) -> Mark:
    """Return what a link in the text has: a line under its words, and the page behind them."""

    def draw(canvas: Any, words: PrintedText) -> None:
        size, ends = words.style.fontSize, words.ends()
        canvas.setStrokeColor(HexColor(EDGE))
        canvas.setLineWidth(0.5)
        for x, y in ends:
            canvas.line(0.0, y - 1.6, x, y - 1.6)
            _link(canvas, anchor, (0.0, y - 2.5, x, y + size))
        canvas.setFillColor(words.style.textColor)
        canvas.setFont(font(False), size)
        canvas.drawString(*ends[-1], f", page {_page(canvas, anchor)}")

    return draw


def _page(canvas: Any, anchor: str) -> str:
    return str(canvas._doctemplate.known.get(anchor, ""))


def _link(canvas: Any, anchor: str, box: tuple[float, float, float, float]) -> None:
    canvas.linkRect("", f"anchor {anchor}", box, relative=1, thickness=0)
