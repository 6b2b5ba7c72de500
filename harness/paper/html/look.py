"""Colours of the page: the status colours on light paper, and the same hues on dark."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib.resources import files

from harness.base.colours import BLACK, INSULATION, SIDES, STATUS, Rgb, contrast, from_hex, to_hex

READS = 4.5
"""Least contrast of text, WCAG 2.x success criterion 1.4.3 (AA)."""
EASY = 7.0
"""What our own text keeps, WCAG 2.x success criterion 1.4.6 (AAA)."""

LIGHT = {
    "paper": "#FFFFFF", "ground": "#F1F4F6", "raised": "#FFFFFF", "ink": "#22303A",
    "soft": "#4A5862", "line": "#C5CFD5", "edge": "#6B7A84", "link": "#005A8E",
    "chip": "#E3EEF8", "bar": "#22303A", "on-bar": "#FFFFFF",
}  # fmt: skip
DARK = {
    "paper": "#141C22", "ground": "#0E1418", "raised": "#1B252C", "ink": "#E4EAEE",
    "soft": "#AAB7C0", "line": "#35434C", "edge": "#8796A1", "link": "#7CC4F2",
    "chip": "#22394A", "bar": "#0A0F13", "on-bar": "#E4EAEE",
}  # fmt: skip
"""Our own choice, dark enough or pale enough for `READS` on every ground they stand on."""


@cache
def style() -> str:
    """Return the style sheet of the page."""
    dark = f"{_variables(DARK, dark=True)} color-scheme: dark;"
    return (
        f":root {{ {_variables(LIGHT, dark=False)} color-scheme: light; }}\n"
        "@media screen and (prefers-color-scheme: dark) {\n"
        f"  :root:not([data-scheme=light]) {{ {dark} }}\n}}\n"
        f"@media screen {{ :root[data-scheme=dark] {{ {dark} }} }}\n"
        f"{_stripes()}\n{_own('book.css')}"
    )


@cache
def script() -> str:
    """Return the script of the page."""
    return _own("book.js") + _own("book_trace.js")


def _own(name: str) -> str:
    return (files(__package__ or "") / name).read_text(encoding="utf-8")


def _variables(plain: dict[str, str], *, dark: bool) -> str:
    pairs = [*plain.items(), *_statuses(plain, dark=dark), *_sides(plain, dark=dark)]
    return " ".join(f"--{name}: {value};" for name, value in pairs)


def _statuses(plain: dict[str, str], *, dark: bool) -> Iterator[tuple[str, str]]:
    for name, status in STATUS.items():
        ground = from_hex(plain["raised"])
        text = lightened(status.fill, ground) if dark else status.text
        yield name, to_hex(text)
        yield f"{name}-fill", to_hex(text if dark else status.fill)


def _sides(plain: dict[str, str], *, dark: bool) -> Iterator[tuple[str, str]]:
    for side, colour in SIDES.items():
        yield side, to_hex(lightened(colour, from_hex(plain["raised"])) if dark else colour)


def lightened(colour: Rgb, ground: Rgb) -> Rgb:
    """Return the first mixture of a colour with white that reads easily on a dark ground."""
    steps = ((part / 20) for part in range(21))
    mixed = (tuple(round(c + (255 - c) * step) for c in colour) for step in steps)
    found = next(rgb for rgb in mixed if contrast((rgb[0], rgb[1], rgb[2]), ground) >= EASY)
    return found[0], found[1], found[2]


def _stripes() -> str:
    """The three wires of a servo lead, as a band."""
    wires = [to_hex(rgb) for rgb in (INSULATION["YE"], INSULATION["RD"], BLACK)]
    a, b, c = wires
    thirds = f"{a} 0 33.3%, {b} 33.3% 66.6%, {c} 66.6%"
    return f".wires {{ background: linear-gradient(to bottom, {thirds}); }}"
