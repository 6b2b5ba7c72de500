"""A current as a pill beside a lead's flag, its tint along the lead, and the scale of both."""

from __future__ import annotations

from collections.abc import Sequence
from math import log10

from harness.base.colours import (
    LEVELS,
    UNRATED,
    Level,
    Rgb,
    amps_text,
    level_of,
    share_text,
    text_on,
    to_hex,
)
from harness.drawing import look
from harness.drawing.bezier import Spline, straight
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace
from harness.drawing.marks import marker_shape
from harness.drawing.ribbon import ribbon_width
from harness.drawing.scene import Group, Item, Path, moved, rect_path, spline_path, text

HIGH = 10.5
MARK = 3.3  # half the breadth of a shape on a pill
BAND = 1.4  # of tint beside the wires at 0.1 A and below, points
DECADE = 1.3  # more of it for ten times the current
SAMPLES = (0.1, 1.0, 10.0, 100.0)
SCALE = 260.0  # breadth of the scale


def level_colours(level: Level) -> tuple[Rgb, Rgb]:
    """Return fill and text colour of a class of share."""
    return level.status.fill, text_on(level.status.fill)


def pill(ident: str, amps: float, share: float, title: str = "") -> Glyph:
    """A current and its share of what is borne, on the colour of the share, with its shape."""
    words = f"{amps_text(amps)} {share_text(share)}".rstrip()
    return _worded(ident, words, level_of(share), title or words)


def _worded(ident: str, words: str, level: Level, title: str) -> Glyph:
    fill, ink = (to_hex(rgb) for rgb in level_colours(level))
    start = 2 * MARK + 4.5 if level.shape else 3.0
    wide = start + text_width(words, look.SMALL) + 3.0
    items: list[Item] = [
        Path(rect_path(0, 0, wide, HIGH, 2.5), fill=fill, stroke=look.PAPER, width=0.8)
    ]
    if level.shape:
        shape = Path(marker_shape(level.shape, MARK), fill=ink)
        items.append(moved(shape, MARK + 2.4, HIGH / 2 + 0.3))
    items.append(text(start, 8.2, words, look.SMALL, fill=ink))
    places = {"left": GlyphPlace(0, HIGH / 2, "left"), "right": GlyphPlace(wide, HIGH / 2, "right")}
    return Glyph(Group(ident, tuple(items), ("current",), title), wide, HIGH, places, (0, 0))


def band_width(wires: float, amps: float) -> float:
    """Breadth of the tint along a lead whose wires are so broad, points: more for more current."""
    return wires + 2 * (BAND + DECADE * max(log10(max(abs(amps), 1e-9) / 0.1), 0.0))


def band(ident: str, spline: Spline, wires: float, amps: float, share: float) -> Group:
    """The tint along a lead."""
    level = level_of(share)
    return Group(ident, (_tint(spline, level, band_width(wires, amps)),), ("band",))


def _tint(spline: Spline, level: Level, wide: float) -> Path:
    """A tint in its colour and, for print in grey, its own dashes."""
    return Path(spline_path(spline), stroke=to_hex(level.status.fill), width=wide, dash=level.dash)


def scale(ident: str, notes: Sequence[str]) -> tuple[Group, float, float]:
    """What colours, shapes and breadths of tint mean, then notes; with its width and height."""
    lines = [line for note in notes for line in look.wrapped(note, look.SMALL, SCALE)]
    pills, y = _steps(14.0)
    samples = _samples(y + 24)
    y += 42
    items = [
        text(0, 9, "share of what it bears", look.SMALL, weight="bold", fill=look.INK),
        *pills,
        text(0, y - 30, "current", look.SMALL, weight="bold", fill=look.INK),
        *samples,
        *(text(0, y + 10 * n, line, look.SMALL, fill=look.INK) for n, line in enumerate(lines)),
    ]
    return Group(ident, tuple(items), ("scale",), "scale of currents"), SCALE, y + 10 * len(lines)


def _steps(y: float) -> tuple[list[Item], float]:
    """The classes of share as pills in rows, and where the last row ends."""
    items: list[Item] = []
    x = 0.0
    for level in (*LEVELS, UNRATED):
        sample = _worded("", level.words, level, level.words)
        if x + sample.width > SCALE:
            x, y = 0.0, y + HIGH + 11
        line = straight([(x, y + HIGH + 4.5), (x + sample.width, y + HIGH + 4.5)])
        items += [sample.at(x, y), _tint(line, level, 5.0)]
        x += sample.width + 4
    return items, y + HIGH + 7


def _samples(y: float) -> list[Item]:
    """Tints of some currents along wires, at height `y`."""
    items: list[Item] = []
    x, wires = 0.0, ribbon_width(3)
    tint = to_hex(LEVELS[0].status.fill)
    for amps in SAMPLES:
        line = spline_path(straight([(x, y), (x + 26, y)]))
        words = text(x + 30, y + 3, f"{amps:g} A", look.SMALL, fill=look.INK)
        items += [
            Path(line, stroke=tint, width=band_width(wires, amps)),
            Path(line, stroke=look.INK, width=wires),
            words,
        ]
        x += 30 + words.width + 9
    return items
