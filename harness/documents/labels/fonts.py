"""The typeface of the labels: DejaVu Sans, as it comes with matplotlib, measured by reportlab."""

from __future__ import annotations

import unicodedata
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from harness.documents.labels.errors import LabelRefused
from harness.documents.labels.model import MM_PER_POINT

REGULAR = "label-text"
BOLD = "label-text-bold"
_FILES = {REGULAR: "DejaVuSans.ttf", BOLD: "DejaVuSans-Bold.ttf"}

# Top of "H" over units per em in both files; their tables are too old to state it themselves.
CAP_RATIO = 1493 / 2048


def font_name(bold: bool) -> str:
    """The name under which the face is registered with reportlab."""
    return BOLD if bold else REGULAR


@cache
def font_folder() -> Path:
    """The folder with the font files, found without importing matplotlib."""
    spec = find_spec("matplotlib")
    places = spec.submodule_search_locations if spec else None
    for place in places or ():
        folder = Path(place) / "mpl-data" / "fonts" / "ttf"
        if all((folder / file).is_file() for file in _FILES.values()):
            return folder
    raise LabelRefused("DejaVu Sans, which comes with matplotlib, was not found")


@cache
def load_font(bold: bool) -> Any:
    """The reportlab font object, registered for drawing."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = font_name(bold)
    font = TTFont(name, str(font_folder() / _FILES[name]))
    pdfmetrics.registerFont(font)
    return font


def cap_height(size_pt: float) -> float:
    """Height in mm of a capital letter at a type size in points."""
    return CAP_RATIO * size_pt * MM_PER_POINT


@cache
def _width_at_1pt(text: str, bold: bool) -> float:
    from reportlab.pdfbase import pdfmetrics

    load_font(bold)
    return float(pdfmetrics.stringWidth(text, font_name(bold), 1000)) / 1000.0 * MM_PER_POINT


def text_width(text: str, size_pt: float, bold: bool = False) -> float:
    """Width in mm of a line of text."""
    return _width_at_1pt(text, bold) * size_pt


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
        if any(ord(char) not in load_font(bold).face.charToGlyph for bold in (False, True)):
            return char
    return ""
