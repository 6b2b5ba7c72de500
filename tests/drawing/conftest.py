"""The font read by FreeType, through Pillow."""

from collections.abc import Callable
from functools import cache

import pytest
from PIL import ImageFont

from harness.drawing.font import font_path

UNITS = 2048  # units per em in the head table of DejaVu Sans


@cache
def _face(weight: str) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(font_path(weight)), UNITS, layout_engine=ImageFont.Layout.BASIC)


@pytest.fixture(scope="session")
def freetype_width() -> Callable[[str, float, str], float]:
    """Width letter by letter, so that no kerning comes in."""

    def width(text: str, size: float, weight: str = "normal") -> float:
        return sum(_face(weight).getlength(letter) for letter in text) * size / UNITS

    return width
