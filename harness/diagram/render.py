"""Pictures to files."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from harness.diagram.page_size import LARGEST, MARGIN
from harness.diagram.stages import DrawnPage

DPI = 150.0


def render(
    pictures: Sequence[DrawnPage],
    to: Literal["svg", "pdf", "png"],
    page: Literal["A4", "Letter"] = "A4",
) -> dict[str, bytes]:
    """Return file names and contents: one PDF of all pages, or one SVG or PNG a page.

    Raises ValueError when there is no picture.
    """
    if to == "svg":
        from harness.drawing.svg import to_svg

        return {
            f"{p.name}.svg": to_svg(p.scene, paper=page, margin=MARGIN, max_scale=LARGEST).encode()
            for p in pictures
        }
    from harness.drawing.pdf import to_pdf

    scenes = [p.scene for p in pictures]
    data = to_pdf(scenes, paper=page, margin=MARGIN, max_scale=LARGEST)
    if to == "pdf":
        return {f"{pictures[0].name.partition('-page-')[0]}.pdf": data}
    from harness.drawing.png import pdf_to_png

    return {f"{p.name}.png": pdf_to_png(data, page=i, dpi=DPI) for i, p in enumerate(pictures)}
