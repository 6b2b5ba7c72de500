"""What can be counted of a picture: crossings, bends, hairpins, detours, ribbons too near, text.

Everything is measured on paper, in points, from the layout that was drawn and its finished scene.
Leads are looked at every STEP points; two leads cross where their middle lines do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from math import dist, hypot

import numpy as np
from diagram.looking import along_spline
from drawing.audit import overlapping_texts, smallest_text

from harness.diagram.draw import Press
from harness.diagram.printing import LARGEST, scale_on
from harness.diagram.scale_page import thinner
from harness.diagram.stages import DrawnLead, DrawnPage, PartsSheet
from harness.drawing.bezier import Spline
from harness.drawing.layout_model import Laid
from harness.drawing.scene import Point

NEAR = 3.0
"""Two ribbons side by side need this much bare ground between them."""
LONG = 40.0
"""Along no more than this they may come nearer."""
DETOUR = 1.5
TURN = 0.5
"""A change of direction, radians, within one look: part of a bend."""
Line = Sequence[Point]


@dataclass
class Measures:
    """The counts of all pages of one view; `small` is the smallest text on paper, points."""

    pages: int = 0
    leads: int = 0
    crossings: int = 0
    bends: int = 0
    hairpins: int = 0
    detours: int = 0
    near: int = 0
    overlaps: int = 0
    small: float = float("inf")


def measured(press: Press, pages: Iterable[DrawnPage]) -> Measures:
    """Count on the pages that a press has drawn."""
    wish, found = press.wish, Measures()
    for drawn in pages:
        found.pages += 1
        scale = min(scale_on((drawn.scene.width, drawn.scene.height), wish.page), LARGEST)
        found.small = min(found.small, smallest_text(drawn.scene) * scale)
        found.overlaps += len(overlapping_texts(drawn.scene))
    for sheet, laid in (*press.drawn.values(), *press.above.spread.values()):
        scale = min(scale_on((laid.width, laid.height), wish.page), LARGEST)
        count(found, sheet.strands, laid.edges, scale)
    for page in press.above.drawn.values():
        leads = [replace(s, gauge=thinner(s.gauge)) for s in page.leads.values()]
        count(found, leads, page.ways, 1.0)
    return found


def count(
    found: Measures, leads: Sequence[DrawnLead], ways: Mapping[str, Spline], scale: float
) -> None:
    """Add what is counted of the leads of one page; `scale`: of its points on paper."""
    lines = {s.id: list(along_spline(ways[s.id])) for s in leads}
    halves = {s.id: s.breadth / 2 for s in leads}
    ends = {s.id: {s.tail, s.head} for s in leads}
    found.leads += len(lines)
    for name, line in lines.items():
        found.bends += bends(ways[name])
        found.hairpins += is_hairpin(line)
        found.detours += detour(line) > DETOUR
    for one, other in combinations(sorted(lines), 2):
        found.crossings += crossings(lines[one], lines[other])
        if not ends[one] & ends[other]:
            apart = halves[one] + halves[other] + NEAR / scale
            found.near += nearer(lines[one], lines[other], apart) * scale > LONG


def crossing_counts(sheet: PartsSheet, laid: Laid) -> Mapping[str, int]:
    """Return how many others each lead crosses, by its id."""
    lines = {s.id: list(along_spline(laid.edges[s.id])) for s in sheet.strands}
    found = dict.fromkeys(lines, 0)
    for one, other in combinations(sorted(lines), 2):
        met = crossings(lines[one], lines[other])
        found[one] += met
        found[other] += met
    return found


def crossings(one: Line, other: Line) -> int:
    """Return how often two lines cross: the sides on which the ends of their pieces lie differ."""
    a, b = np.asarray(one, float), np.asarray(other, float)
    p, r, q, s = a[:-1, None], np.diff(a, axis=0)[:, None], b[None, :-1], np.diff(b, axis=0)[None]
    across = _cross(r, s)
    with np.errstate(divide="ignore", invalid="ignore"):
        t, u = _cross(q - p, s) / across, _cross(q - p, r) / across
    return int(((t > 0) & (t <= 1) & (u > 0) & (u <= 1) & (abs(across) > 1e-9)).sum())


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def nearer(one: Line, other: Line, apart: float) -> float:
    """Return the length of one line along which the other runs beside it nearer than `apart`."""
    near = np.asarray(other, float)
    total = 0.0
    for a, b in pairwise(one):
        gone, middle = dist(a, b), ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        if gone < 1e-9:
            continue
        if _beside(middle, ((b[0] - a[0]) / gone, (b[1] - a[1]) / gone), near, apart):
            total += gone
    return total


def _beside(at: Point, way: Point, line: np.ndarray, apart: float) -> bool:  # type: ignore[type-arg]
    """Say whether a line runs the same way within `apart` of a point, not across it."""
    starts, steps = line[:-1], np.diff(line, axis=0)
    sizes = np.hypot(steps[:, 0], steps[:, 1])
    keep = sizes > 1e-9
    starts, steps, sizes = starts[keep], steps[keep] / sizes[keep, None], sizes[keep]
    along = np.clip(((at - starts) * steps).sum(axis=1), 0, sizes)
    away = np.hypot(*(starts + steps * along[:, None] - at).T)
    level = abs(steps @ np.asarray(way)) > 0.9
    return bool(((away < apart - 0.01) & level).any())


def bends(spline: Spline) -> int:
    """Return the number of corners: turns of more than half a right angle, taken together."""
    points = [p for i, p in enumerate(spline) if not i or dist(p, spline[i - 1]) > 1e-6]
    ways = [(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points)]
    total, turned = 0, 0.0
    for a, b in pairwise(ways):
        angle = np.arctan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1])
        if abs(angle) < 1e-3 or angle * turned < 0:
            total, turned = total + (abs(turned) > np.pi / 4), 0.0
        turned += angle
    return int(total + (abs(turned) > np.pi / 4))


def is_hairpin(line: Line) -> bool:
    """Say whether a lead turns back on its way: it goes further left and right than its ends."""
    xs, ys = [p[0] for p in line], [p[1] for p in line]
    return (_back(xs) > 40.0 and _back(xs) > 0.3 * (max(xs) - min(xs))) or (
        _back(ys) > 40.0 and _back(ys) > 0.3 * (max(ys) - min(ys))
    )


def _back(values: Iterable[float]) -> float:
    """Return how far a way goes back along one axis against where it ends."""
    steps = [b - a for a, b in pairwise(values)]
    return min(sum(s for s in steps if s > 0), -sum(s for s in steps if s < 0))


def detour(line: Line) -> float:
    """Return the length of a lead over the way along the two axes between its ends."""
    (ax, ay), (bx, by) = line[0], line[-1]
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(line))
    return length / max(abs(bx - ax) + abs(by - ay), 30.0)
