"""Sheets of paper, and how a scene lies on them: the same in PDF, PNG and SVG."""

from collections.abc import Mapping
from typing import Literal

from harness.drawing.scene import Scene

Paper = Literal["A4", "Letter", "scene"]
# Landscape sizes in points: A4 is 297 x 210 mm (ISO 216), Letter 11 x 8.5 in (ANSI Y14.1).
PAPERS: Mapping[str, tuple[float, float]] = {
    "A4": (297 * 72 / 25.4, 210 * 72 / 25.4),
    "Letter": (792.0, 612.0),
}


def page_size(scene: Scene, paper: Paper) -> tuple[float, float]:
    """Width and height of the sheet in points; `scene` is a sheet as large as the drawing."""
    return (scene.width, scene.height) if paper == "scene" else PAPERS[paper]


def page_scale(
    scene: Scene, paper: Paper = "A4", margin: float = 24.0, limit: float = 1.3
) -> float:
    """Scale at which a scene fits the paper inside its margin; at most `limit`."""
    if paper == "scene":
        return 1.0
    wide, high = PAPERS[paper]
    return min((wide - 2 * margin) / scene.width, (high - 2 * margin) / scene.height, limit)
