"""The paper a page is printed on, and the smallest text that can be read there."""

from __future__ import annotations

from harness.drawing import look
from harness.drawing.scene import Point
from harness.drawing.sheet import PAPERS

MARGIN = 14.0  # of the paper, points
FLOOR = 6.6  # smallest text on paper, points: 2.33 mm, 16' at 500 mm (NUREG-0700)
LARGEST = 1.6  # a small plan is not blown up further


def on_paper(wide: float, high: float, paper: str) -> Point:
    """Return a drawing's size grown to the shape of the paper."""
    page_wide, page_high = inner_page(paper)
    shape = page_wide / page_high
    least = page_wide / LARGEST
    wide = max(wide, high * shape, least)
    return wide, max(high, wide / shape)


def inner_page(paper: str) -> Point:
    """Return width and height of the paper inside its margins, points."""
    wide, high = PAPERS[paper]
    return wide - 2 * MARGIN, high - 2 * MARGIN


def scale_on(size: Point, paper: str) -> float:
    """Return the scale at which a drawing fits the paper."""
    page = inner_page(paper)
    return min(page[0] / size[0], page[1] / size[1])


def is_readable(size: Point, paper: str) -> bool:
    """Say whether no text of a page of this size gets smaller on paper than the floor."""
    return look.SMALL * scale_on(size, paper) >= FLOOR - 1e-6
