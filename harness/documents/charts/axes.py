"""Axes of a plot as a part of a scene: data to points, ticks, grid, lines, bars and words."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from math import ceil, floor, log10
from typing import Literal

import numpy as np

from harness.base.data import dataclass, field
from harness.drawing import look
from harness.drawing.font import Weight, text_width
from harness.drawing.scene import (
    Box,
    Commands,
    Item,
    Path,
    Point,
    circle_path,
    line_path,
    rect_path,
    text,
)
from harness.electrics.solver.circuit import Array

SIZE = 8.0  # of running text, points
SMALL = 7.5  # of the smallest, points
GRID = "#C9D0D5"
TICK = 3.5  # length of a tick, and from there to its number, points
STEPS = (1.0, 2.0, 2.5, 5.0)
SPACES = 9  # between ticks, at most
SLIP = 1e-9  # of a step: as good as a whole one
HATCH = 12.0  # between the lines of a hatch, along the horizontal, points


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line of a plot and its markers look; `bare`: markers alone. Dashes go by the width."""

    colour: str
    width: float = 1.5
    dash: tuple[float, ...] = ()
    marker: str = ""
    size: float = 4.0
    edge: str = ""
    edge_width: float = 1.0
    bare: bool = False

    def along(self, points: Sequence[Point], marked: Sequence[Point]) -> Iterator[Item]:
        """Yield a line through points, and a marker at some of them."""
        if len(points) > 1 and not self.bare:
            dash = tuple(self.width * part for part in self.dash)
            yield Path(
                line_path(points), None, self.colour, self.width, dash, "butt" if dash else "square"
            )
        for x, y in marked if self.marker else ():
            edge = self.edge or self.colour
            fill = None if self.marker == "|" else self.colour
            yield Path(_marker(self.marker, x, y, self.size), fill, edge, self.edge_width)


def _marker(kind: str, x: float, y: float, size: float) -> Commands:
    half = size / 2
    if kind in "o.":
        return circle_path(x, y, half if kind == "o" else half / 2)
    if kind == "|":
        return line_path([(x, y - half), (x, y + half)])
    return line_path([(x + half * a, y + half * b) for a, b in SHAPES[kind]], closed=True)


DIAGONAL = 2**0.5
SHAPES = {
    "s": ((-1, -1), (1, -1), (1, 1), (-1, 1)),
    "^": ((0, -1), (1, 1), (-1, 1)),
    "D": ((0, -DIAGONAL), (DIAGONAL, 0), (0, DIAGONAL), (-DIAGONAL, 0)),
    "v": ((0, 1), (1, -1), (-1, -1)),
    "P": tuple(
        (a / 3, b / 3)
        for a, b in (
            (-1, -3),
            (1, -3),
            (1, -1),
            (3, -1),
            (3, 1),
            (1, 1),
            (1, 3),
            (-1, 3),
            (-1, 1),
            (-3, 1),
            (-3, -1),
            (-1, -1),
        )
    ),
    "X": tuple(
        (a / 4, b / 4)
        for a, b in (
            (-2, -4),
            (0, -2),
            (2, -4),
            (4, -2),
            (2, 0),
            (4, 2),
            (2, 4),
            (0, 2),
            (-2, 4),
            (-4, 2),
            (-2, 0),
            (-4, -2),
        )
    ),
}
"""Corners of the markers, of half their size."""


@dataclass
class Axis:
    """One direction: `limits` and `ticks` where stated, else by the values `seen`.

    `margin`: room beside them, of their span. `soon`: even up to there, then by logarithm.
    """

    limits: tuple[float, float] | None = None
    ticks: Sequence[tuple[float, str]] | None = None
    margin: float = 0.05
    soon: float = 0.0
    least: float | None = None
    seen: list[float] = field(default_factory=list)

    def saw(self, *values: Array | float) -> None:
        """Note values that are to be inside."""
        for each in values:
            known = np.asarray(each, dtype=float).ravel()
            known = known[np.isfinite(known)]
            self.seen += [float(known.min()), float(known.max())] if known.size else []

    def reach(self) -> tuple[float, float]:
        """Return the values at both ends."""
        if self.limits:
            return self.limits
        low, high = min(self.seen, default=0.0), max(self.seen, default=1.0)
        spare = self.margin * (high - low) or 0.05 * (abs(high) or 1.0)
        least = low - spare
        return (least if self.least is None else min(self.least, least)), high + spare

    def at(self, values: Array | float, start: float, end: float) -> Array:
        """Return where values come to lie between two points; what is beyond lies at the end."""
        low, high = self._bent(np.array(self.reach()))
        shares = (self._bent(np.asarray(values, dtype=float)) - low) / (high - low)
        return np.asarray(start + np.clip(shares, 0.0, 1.0) * (end - start))

    def _bent(self, values: Array) -> Array:
        if not self.soon:
            return values
        even = 0.4 / 0.9  # as wide as 0.4 of a decade
        later = np.log10(np.maximum(values, self.soon) / self.soon)
        return np.where(values <= self.soon, values / self.soon * even, even + later)

    def marks(self, spaces: int) -> Sequence[tuple[float, str]]:
        """Return the ticks with their words; `spaces` between them have room."""
        low, high = sorted(self.reach())
        if self.ticks is not None:
            return [tick for tick in self.ticks if low <= tick[0] <= high]
        return ticks_of(low, high, max(1, min(SPACES, spaces)))


def ticks_of(low: float, high: float, spaces: int) -> list[tuple[float, str]]:
    """Return round values from `low` to `high`, two or more, as they read: by the
    least round step that goes at most so many times into the span."""
    decade = floor(log10((high - low) / spaces))
    tried = [
        (m * 10.0**d, max(0, (m == 2.5) - d))
        for d in range(decade + 1, decade - 2, -1)
        for m in reversed(STEPS)
    ]
    found: list[tuple[float, str]] = []
    for step, places in tried:
        if step * spaces < (high - low) * (1 - SLIP) and len(found) > 1:
            break
        every = range(ceil(low / step - SLIP), floor(high / step + SLIP) + 1)
        found = [(n * step, number(n * step, places)) for n in every]
    return found


def number(value: float, places: int) -> str:
    """Return a number with so many decimals and a true minus."""
    return f"{value + 0.0:.{places}f}".replace("-", "\N{MINUS SIGN}")


class Axes:
    """A frame of four edges in points from the top left, in which things are plotted in turn.

    `grid`: "x", "y" or "xy"; `words`: labels of both axes; `numbered`: whether x has its numbers.
    `curves`, `bars`, `spans` hold what was asked for: label, x and y; both ends and place; ends.
    """

    def __init__(self, left: float, top: float, right: float, low: float, x: Axis | None) -> None:
        self.box: Box = (left, top, right, low)
        self.x, self.y, self.grid, self.numbered = x or Axis(), Axis(), "", True
        self.words, self.ticked = ("", ""), True
        self.curves: list[tuple[str, Array, Array]] = []
        self.bars: list[tuple[float, float, float]] = []
        self.spans: list[tuple[float, float]] = []
        self._drawn: list[Callable[[], Iterator[Item]]] = []
        self._under: list[Callable[[], Iterator[Item]]] = []

    def plot(
        self,
        x: Array | Sequence[float],
        y: Array | Sequence[float],
        pen: Pen,
        label: str = "",
        *,
        every: float = 0.0,
        step: bool = False,
    ) -> None:
        """Draw a line with markers `every` so much of the frame; `step`: each value until the next.

        Where a value is not known the line is broken.
        """
        xs, ys = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
        self.curves.append((label, xs, ys))
        self.x.saw(xs)
        self.y.saw(ys)
        if step and len(xs):
            xs, ys = np.repeat(xs, 2)[1:], np.repeat(ys, 2)[:-1]
        self._drawn.append(partial(self._curve, xs, ys, pen, every))

    def _curve(self, x: Array, y: Array, pen: Pen, every: float) -> Iterator[Item]:
        points = self._points(x, y)
        known = np.isfinite(y)
        for start, stop in _spells(known):
            piece = points[start:stop]
            yield from pen.along(piece, _spread(piece, every, self.box) if every else piece)

    def _points(self, x: Array | Sequence[float], y: Array | Sequence[float]) -> list[Point]:
        left, top, right, low = self.box
        xs = self.x.at(np.asarray(x, dtype=float), left, right)
        ys = self.y.at(np.asarray(y, dtype=float), low, top)
        return list(zip(xs.tolist(), ys.tolist(), strict=True))

    def area(self, x: Array, base: float, y: Array, fill: str) -> None:
        """Fill between a level and a curve."""
        self.y.saw(base, y)

        def drawn() -> Iterator[Item]:
            ends = self._points([x[0], x[-1]], [base, base])
            yield Path(line_path([ends[0], *self._points(x, y), ends[1]], closed=True), fill)

        self._drawn.append(drawn)

    def level(self, y: float, pen: Pen, label: str = "") -> None:
        """Draw a line from side to side."""
        self.y.saw(y)
        self.curves.append((label, np.zeros(0), np.array([y])))
        self._drawn.append(partial(self._straight, y, pen, across=True))

    def upright(self, x: float, pen: Pen) -> None:
        """Draw a line from top to bottom."""
        self.x.saw(x)
        self._drawn.append(partial(self._straight, x, pen, across=False))

    def _straight(self, at: float, pen: Pen, *, across: bool) -> Iterator[Item]:
        left, top, right, low = self.box
        if across:
            y = float(self.y.at(at, low, top))
            yield from pen.along([(left, y), (right, y)], ())
        else:
            x = float(self.x.at(at, left, right))
            yield from pen.along([(x, top), (x, low)], ())

    def span(self, start: float, end: float, fill: str = "", hatch: str = "") -> None:
        """Shade from one x to another, under all else; or cross it out, over it."""
        if hatch:
            self.spans.append((start, end))

        def drawn() -> Iterator[Item]:
            left, top, right, low = self.box
            x, until = self.x.at(np.array([start, end]), left, right).tolist()
            shape = (x, top, until, low)
            yield Path(_rect(shape), fill or None, hatch or None, 0.8, opacity=0.55 if hatch else 1)
            yield from hatched(shape, "xx", hatch, 0.55) if hatch else ()

        (self._drawn if hatch else self._under).append(drawn)

    def bar(
        self, start: float, end: float, place: float, height: float, fill: str, hatch: str = ""
    ) -> None:
        """Draw a bar from one x to another about a y."""
        self.bars.append((start, end, place))
        self.x.saw(start, end)

        def drawn() -> Iterator[Item]:
            (x, top), (until, low) = self._points(
                [start, end], [place - height / 2, place + height / 2]
            )
            shape = (x, min(top, low), until, max(top, low))
            yield Path(_rect(shape), fill, look.INK, 0.6, join="miter")
            yield from hatched(shape, hatch, look.INK) if hatch else ()

        self._drawn.append(drawn)

    def say(
        self,
        words: str,
        at: tuple[float, float],
        by: tuple[float, float],
        share: str = "",
        *,
        stand: Literal["on", "about", "below", "above"] = "on",
        weight: Weight = "normal",
    ) -> None:
        """Write lines `by` so many points right of and above a place, `share`: which of its x and y
        are shares of the frame. They stand on that height (the first line), about, below, above."""

        def drawn() -> Iterator[Item]:
            left, top, right, low = self.box
            x = left + at[0] * (right - left) if "x" in share else self.x.at(at[0], left, right)
            y = low - at[1] * (low - top) if "y" in share else self.y.at(at[1], low, top)
            lines = words.split("\n")
            high = SMALL * look.LEADING * (len(lines) - 1)
            down = {
                "on": 0.0,
                "about": 0.36 * SMALL - high / 2,
                "below": 0.93 * SMALL,
                "above": -0.24 * SMALL - high,
            }[stand]
            for n, line in enumerate(lines):
                base = float(y) - by[1] + down + n * SMALL * look.LEADING
                if line:
                    yield text(float(x) + by[0], base, line, SMALL, weight=weight, fill=look.INK)

        self._drawn.append(drawn)

    def items(self) -> Iterator[Item]:
        """Yield all that is plotted, once nothing more comes."""
        left, top, right, low = self.box
        columns, rows = int((right - left) / (3 * SMALL)), int((low - top) / (2 * SMALL))
        xs = [(float(self.x.at(v, left, right)), said) for v, said in self.x.marks(columns)]
        ys = [(float(self.y.at(v, low, top)), said) for v, said in self.y.marks(rows)]
        for under in self._under:
            yield from under()
        for x, _ in xs if "x" in self.grid else ():
            yield Path(line_path([(x, top), (x, low)]), None, GRID, 0.6)
        for y, _ in ys if "y" in self.grid else ():
            yield Path(line_path([(left, y), (right, y)]), None, GRID, 0.6)
        for drawn in self._drawn:
            yield from drawn()
        frame = line_path([(left, top), (left, low), (right, low)])
        yield Path(frame, None, look.SOFT_INK, 0.8, join="miter")
        yield from self._scales(xs, ys)

    def _scales(
        self, xs: Iterable[tuple[float, str]], ys: Iterable[tuple[float, str]]
    ) -> Iterator[Item]:
        left, top, right, low = self.box
        for x, said in xs:
            yield Path(line_path([(x, low), (x, low + TICK)]), None, look.INK, 0.8)
            if self.numbered:
                yield text(x, low + 2 * TICK + 6, said, SMALL, anchor="middle", fill=look.INK)
        widest = 0.0
        for y, said in ys:
            if self.ticked:
                yield Path(line_path([(left - TICK, y), (left, y)]), None, look.INK, 0.8)
            widest = max(widest, text_width(said, SMALL))
            end = left - TICK * (2 if self.ticked else 1)
            yield text(end, y + 0.36 * SMALL, said, SMALL, anchor="end", fill=look.INK)
        if self.words[0]:
            middle = (left + right) / 2
            yield text(middle, low + 24, self.words[0], SIZE, anchor="middle", fill=look.INK)
        if self.words[1]:
            yield text(
                left - 2 * TICK - widest - 6,
                (top + low) / 2,
                self.words[1],
                SIZE,
                anchor="middle",
                fill=look.INK,
                angle=-90,
            )


def _rect(box: Box) -> Commands:
    return rect_path(box[0], box[1], box[2] - box[0], box[3] - box[1])


def _spells(known: Array) -> Iterator[tuple[int, int]]:
    """Yield first and beyond the last of all that stand together."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(int)))
    yield from zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


def _spread(points: Sequence[Point], every: float, box: Box) -> list[Point]:
    """Return the points nearest to even distances along a line, shares of the frame apart."""
    way = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(np.array(points), axis=0).T))])
    apart = every * float(np.hypot(box[2] - box[0], box[3] - box[1]))
    wanted = np.arange(0.0, way[-1] + 1e-9, apart)
    return [points[n] for n in sorted({int(np.argmin(np.abs(way - w))) for w in wanted})]


def hatched(box: Box, hatch: str, colour: str, opacity: float = 1.0) -> Iterator[Item]:
    """Yield the lines of a hatch in a box, "//" or "xx", at 45 degrees."""
    left, top, right, low = box
    for slope in (1.0, -1.0) if "x" in hatch else (1.0,):
        # the line x + slope * y = n * HATCH, from the left or the level edge where it comes in
        ends = sorted(
            (left + slope * top, left + slope * low, right + slope * top, right + slope * low)
        )
        for n in range(ceil(ends[0] / HATCH), floor(ends[-1] / HATCH) + 1):
            c = n * HATCH
            xs = sorted((c - slope * top, c - slope * low))
            start, end = max(left, xs[0]), min(right, xs[1])
            if end - start > 0.1:
                points = [(x, (c - x) / slope) for x in (start, end)]
                yield Path(line_path(points), None, colour, 0.6, opacity=opacity)
