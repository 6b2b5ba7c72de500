"""Insulation colours by IEC 60757, contrast by WCAG 2, the palettes and the classes of load.

An *item* is one wire's insulation, `RD` or `RDBU` with a tracer; items are joined by `+`.
The RGB values for insulation are our own choice of screen colours, not part of the standard.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import isnan
from types import MappingProxyType
from typing import Literal

from harness.base.data import dataclass
from harness.base.near import hint

Rgb = tuple[int, int, int]


class ColourError(ValueError):
    """A text that names no insulation colour."""


def from_hex(text: str) -> Rgb:
    """Read `#RRGGBB`; raises `ColourError`."""
    if not re.fullmatch(r"#[0-9A-Fa-f]{6}", text):
        raise ColourError(f'"{text}" is not a colour: write it like "#0072B2"')
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def to_hex(rgb: Rgb) -> str:
    """Write `#RRGGBB` in capitals."""
    return "#{:02X}{:02X}{:02X}".format(*rgb)


WORDS: Mapping[str, str] = MappingProxyType({
    "BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow",
    "GN": "green", "BU": "blue", "VT": "violet", "GY": "grey", "WH": "white",
    "PK": "pink", "GD": "gold", "TQ": "turquoise", "SR": "silver", "GNYE": "green-yellow",
})  # fmt: skip
"""IEC 60757 letter codes and the words people use."""

INSULATION: Mapping[str, Rgb] = MappingProxyType({
    "BK": (26, 26, 26), "BN": (106, 62, 28), "RD": (201, 28, 36), "OG": (242, 140, 20),
    "YE": (250, 214, 36), "GN": (30, 138, 62), "BU": (64, 140, 216), "VT": (126, 74, 160),
    "GY": (138, 138, 138), "WH": (250, 250, 246), "PK": (244, 156, 186), "GD": (196, 160, 60),
    "TQ": (52, 182, 178), "SR": (192, 196, 202),
})  # fmt: skip
"""Screen colours of insulation; red, the middle wire, lies between signal and negative."""

_OTHER_WORDS = {"gray": "GY", "purple": "VT", "maroon": "BN", "cyan": "TQ"}
_BY_WORD = {word: code for code, word in WORDS.items() if code != "GNYE"} | _OTHER_WORDS


def code_of(text: str) -> str:
    """IEC 60757 code of one item: `red` -> RD, `green-yellow` -> GNYE, `RDBU` -> RDBU.

    Raises `ColourError` naming the nearest colour.
    """
    codes = [code for word in re.split(r"[-/ ]+", text.strip()) for code in _codes(word, text)]
    if len(set(codes)) != len(codes):
        raise ColourError(f'"{text}" names a colour twice in one wire')
    return "".join(codes)


def _codes(word: str, text: str) -> list[str]:
    """Split one word of `text` into codes of two letters."""
    if found := _BY_WORD.get(word.lower()):
        return [found]
    pairs = [word[at : at + 2].upper() for at in range(0, len(word), 2)]
    if pairs and all(pair in INSULATION for pair in pairs):
        return pairs
    right = hint(word, _BY_WORD) or 'write a word like "red" or a code like "RD"'
    raise ColourError(f'"{text}" is not an insulation colour: {right}')


def tints(code: str) -> tuple[Rgb, ...]:
    """Screen colours of one item, ground colour first, then its tracers."""
    item = code_of(code)
    return tuple(INSULATION[item[at : at + 2]] for at in range(0, len(item), 2))


def word_of(code: str) -> str:
    """Words of one item: RD -> red, RDBU -> red-blue, GNYE -> green-yellow."""
    item = code_of(code)
    return "-".join(WORDS[item[at : at + 2]] for at in range(0, len(item), 2))


def luminance(rgb: Rgb) -> float:
    """Relative luminance by WCAG 2.x, 0 black to 1 white."""
    parts = [part / 255 for part in rgb]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: Rgb, second: Rgb) -> float:
    """Contrast ratio by WCAG 2.x, 1 to 21, whichever way round."""
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)


def text_on(fill: Rgb) -> Rgb:
    """Black or white, whichever reads better on `fill`."""
    return max(BLACK, WHITE, key=lambda ink: contrast(ink, fill))


@dataclass(frozen=True, slots=True)
class Status:
    """Colours of one status: `fill` for marks, `text` for words on white paper."""

    name: str
    fill: Rgb
    text: Rgb


BLACK: Rgb = (0, 0, 0)
WHITE: Rgb = (255, 255, 255)
INK: Rgb = from_hex("#222222")
"""Colour of running text."""

OKABE_ITO: Mapping[str, Rgb] = MappingProxyType({
    "black": BLACK, "orange": from_hex("#E69F00"), "sky blue": from_hex("#56B4E9"),
    "green": from_hex("#009E73"), "yellow": from_hex("#F0E442"), "blue": from_hex("#0072B2"),
    "vermilion": from_hex("#D55E00"), "purple": from_hex("#CC79A7"),
})  # fmt: skip
"""Palette of Okabe and Ito, told apart by people with any kind of colour vision."""

_GREY: Rgb = from_hex("#767676")
_STATUS = (
    Status("danger", OKABE_ITO["vermilion"], from_hex("#A84A00")),
    Status("error", OKABE_ITO["purple"], from_hex("#9A3F73")),
    Status("warning", OKABE_ITO["orange"], from_hex("#805800")),
    Status("note", OKABE_ITO["blue"], OKABE_ITO["blue"]),
    Status("ok", OKABE_ITO["green"], from_hex("#007353")),
    Status("unknown", _GREY, from_hex("#5A5A5A")),
)
STATUS: Mapping[str, Status] = MappingProxyType({status.name: status for status in _STATUS})
"""Status colours by name; a mark also has a shape, never a colour alone."""

CHANGES: Mapping[str, Rgb] = MappingProxyType(
    {
        "moved": OKABE_ITO["sky blue"],
        "new": OKABE_ITO["green"],
        "changed": OKABE_ITO["yellow"],
        "gone": OKABE_ITO["black"],
    }
)
"""Colours of what differs between two plans; each has a sign of its own shape as well."""

SIDES: Mapping[str, Rgb] = MappingProxyType({
    "left": from_hex("#B3202A"), "right": from_hex("#1B7A3D"),
})  # fmt: skip
"""Left red, right green, as the lights of an aircraft."""

ZONES: tuple[Rgb, ...] = tuple(
    from_hex(text)
    for text in (
        "#E3EEF8",
        "#FBEBD3",
        "#E2F2DF",
        "#F5E1EC",
        "#F7F5CC",
        "#E6E1F5",
        "#D6F1EF",
        "#ECE7E0",
    )
)
"""Soft tints of the places, pale enough for `INK` at 7:1."""


def zone_tint(index: int) -> Rgb:
    """Tint of the place with this number; the tints repeat after the last."""
    return ZONES[index % len(ZONES)]


@dataclass(frozen=True, slots=True)
class Level:
    """One class of share of what a thing bears: from `least` (1 is all of it) upwards.

    `shape` tells it apart without colour; most things need none. `dash` does so along a lead:
    lengths of tint and of gap, points.
    """

    least: float
    status: Status
    shape: Literal["", "warning", "danger"]
    words: str
    dash: tuple[float, ...] = ()


UNRATED = Level(float("nan"), STATUS["unknown"], "", "limit not known", (1.5, 4.0))
"""Of what nobody knows the limit of."""

LEVELS = (
    Level(0.0, STATUS["ok"], "", "under 50 %"),
    Level(0.5, STATUS["note"], "", "50 to 80 %", (16.0, 2.0)),
    Level(0.8, STATUS["warning"], "warning", "80 to 100 %", (7.0, 2.0)),
    Level(1.0, STATUS["danger"], "danger", "over 100 %", (3.0, 2.0)),
)
"""Classes of share; the steps are our own choice, 1 is what the limit says."""


def level_of(share: float) -> Level:
    """Return the class of a share; `UNRATED` for not a number. Just all of a limit is not over."""
    if isnan(share):
        return UNRATED
    over = LEVELS[-1]
    below = [level for level in LEVELS[:-1] if share >= level.least]
    return over if share > over.least else below[-1]


def amps_text(amps: float) -> str:
    """Write a current for a picture: 0.74 A, 1.1 A, 24.8 A, 152 A."""
    size = abs(amps)
    places = 2 if size < 0.995 else 1 if size < 99.95 else 0
    return f"{size:.{places}f} A"


def share_text(share: float) -> str:
    """Write a share of a limit: 22 %; nothing where no limit is known."""
    return "" if isnan(share) else f"{100 * share:.0f} %"


def volts_text(volts: float) -> str:
    """Write volts for a picture: 5.81 V."""
    return f"{volts:.2f} V"
