"""Contrast inside a drawing, from nothing but its SVG: each text against what lies under it.

Relative luminance and contrast ratio are WCAG 2.2's, reckoned here; shapes are looked through
with matplotlib's paths. Where a stroke is dashed, a text must be read on the dash and beside it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from xml.etree import ElementTree

import numpy as np
from matplotlib.path import Path as Outline

SVG = "{http://www.w3.org/2000/svg}"
TOKEN = re.compile(r"[MLCZ]|-?\d+\.?\d*")
SIZES = {"M": 1, "L": 1, "C": 3, "Z": 0}
CODES = {"M": Outline.MOVETO, "L": Outline.LINETO, "C": Outline.CURVE4, "Z": Outline.CLOSEPOLY}
LETTERS = (0.05, 0.35, 0.7)
"""Heights over the base line at which a text is looked at, of its size: capitals reach 0.73."""
Rgb = tuple[float, float, float]
Points = np.ndarray


def luminance(rgb: Rgb) -> float:
    """Relative luminance of sRGB values from 0 to 1 (WCAG 2.2, terms)."""
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in rgb)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def ratio(one: Rgb, other: Rgb) -> float:
    """Contrast ratio (WCAG 2.2, terms)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def rgb(text: str) -> Rgb:
    return tuple(int(text[i : i + 2], 16) / 255 for i in (1, 3, 5))  # type: ignore[return-value]


@dataclass(frozen=True)
class Ink:
    """One path as it is painted; `kind`: the class of the group it is in."""

    outline: Outline
    fill: str
    stroke: str
    width: float
    dashed: bool
    opacity: float
    kind: str
    box: tuple[float, ...]

    def filled(self, points: Points) -> np.ndarray:  # type: ignore[type-arg]
        none = np.zeros(len(points), bool)
        return self.outline.contains_points(points) if self.fill != "none" else none

    def stroked(self, points: Points) -> np.ndarray:  # type: ignore[type-arg]
        found = np.zeros(len(points), bool)
        for line in self.outline.to_polygons(closed_only=False) if self.stroke else ():
            if len(line) < 2:
                continue
            a, way = line[:-1], np.diff(line, axis=0)
            size = np.maximum((way**2).sum(axis=1), 1e-12)
            away = points[:, None] - a
            share = (away * way).sum(axis=2) / size
            beyond = np.zeros_like(share, bool)  # butt caps end where the line does
            beyond[:, 0] |= share[:, 0] < 0
            beyond[:, -1] |= share[:, -1] > 1
            share = np.clip(share, 0, 1)
            gap = np.hypot(*np.moveaxis(away - share[..., None] * way, 2, 0))
            found |= np.where(beyond, np.inf, gap).min(axis=1) <= self.width / 2
        return found


@dataclass(frozen=True)
class Words:
    """A text, its ink, its size, points where its letters are, and how much is painted below."""

    text: str
    fill: str
    size: float
    points: Points
    below: int


@dataclass
class Painted:
    """What a drawing paints, in its order."""

    inks: list[Ink]
    words: list[Words]

    @cached_property
    def boxes(self) -> Points:
        return np.array([ink.box for ink in self.inks])

    def grounds(self, points: Points, below: int) -> list[set[Rgb]]:
        """The colours that each point may have under what is painted next."""
        found: list[set[Rgb]] = [set() for _ in points]
        low, high = points.min(axis=0), points.max(axis=0)
        boxes = self.boxes[:below]
        near = (boxes[:, :2] <= high).all(axis=1) & (boxes[:, 2:] >= low).all(axis=1)
        for ink in (self.inks[n] for n in np.flatnonzero(near)):
            for color, met in ((ink.fill, ink.filled), (ink.stroke, ink.stroked)):
                if color and color != "none":
                    for one in np.flatnonzero(met(points)):
                        found[one] = _over(rgb(color), found[one], ink, color == ink.stroke)
        return found

    def worst(self, words: Words) -> float:
        """The least contrast of a text against what lies under its letters."""
        grounds = self.grounds(words.points, words.below)
        return min(ratio(rgb(words.fill), ground) for some in grounds for ground in some)


def _over(color: Rgb, under: set[Rgb], ink: Ink, stroke: bool) -> set[Rgb]:
    share = ink.opacity
    mixed = {tuple(share * c + (1 - share) * g for c, g in zip(color, below, strict=True))
             for below in under or {(1.0, 1.0, 1.0)}}  # fmt: skip
    return mixed | under if ink.dashed and stroke else mixed  # type: ignore[return-value]


def painted(svg: str) -> Painted:
    """Read what an SVG of ours paints."""
    found = Painted([], [])
    _read(ElementTree.fromstring(svg), "", found)
    return found


def _read(node: ElementTree.Element, kind: str, found: Painted) -> None:
    kind = node.get("class", kind)
    if node.tag == f"{SVG}path":
        found.inks.append(_ink(node, kind))
    elif node.tag == f"{SVG}text" and (node.text or "").strip():
        found.words.append(_words(node, len(found.inks)))
    for inner in node:
        _read(inner, kind, found)


def _ink(node: ElementTree.Element, kind: str) -> Ink:
    vertices, codes = list[tuple[float, float]](), list[int]()
    for name, values in _commands(node.get("d", "")):
        pairs = list(zip(values[::2], values[1::2], strict=True)) or [vertices[0]]
        vertices += pairs
        codes += [CODES[name]] * len(pairs)
    outline = Outline(vertices, codes)
    wide = float(node.get("stroke-width", "1")) if node.get("stroke") else 0.0
    box = outline.get_extents().padded(wide / 2).extents
    return Ink(outline, node.get("fill", ""), node.get("stroke", ""), wide,
               "stroke-dasharray" in node.attrib, float(node.get("opacity", "1")), kind,
               tuple(box))  # fmt: skip


def _commands(data: str) -> Iterator[tuple[str, Sequence[float]]]:
    tokens = TOKEN.findall(data)
    while tokens:
        name = tokens.pop(0)
        count = 2 * SIZES[name]
        yield name, [float(token) for token in tokens[:count]]
        del tokens[:count]


def _words(node: ElementTree.Element, below: int) -> Words:
    x, y, size = (float(node.get(name, "0")) for name in ("x", "y", "font-size"))
    wide = float(node.get("textLength", "0"))
    left = {"middle": -wide / 2, "end": -wide}.get(node.get("text-anchor", ""), 0.0)
    across = np.linspace(left + 0.5, left + wide - 0.5, max(int(wide / 2), 2))
    spots = np.array([(dx, -size * high) for dx in across for high in LETTERS])
    if turn := re.match(r"rotate\((-?[\d.]+)", node.get("transform", "")):
        c, s = np.cos(np.radians(float(turn[1]))), np.sin(np.radians(float(turn[1])))
        spots = spots @ np.array([[c, s], [-s, c]])
    return Words(node.text or "", node.get("fill", ""), size, spots + np.array([x, y]), below)
