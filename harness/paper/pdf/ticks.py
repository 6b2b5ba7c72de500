"""Steps on paper: a box to tick, number, words, label codes, and the small picture beside."""

from __future__ import annotations

from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable

from harness.drawing.scene import Scene, Text, walk
from harness.paper.blocks import Tick, Ticks
from harness.paper.pdf.pages import Drawn, leading
from harness.paper.pdf.tables import PrintedTable, looks
from harness.paper.pdf.words import BLACK, EDGE, SOFT, TABLE, PrintedText, breadth, style

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
    plain = [text for anchor, text in tick.links if anchor not in anchors]
    words: list[Any] = [PrintedText(tick.text, style())]
    words += [Chips(tick.codes)] if tick.codes else []
    words += [PrintedText(text, style(TABLE, colour=SOFT)) for text in (*tick.details, *plain)]
    words += [PrintedText(text, style(TABLE, room=60.0), marks=(leading(anchor),))
              for anchor, text in tick.links if anchor in anchors]  # fmt: skip
    if tick.picture and not beside:
        words.append(_under(tick.picture, width, limit))
    wide = beside.width + 10.0 if beside else 0.0
    box = PrintedText(str(number), style(bold=True, flush=True, room=6.0), marks=(_box,))
    return PrintedTable(
        [[box, words, *([beside] if beside else [])]],
        [LEFT, width - LEFT - wide, *([wide] if beside else [])],
        style=[*looks(0.0, 5.0), ("ALIGN", (2, 0), (2, 0), "RIGHT"),
               ("LINEBELOW", (0, 0), (-1, -1), 0.5, HexColor(EDGE))],
    )  # fmt: skip


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
