"""Text widths against FreeType, reached through Pillow, which reads the font file itself."""

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from harness.drawing.font import missing_glyphs, text_width


@settings(deadline=None)
@given(
    st.text(
        st.characters(min_codepoint=32, max_codepoint=0x24F, exclude_categories=["C"]), max_size=30
    ),
    st.sampled_from(["normal", "bold"]),
)
def test_width_is_the_sum_of_freetype_advances(
    freetype_width: Callable[[str, float, str], float], text: str, weight: str
) -> None:
    assert text_width(text, 8, weight) == pytest.approx(freetype_width(text, 8, weight), abs=1e-6)


def test_letters_outside_the_font_are_named_once() -> None:
    assert missing_glyphs("flap 襟翼 襟") == "襟翼"  # DejaVu Sans holds no Han characters


def test_letters_of_european_languages_are_there() -> None:
    assert missing_glyphs("ÄÖÜß éèç łż Ωµ → ± °C") == ""
