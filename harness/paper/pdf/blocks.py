"""Blocks of a paper as flowables: headings, paragraphs, lists, notes, pictures, steps to tick."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable

from harness.base.data import dataclass
from harness.drawing.scene import Scene, Text, walk
from harness.paper.blocks import Block, Heading, Picture, Points, Say, Tick, Ticks, row_anchor
from harness.paper.pdf.pages import Drawn, landing, leading, whole
from harness.paper.pdf.tables import PrintedTable, boxed, looks, table_rows
from harness.paper.pdf.words import (
    BLACK,
    BODY,
    EDGE,
    SOFT,
    TABLE,
    TINTS,
    Mark,
    PrintedText,
    breadth,
    plain,
    style,
)
from harness.paper.sheet import Cell, Note, Table

AFTER = 7.0  # between blocks, points
BESIDE = 58.0  # what a short title takes beside its list
LARGEST = 1.15  # a small picture is not blown up further
INTRODUCED = (Table, Ticks)
"""What the words under a heading are about, where it is the next block."""
INTRODUCING = 4
"""Lines of words that stay with what they introduce; more may stand at the end of a page."""


@dataclass(frozen=True, slots=True)
class PrintedRoom:
    """The breadth and height of the text on a page, the anchors that links lead to, the chapter."""

    width: float
    height: float
    anchors: frozenset[str] = frozenset()
    chapter: str = ""

    def row(self, first: str) -> tuple[Mark, ...]:
        """Return where links to a row of a table land, by the text of its first cell."""
        anchor = row_anchor(self.chapter, first)
        return landing(anchor) if anchor in self.anchors else ()


def flowables(
    blocks: Sequence[Block], room: PrintedRoom, head: Sequence[PrintedText] = ()
) -> list[Any]:
    """Return what blocks are when printed, after the head of their chapter."""
    found: list[Any] = list(head)
    for before, block, after in zip((None, *blocks), blocks, (*blocks[1:], None), strict=False):
        if isinstance(block, Picture) and block.whole:
            heads: list[PrintedText] = []
            while found and found[-1].getKeepWithNext():
                heads.insert(0, found.pop())
            found += whole(block.scene, block.caption, heads)
            continue
        new = _flowables(block, room)
        if isinstance(before, Heading) and isinstance(block, Say) and isinstance(after, INTRODUCED):
            new[0].keepWithNext = _lines(new[0], room.width) <= INTRODUCING
        found += new
    return found


def _lines(flowable: Any, width: float) -> float:
    return float(flowable.wrap(width, 9999.0)[1] / (BODY * 1.36))


def _flowables(block: Block, room: PrintedRoom) -> list[Any]:
    match block:
        case Heading():
            found = [heading(block.text, 11.0, 14.0, landing(block.anchor))]
        case Say():
            found = [said(block)]
        case Points():
            found = [_point(item, AFTER if n == 0 else 2.0) for n, item in enumerate(block.items)]
        case Table():
            found = table_rows(block, room.width, room.row)
        case Note():
            found = _note(block)
        case Ticks():
            found = tick_rows(block, room.width, room.height, room.anchors)
        case Picture():
            found = _picture(block, room)
    return found


def heading(text: str, size: float, before: float, marks: tuple[Mark, ...] = ()) -> PrintedText:
    """Return a heading that stays with what follows it."""
    look = style(size, bold=True, before=before, keep=True, leading=size * 1.3 + 3.0)
    return PrintedText(text, look, marks=marks)


def said(block: Say) -> Any:
    """Return a paragraph: in a tinted box with a sign, unless its tone is plain."""
    if block.tone in TINTS:
        return boxed(block.text, block.tone, 4.0)
    faint = block.tone == "faint"
    look = style(TABLE if faint else BODY, colour=SOFT if faint else BLACK, before=AFTER)
    return PrintedText(block.text, look)


def _point(item: Cell, before: float) -> Any:
    if item.tone in TINTS:
        return boxed(item.text, item.tone, max(before, 3.0))
    colour = SOFT if item.tone == "faint" else BLACK
    return PrintedText(item.text, style(indent=12.0, before=before, colour=colour), "•")


def _note(block: Note) -> list[Any]:
    """Return a list under its title, or beside it where the title is a word or two."""
    title = plain(block.title, True)
    beside = breadth(title, TABLE, bold=True) <= BESIDE - 8.0 and block.lines
    left, found = BESIDE if beside else 8.0, []
    for n, line in enumerate(block.lines):
        first = beside and n == 0
        indent = left + min(5.0 * (len(line) - len(line.lstrip(" "))), 50.0)
        look = style(TABLE, indent=indent, before=4.0 if first else 0.5, label=True)
        found.append(PrintedText(line, look, title if first else None))
    return found if beside else [heading(block.title, BODY, AFTER), *found]


def _picture(block: Picture, room: PrintedRoom) -> list[Any]:
    scene = block.scene
    caption = PrintedText(block.caption, style(TABLE, colour=SOFT, before=3.0))
    most = room.height * 0.8 - caption.wrap(room.width, room.height)[1]
    scale = min(room.width / scene.width, most / scene.height, LARGEST)
    drawn = Drawn(scene, scene.width * scale, scene.height * scale, middle=True)
    drawn.spaceBefore, drawn.keepWithNext = AFTER, 1
    return [drawn, caption]


BOX = 10.0  # the box to tick
LEFT = 44.0  # where the words begin
ASIDE = 0.42  # share of the breadth that a picture beside the words may have
TALL = 150.0  # height that it may have
FLOOR = 6.6  # smallest text of a picture on paper, as in the drawings


def tick_rows(block: Ticks, width: float, height: float, anchors: frozenset[str]) -> list[Any]:
    """Return steps; one that is not higher than half a page stays whole."""
    found = [
        _tick(tick, number, width, height / 2, anchors)
        for number, tick in enumerate(block.items, block.start)
    ]
    for first in found[:1]:
        first.spaceBefore = 7.0
    return found


def _tick(
    tick: Tick, number: int, width: float, limit: float, anchors: frozenset[str]
) -> PrintedTable:
    beside = _beside(tick.picture, width) if tick.picture else None
    unlinked = [text for anchor, text in tick.links if anchor not in anchors]
    words: list[Any] = [PrintedText(tick.text, style())]
    words += [Chips(tick.codes)] if tick.codes else []
    words += [PrintedText(text, style(TABLE, colour=SOFT)) for text in (*tick.details, *unlinked)]
    words += [
        PrintedText(text, style(TABLE, room=60.0), marks=(leading(anchor),))
        for anchor, text in tick.links
        if anchor in anchors
    ]
    if tick.picture and not beside:
        words.append(_under(tick.picture, width, limit))
    wide = beside.width + 10.0 if beside else 0.0
    box = PrintedText(str(number), style(bold=True, flush=True, room=6.0), marks=(_box,))
    return PrintedTable(
        [[box, words, *([beside] if beside else [])]],
        [LEFT, width - LEFT - wide, *([wide] if beside else [])],
        style=[
            *looks(0.0, 4.0),
            ("ALIGN", (2, 0), (2, 0), "RIGHT"),
            ("LINEBELOW", (0, 0), (-1, -1), 0.5, HexColor(EDGE)),
        ],
    )


def _box(canvas: Any, words: PrintedText) -> None:
    canvas.setStrokeColor(HexColor(BLACK))
    canvas.setLineWidth(1.0)
    canvas.rect(1.0, words.height - BOX + 0.5, BOX, BOX)


class Chips(Flowable):
    """Label codes, framed, as many in a line as there is room for."""

    def __init__(self, codes: tuple[str, ...]) -> None:
        super().__init__()
        self.words = [PrintedText(code, style(TABLE, bold=True)) for code in codes]
        self.codes = codes
        self.places: list[tuple[float, float]] = []

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Place them."""
        self.places, x, self.height = [], 0.0, 0.0
        for code, words in zip(self.codes, self.words, strict=True):
            wide = min(breadth(code, TABLE, bold=True) + 0.1, width - 12.0)
            _, high = words.wrapOn(self.canv, wide, height)
            x = 0.0 if x + wide + 8.0 > width else x
            self.height += high + 5.5 if x == 0.0 else 0.0
            self.places.append((x, self.height))
            x += wide + 12.0
        return width, self.height

    def draw(self) -> None:
        """Draw frames and codes."""
        self.canv.setStrokeColor(HexColor(BLACK))
        self.canv.setLineWidth(0.7)
        for words, (x, down) in zip(self.words, self.places, strict=True):
            low = self.height - down + 3.0
            self.canv.rect(x, low - 1.0, words.width + 8.0, words.height + 2.0)
            words.drawOn(self.canv, x + 4.0, low)


def _beside(scene: Scene, width: float) -> Drawn | None:
    """Return the picture at the right, or nothing where its words would get too small."""
    scale = min(width * ASIDE / scene.width, TALL / scene.height, 1.0)
    sizes = [item.size for item in walk(scene.items) if isinstance(item, Text)]
    if sizes and min(sizes) * scale < FLOOR:
        return None
    return Drawn(scene, scene.width * scale, scene.height * scale)


def _under(scene: Scene, width: float, limit: float) -> Drawn:
    scale = min((width - LEFT) / scene.width, limit * 0.8 / scene.height, 1.0)
    return Drawn(scene, scene.width * scale, scene.height * scale)
