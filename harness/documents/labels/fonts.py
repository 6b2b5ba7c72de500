"""The typeface of the labels: DejaVu Sans, as it comes with matplotlib, as the drawings use it."""

from __future__ import annotations

import unicodedata
from functools import cache
from typing import Any

from harness.documents.labels.label import MM_PER_POINT
from harness.drawing import font

REGULAR = "label-text"
BOLD = "label-text-bold"

# Top of "H" over units per em in both files; their tables are too old to state it themselves.
CAP_RATIO = 1493 / 2048


def font_name(bold: bool) -> str:
    """The name under which the face is registered with reportlab."""
    return BOLD if bold else REGULAR


@cache
def load_font(bold: bool) -> Any:
    """The reportlab font object, registered for drawing."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = font_name(bold)
    face = TTFont(name, str(font.font_path(_weight(bold))))
    pdfmetrics.registerFont(face)
    return face


def _weight(bold: bool) -> font.Weight:
    return "bold" if bold else "normal"


def cap_height(size_pt: float) -> float:
    """Height in mm of a capital letter at a type size in points."""
    return CAP_RATIO * size_pt * MM_PER_POINT


def text_width(text: str, size_pt: float, bold: bool = False) -> float:
    """Width in mm of a line of text."""
    return font.text_width(text, size_pt, _weight(bold)) * MM_PER_POINT


def unprintable(text: str) -> str:
    """The first character that cannot be printed, or an empty string.

    No glyph in either face, a control character, a mark that needs placing over its neighbour,
    or a script that runs from right to left (the printer sets characters one by one).
    """
    for char in text:
        category = unicodedata.category(char)
        leftward = unicodedata.bidirectional(char) in ("R", "AL", "AN")
        if category[0] in "CM" or category in ("Zl", "Zp") or leftward:
            return char
        if font.missing_glyphs(char) or font.missing_glyphs(char, "bold"):
            return char
    return ""
