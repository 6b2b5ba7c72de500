"""What a printed page is made of, before it is PDF: marks, strips of marks, places in points.

A strip is as broad as the text and is never broken. Its marks are placed from its top left
corner, y downwards.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache

from harness.base.colours import INK, STATUS, to_hex
from harness.drawing.font import Weight
from harness.drawing.font import text_width as width_of
from harness.drawing.scene import Point, Scene

BODY = 9.0  # size of running text, points
TABLE = 8.0  # of tables, details and the foot; nothing is smaller
LEADING = 1.36  # line distance over text size
BLACK = to_hex(INK)
SOFT = to_hex(STATUS["unknown"].text)
EDGE = "#8A949B"
SHADE = "#E8ECEF"
TINTS = {
    "caution": "#FFF3CF", "warning": "#FFF3CF", "danger": "#FBE2D5", "error": "#F6E3EE",
    "ok": "#E3F3EC",
}  # fmt: skip
"""What lies under the words of a tone; words on it have a contrast of 7:1 and more."""

STEERING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029]")
"""Characters that are no letters; a line end is."""
UNITS = "V|mV|A|mA|Ah|mAh|C|W|Wh|ohm|mohm|mm|mm2|cm|m|s|ms|us|min|h|Hz|AWG|g|kg|°C|degC|%|µF|uF"
GAP = re.compile(rf"(?<!\d) +| +(?!(?:{UNITS})(?:[\s,.;:)]|$))")
"""Where a line may end: at spaces, but not between a number and its unit."""


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text; `y` is its baseline."""

    x: float
    y: float
    text: str
    size: float = BODY
    bold: bool = False
    colour: str = BLACK


@dataclass(frozen=True, slots=True)
class PageOf:
    """The number of the page an anchor is on, `right`: ending at x; `form` has a {}."""

    x: float
    y: float
    anchor: str
    form: str = "{}"
    right: bool = False
    size: float = BODY


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed or open line through points, filled or drawn."""

    points: tuple[Point, ...]
    fill: str = ""
    stroke: str = ""
    width: float = 0.6
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawn:
    """A scene inside a rectangle."""

    scene: Scene
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Link:
    """A rectangle that leads to an anchor."""

    x: float
    y: float
    width: float
    height: float
    anchor: str


@dataclass(frozen=True, slots=True)
class Landing:
    """Where an anchor is; one with a title stands in the outline too."""

    anchor: str
    title: str = ""


Mark = Words | PageOf | Shape | Drawn | Link | Landing


@dataclass(frozen=True, slots=True)
class Strip:
    """Marks that stay together; `before` is room above it, none at the top of a page.

    `keep`: stays on one page with the strip that follows. `again`: what is printed once more
    above it where it begins a page, as the head of its table.
    """

    height: float
    marks: tuple[Mark, ...]
    before: float = 0.0
    keep: bool = False
    again: tuple[Strip, ...] = ()


@dataclass(frozen=True, slots=True)
class Whole:
    """A drawing that has a page of its own."""

    scene: Scene
    caption: str


Item = Strip | Whole


def rect(x: float, y: float, width: float, height: float, fill: str = "", edge: str = "") -> Shape:
    """Return a rectangle."""
    right, low = x + width, y + height
    corners = ((x, y), (right, y), (right, low), (x, low), (x, y))
    return Shape(corners, fill, edge)


def rule(x: float, y: float, right: float, colour: str = EDGE, width: float = 0.5) -> Shape:
    """Return a line across."""
    return Shape(((x, y), (right, y)), "", colour, width)


def height_of(strips: Iterable[Strip]) -> float:
    """Return how high strips are with the room between them, not above the first."""
    found = list(strips)
    return sum(s.before + s.height for s in found) - (found[0].before if found else 0.0)


def moved(mark: Mark, dx: float, dy: float) -> Mark:
    """Return the mark at another place."""
    if isinstance(mark, Landing):
        return mark
    if isinstance(mark, Shape):
        return replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points))
    return replace(mark, x=mark.x + dx, y=mark.y + dy)


def joined(strips: list[Strip], limit: float) -> list[Strip]:
    """Make one strip of several, unless it would be higher than `limit`."""
    high = height_of(strips)
    if len(strips) < 2 or high > limit:
        return strips
    marks: list[Mark] = []
    y = -strips[0].before
    for strip in strips:
        y += strip.before
        marks += [moved(mark, 0.0, y) for mark in strip.marks]
        y += strip.height
    return [Strip(high, tuple(marks), strips[0].before, strips[-1].keep, strips[0].again)]


@cache
def _word(text: str, size: float, weight: Weight) -> float:
    return width_of(text, size, weight)


def breadth(text: str, size: float, bold: bool = False) -> float:
    """Return how broad a line of text is, in points."""
    return _word(text, size, "bold" if bold else "normal")


def lines_of(text: str, size: float, room: float, bold: bool = False) -> list[str]:
    """Break a text into lines no broader than `room`, also inside a word where it must be.

    Line ends of the text stay; a hard space is never broken at.
    """
    parts = STEERING.sub(" ", text).split("\n")
    return [line for part in parts for line in _filled(part, size, room, bold)] or [""]


def _filled(text: str, size: float, room: float, bold: bool) -> list[str]:
    lines: list[str] = []
    have, space = 0.0, breadth(" ", size, bold)
    for word in filter(None, GAP.split(text)):
        need = breadth(word, size, bold)
        if lines and have + space + need <= room:
            lines[-1] += f" {word}"
            have += space + need
            continue
        pieces = [word] if need <= room else _broken(word, size, room, bold)
        lines += pieces
        have = breadth(pieces[-1], size, bold)
    return lines


def _broken(word: str, size: float, room: float, bold: bool) -> list[str]:
    """Break a word that is broader than the room, after a joint of it where there is one."""
    pieces, have = [""], 0.0
    for letter in word:
        need = breadth(letter, size, bold)
        if pieces[-1] and have + need > room:
            head, tail = _at_joint(pieces[-1])
            pieces[-1:] = [head, tail]
            have = breadth(tail, size, bold)
        pieces[-1] += letter
        have += need
    return pieces


def _at_joint(piece: str) -> tuple[str, str]:
    at = max(piece.rfind(sign) for sign in "-_./,;:") + 1
    return (piece[:at], piece[at:]) if at > len(piece) / 2 else (piece, "")
