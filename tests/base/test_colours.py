"""Colours against IEC 60757, WCAG 2.x, CIE 1976 and the palette of Okabe and Ito."""

from __future__ import annotations

import itertools
import math

import pytest
from matplotlib.colors import to_rgb

from harness.base import colours
from harness.base.colours import (
    STATUS,
    WHITE,
    ZONES,
    ColourError,
    code_of,
    contrast,
    from_hex,
    luminance,
    text_on,
    tints,
    to_hex,
    word_of,
)

# source: IEC 60757, the letter codes and their colours
IEC_60757 = {
    "BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green",
    "BU": "blue", "VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "GD": "gold",
    "TQ": "turquoise", "SR": "silver", "GNYE": "green-yellow",
}  # fmt: skip


def lab(rgb: colours.Rgb) -> tuple[float, float, float]:
    """CIE 1976 L*a*b* under D65; source: IEC 61966-2-1 and CIE 15."""
    parts = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in _unit(rgb)]
    rows = ((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505))
    xyz = [sum(a * b for a, b in zip(row, parts, strict=True)) for row in rows]
    fx, fy, fz = (
        t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116
        for t in (xyz[0] / 0.9505, xyz[1], xyz[2] / 1.089)
    )
    return 116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)


def _unit(rgb: colours.Rgb) -> list[float]:
    return [part / 255 for part in rgb]


@pytest.mark.parametrize(("code", "word"), IEC_60757.items())
def test_codes_and_words(code: str, word: str) -> None:
    assert word_of(code) == word
    assert code_of(word) == code_of(code) == code_of(code.lower()) == code


def test_the_codes_are_all_of_the_standard() -> None:
    assert set(colours.WORDS) == set(IEC_60757)


def test_several_colours_in_one_wire() -> None:
    # source: IEC 60757 clause on combinations: RDBU is one item
    assert code_of("RDBU") == code_of("red-blue") == "RDBU"
    assert word_of("RDBU") == "red-blue"
    assert tints("RDBU") == (colours.INSULATION["RD"], colours.INSULATION["BU"])


def test_both_spellings_of_grey() -> None:
    assert code_of("gray") == code_of("Grey") == "GY"


@pytest.mark.parametrize(
    ("text", "part"), [("purpel", "purple"), ("XY", "RD"), ("", "RD"), ("RDRD", "twice")]
)
def test_refused_colours(text: str, part: str) -> None:
    with pytest.raises(ColourError) as fault:
        code_of(text)
    assert part in str(fault.value)


@pytest.mark.parametrize("code", [code for code in IEC_60757 if code not in {"GNYE"}])
def test_screen_colours_have_the_hue_of_their_word(code: str) -> None:
    # source: the CSS colour keywords as matplotlib has them; ours must lie nearest to its own
    named = {c: tuple(round(255 * p) for p in to_rgb(w)) for c, w in _css().items()}
    here = lab(colours.INSULATION[code])
    nearest = min(named, key=lambda other: math.dist(here, lab(named[other])))  # type: ignore[arg-type]
    assert nearest == code


def _css() -> dict[str, str]:
    words = {code: word for code, word in IEC_60757.items() if code != "GNYE"}
    return words | {"VT": "rebeccapurple", "BN": "saddlebrown", "GD": "darkgoldenrod",
                    "BU": "royalblue", "OG": "darkorange"}  # fmt: skip


@pytest.mark.parametrize(
    ("grey", "ratio"),
    # source: WCAG 2.x, worked contrast of the two greys either side of AA
    [("#767676", 4.542), ("#777777", 4.478), ("#000000", 21.0), ("#FFFFFF", 1.0)],
)
def test_contrast_on_white(grey: str, ratio: float) -> None:
    assert contrast(from_hex(grey), WHITE) == pytest.approx(ratio, abs=5e-4)
    assert contrast(WHITE, from_hex(grey)) == contrast(from_hex(grey), WHITE)


def test_the_palette_is_okabe_and_ito() -> None:
    # source: Okabe and Ito, Color Universal Design, the eight colours
    theirs = [
        "#000000",
        "#E69F00",
        "#56B4E9",
        "#009E73",
        "#F0E442",
        "#0072B2",
        "#D55E00",
        "#CC79A7",
    ]
    assert [to_hex(rgb) for rgb in colours.OKABE_ITO.values()] == theirs


def test_which_palette_colours_pass_on_white() -> None:
    # source: WCAG thresholds over that palette: text 4.5:1, lines 3:1
    ratio = {name: contrast(rgb, WHITE) for name, rgb in colours.OKABE_ITO.items()}
    assert {name for name, value in ratio.items() if value >= 4.5} == {"black", "blue"}
    lines = {name for name, value in ratio.items() if 3 <= value < 4.5}
    assert lines == {"green", "vermilion", "purple"}


@pytest.mark.parametrize("name", ["danger", "error", "warning", "note", "ok", "unknown"])
def test_status_text_reads_on_white_and_on_its_own_fill(name: str) -> None:
    # source: WCAG 2.x AA, 4.5:1 for text
    status = STATUS[name]
    assert contrast(status.text, WHITE) >= 4.5
    assert contrast(text_on(status.fill), status.fill) >= 4.5


def test_status_fills_are_told_apart() -> None:
    fills = {status.fill for status in STATUS.values()}
    assert len(fills) == len(STATUS)
    assert len(fills & set(colours.OKABE_ITO.values())) == len(STATUS) - 1


def test_sides_are_red_and_green_and_read_on_white() -> None:
    # source: aircraft position lights, 14 CFR 23.2530: left red, right green
    red, green = colours.SIDES["left"], colours.SIDES["right"]
    assert red[0] > 2 * max(red[1:])
    assert green[1] > 1.5 * max(green[0], green[2])
    assert min(contrast(red, WHITE), contrast(green, WHITE)) >= 4.5


def test_zone_tints_carry_text_and_differ() -> None:
    # source: WCAG 2.x AAA, 7:1; CIE 1976 colour difference, 2.3 is just noticeable
    assert all(contrast(from_hex("#222222"), tint) >= 7 for tint in ZONES)
    pairs = itertools.combinations(ZONES, 2)
    assert min(math.dist(lab(one), lab(two)) for one, two in pairs) > 3 * 2.3


@pytest.mark.parametrize("code", list(colours.INSULATION))
def test_luminance_gives_the_lightness_of_cie(code: str) -> None:
    # source: CIE 15, L*; the luminance row of IEC 61966-2-1
    light = luminance(colours.INSULATION[code])
    lightness = 116 * light ** (1 / 3) - 16 if light > 216 / 24389 else light * 24389 / 27
    assert lightness == pytest.approx(lab(colours.INSULATION[code])[0], abs=1e-6)


@pytest.mark.parametrize("scheme", ["WH+RD+BK", "OG+RD+BN", "YE+RD+BK", "BU+RD+BK"])
def test_palest_is_signal_and_darkest_negative(scheme: str) -> None:
    # common practice, no source: signal, positive, negative in this order
    items = scheme.split("+")
    by_light = sorted(items, key=lambda code: luminance(colours.INSULATION[code]))
    assert by_light == items[::-1]


@pytest.mark.parametrize("text", ["0072B2", "#0072B", "#0072BG", "blue"])
def test_hex_is_strict(text: str) -> None:
    with pytest.raises(ColourError):
        from_hex(text)


def test_zone_tints_repeat() -> None:
    assert colours.zone_tint(len(ZONES)) == ZONES[0]
