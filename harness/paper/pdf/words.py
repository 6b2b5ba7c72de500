"""PrintedText of a printed paper: their styles, where lines may end, what is drawn beside them."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from math import cos, pi, sin
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Paragraph

from harness.base.colours import INK, STATUS, text_on, to_hex
from harness.base.refusal import Refusal
from harness.drawing.font import missing_glyphs
from harness.drawing.pdf import NAMES

BODY = 9.0  # size of running text, points
TABLE = 8.0  # of tables, details and the foot; nothing is smaller
LEADING = 1.36  # line distance over text size
BLACK = to_hex(INK)
SOFT = to_hex(STATUS["unknown"].text)
EDGE = "#8A949B"
TINTS = {
    "caution": "#FFF3CF", "warning": "#FFF3CF", "danger": "#FBE2D5", "error": "#F6E3EE",
    "ok": "#E3F3EC",
}  # fmt: skip
"""What lies under the words of a tone; words on it have a contrast of 7:1 and more."""

STEERING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029]")
"""Characters that are no letters; a line end is."""
UNITS = "V|mV|A|mA|Ah|mAh|C|W|Wh|ohm|mohm|mm|mm2|cm|m|s|ms|us|min|h|Hz|AWG|g|kg|°C|degC|%|µF|uF"
QUANTITY = re.compile(rf"(?<=\d) +(?=(?:{UNITS})(?:[\s,.;:)]|$))")
"""The space between a number and its unit, where no line ends."""
JOINTS = "-_./,;:\xa0"
"""After these a word that is broader than its room is broken, if one is in its second half."""

Mark = Callable[[Any, "PrintedText"], None]
"""Draws on a canvas whose origin is the lower left corner of a paragraph."""


class PrintedText(Paragraph):
    """A paragraph of plain text, and marks that belong to its first line."""

    def __init__(
        self,
        text: str | None,
        style: Any,
        bulletText: str | None = None,  # noqa: N803 (the library names it)
        frags: Any = None,
        marks: tuple[Mark, ...] = (),
    ) -> None:
        self.marks, self.broken = marks, (0.0, None)
        super().__init__(text, style, bulletText, frags or _frags(text or "", style))

    def breakLines(self, width: Any) -> Any:  # noqa: N802
        """Break at spaces, and a word that is broader than the room at its joints.

        Tables ask for the same breadth again and again.
        """
        room = min(width) if isinstance(width, list) else width
        if self.broken[0] != room:
            for frag in self.frags:
                if words := getattr(frag, "text", ""):
                    frag.text = " ".join(_cut(word, room, frag) for word in words.split(" "))
            self.broken = room, super().breakLines(width)
        return self.broken[1]

    def split(self, width: float, height: float) -> list[PrintedText]:
        """Break over the page; the marks stay with the first line."""
        parts: list[PrintedText] = super().split(width, height)
        if parts:
            parts[0].marks = self.marks
        return parts

    def draw(self) -> None:
        """Draw the words, then the marks."""
        if self.canv._doctemplate.known:
            super().draw()
        for mark in self.marks:
            self.canv.saveState()
            mark(self.canv, self)
            self.canv.restoreState()

    def ends(self) -> list[tuple[float, float]]:
        """Return where lines end: x and baseline from the lower left corner."""
        style = self.style
        top = self.height - style.fontSize
        return [
            (wide - style.rightIndent, top - n * style.leading)
            for n, wide in enumerate(self.getActualLineWidths0())
        ]


@cache
def style(
    size: float = BODY,
    *,
    bold: bool = False,
    colour: str = BLACK,
    before: float = 0.0,
    indent: float = 0.0,
    room: float = 0.0,
    flush: bool = False,
    keep: bool = False,
    leading: float = 0.0,
    label: bool = False,
) -> ParagraphStyle:
    """Return the style of a paragraph.

    `room` is kept free at its right, `flush`: flush right, `keep`: stays with what follows,
    `label`: a word stands beside it, not a point.
    """
    return ParagraphStyle(
        "words",
        fontName=font(bold),
        fontSize=size,
        leading=leading or size * LEADING,
        textColor=HexColor(colour),
        spaceBefore=before,
        leftIndent=indent,
        rightIndent=room,
        alignment=2 if flush else 0,
        keepWithNext=int(keep),
        allowWidows=0,
        allowOrphans=0,
        bulletIndent=0.0 if label else 2.0,
        bulletFontName=font(label),
        bulletFontSize=size,
        bulletColor=HexColor(colour),
    )


def font(bold: bool) -> str:
    """Return the name of a font."""
    return NAMES["bold" if bold else "normal"]


@cache
def breadth(text: str, size: float, bold: bool = False) -> float:
    """Return how broad a line of text is, in points."""
    return float(stringWidth(text, font(bold), size))


def plain(text: str, bold: bool = False) -> str:
    """Return a text as it is printed. Raises Refusal for a letter that the font does not have."""
    text = QUANTITY.sub("\xa0", STEERING.sub(" ", text))
    if missing := missing_glyphs(text.replace("\n", " "), "bold" if bold else "normal"):
        codes = ", ".join(f"U+{ord(letter):04X}" for letter in missing)
        raise Refusal(
            f"the documents' font has no {codes} for the words {text!a}; "
            "write it with letters that the font has"
        )
    return text


def _frags(text: str, style: Any) -> list[Any]:
    """Return a text as the library's parser would, were it marked up."""
    like, found = _like(style), []
    for line in plain(text, style.fontName == font(True)).split("\n"):
        found += [like.clone(text=line), like.clone(text="", lineBreak=True)]
    return found[:-1]


@cache
def _like(style: Any) -> Any:
    return Paragraph("like", style).frags[0]


def _cut(word: str, room: float, frag: Any) -> str:
    """Put spaces into a word that is broader than the room: each part fills a line."""
    name, size = frag.fontName, frag.fontSize
    if len(word) * size * 1.2 < room or stringWidth(word, name, size) <= room:
        return word
    pieces = [""]
    for letter in word:
        if pieces[-1] and stringWidth(pieces[-1] + letter, name, size) > room:
            pieces[-1:] = _at_joint(pieces[-1])
        pieces[-1] += letter
    return " ".join(pieces)


def _at_joint(piece: str) -> tuple[str, str]:
    at = max(piece.rfind(joint) for joint in JOINTS) + 1
    return (piece[:at], piece[at:]) if at > len(piece) / 2 else (piece, "")


def sign(tone: str, x: float, radius: float) -> Mark:
    """Return the sign of a tone: a shape, never a colour alone, with a letter on it."""
    status = STATUS["warning" if tone == "caution" else tone]
    letter, size = "✓" if tone == "ok" else "!", radius * 1.35
    shift = 0.22 * radius if status.name == "warning" else 0.0

    def draw(canvas: Any, words: PrintedText) -> None:
        y = words.height - words.style.leading / 2
        canvas.setFillColor(HexColor(to_hex(status.fill)))
        polygon(canvas, _corners(status.name, x, y, radius))
        canvas.setFillColor(HexColor(to_hex(text_on(status.fill))))
        canvas.setFont(font(True), size)
        canvas.drawCentredString(x, y - shift - 0.36 * size, letter)

    return draw


def polygon(canvas: Any, points: list[tuple[float, float]]) -> None:
    """Fill and outline a polygon."""
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    path.close()
    canvas.setLineWidth(0.5)
    canvas.drawPath(path, fill=1, stroke=1)


def _corners(status: str, x: float, y: float, radius: float) -> list[tuple[float, float]]:
    """Return a triangle, octagon, diamond or as good as a circle."""
    count, turn = {"warning": (3, 0.0), "danger": (8, pi / 8), "error": (4, 0.0)}.get(
        status, (24, 0.0)
    )
    big, down = (radius * 1.25, 0.15 * radius) if count == 3 else (radius, 0.0)
    angles = [turn + 2 * pi * n / count for n in range(count)]
    return [(x + big * sin(a), y - down + big * cos(a)) for a in angles]
