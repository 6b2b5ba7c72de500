"""The paper a page is printed on, the smallest text that can be read there, and the files."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING, Literal

from harness.diagram.stages import DrawnPage
from harness.drawing import look
from harness.drawing.scene import PAPERS, Point

if TYPE_CHECKING:
    from harness.drawing.svg import Way

MARGIN = 14.0  # of the paper, points
FLOOR = 6.6  # smallest text on paper, points: 2.33 mm, 16' at 500 mm (NUREG-0700)
GOOD = 7.4  # smallest text wherever the layout can have it so: 18'
LARGEST = 1.6  # a small plan is not blown up further
DPI = 150.0  # of a PNG


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


def render(
    pictures: Sequence[DrawnPage],
    to: Literal["svg", "pdf", "png"],
    page: Literal["A4", "Letter"] = "A4",
    ways: Sequence[Way] = (),
) -> dict[str, bytes]:
    """Return file names and contents: one PDF of all pages, or one SVG or PNG a page.

    `ways`: what lights up in an SVG, by what is hovered.
    Raises ValueError when there is no picture.
    """
    if to == "svg":
        from harness.drawing.svg import to_svg

        sized = partial(to_svg, paper=page, margin=MARGIN, max_scale=LARGEST, ways=ways)
        return {f"{p.name}.svg": sized(p.scene).encode() for p in pictures}
    from harness.drawing.pdf import pdf_to_png, to_pdf

    scenes = [p.scene for p in pictures]
    data = to_pdf(scenes, paper=page, margin=MARGIN, max_scale=LARGEST)
    if to == "pdf":
        return {f"{pictures[0].name.partition('-page-')[0]}.pdf": data}
    return {f"{p.name}.png": pdf_to_png(data, page=i, dpi=DPI) for i, p in enumerate(pictures)}
