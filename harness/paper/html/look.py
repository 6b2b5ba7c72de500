"""Colours of the page on light paper and on dark, and the signs that stand beside them."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib.resources import files

from harness.base.colours import SIDES, STATUS, Rgb, contrast, from_hex, to_hex
from harness.drawing.marks import marker_shape
from harness.drawing.scene import Commands
from harness.drawing.svg import number, own_script

WORDS = {"caution": "Caution", "danger": "Danger", "warning": "Warning", "ok": "In order"}
"""What a reader of the page aloud says for a sign."""
_STATUS = {"caution": "warning"}
_MARK = {"danger": "M-1.2 -5h2.4l-.5 6h-1.4zM-1.2 2.4h2.4v2.4h-2.4z",
         "warning": "M-1.1 -3h2.2l-.5 5h-1.2zM-1.1 3h2.2v2.2h-2.2z",
         "ok": "M-4.4 .2l1.4 -1.5 2 2 4.2 -4.5 1.4 1.4 -5.6 6z"}  # fmt: skip


def symbols() -> str:
    """Return the shapes once; `sign` refers to them."""
    made = "".join(
        f'<symbol id="_s-{name}" viewBox="-11 -11 22 22">'
        f'<path d="{_data(marker_shape(name, 8.0))}" fill="currentColor"/>'  # type: ignore[arg-type]
        f'<path d="{_MARK[name]}" class="hole"/></symbol>'
        for name in STATUS
        if name in _MARK
    )
    return f'<svg class="symbols" aria-hidden="true" width="0" height="0">{made}</svg>'


def sign(tone: str) -> str:
    """Return the sign of a tone, or nothing."""
    if tone not in WORDS:
        return ""
    name = _STATUS.get(tone, tone)
    return (
        '<svg class="sign" aria-hidden="true" width="18" height="18">'
        f'<use href="#_s-{name}"/></svg>'
    )


def aloud(tone: str, text: str) -> str:
    """Return the sign's word for those who cannot see it, unless the text begins with it."""
    word = WORDS.get(tone, "")
    if not word or text.lower().startswith(word.lower()):
        return ""
    return f'<span class="unseen">{word}: </span>'


def _data(commands: Commands) -> str:
    return "".join(name + " ".join(map(number, values)) for name, values in commands)


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
        f"{_own('book.css')}"
    )


@cache
def script() -> str:
    """Return the script of the page."""
    return _own("book.js") + own_script("light.js") + _own("book_trace.js")


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
