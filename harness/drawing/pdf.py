"""Scenes to PDF, one page each, vector graphics with DejaVu Sans embedded; pages to PNG.

Imports reportlab, so import this module late.
"""

from __future__ import annotations

import io
import os
import re
from collections.abc import Sequence
from functools import cache
from math import cos, radians, sin
from typing import Any, cast

from reportlab import rl_config
from reportlab.lib.rl_accel import fp_str
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFInfo
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from harness.drawing.font import Weight, font_path
from harness.drawing.scene import Group, Item, Paper, Path, Scene, Text, page_scale, page_size

rl_config.useA85 = 0  # streams as plain bytes: a fifth smaller, and quicker than as letters
NAMES = {"normal": "DejaVuSans", "bold": "DejaVuSans-Bold"}
CAPS = {"butt": 0, "round": 1, "square": 2}
JOINS = {"miter": 0, "round": 1, "bevel": 2}


class Undated(PDFInfo):
    """What a PDF says of itself, without a date."""

    def format(self, document: Any) -> Any:
        """Write it: the library has no way to leave its two dates out but to cut them off."""
        every = super().format(document)
        return re.sub(rb"/(CreationDate|ModDate) \([^)]*\)\s*", b"", every)


class Sheets(Canvas):
    """Every PDF is written on it: the same bytes always, and no date."""

    def __init__(self, *of: Any, **more: Any) -> None:
        stated = os.environ.pop("SOURCE_DATE_EPOCH", None)  # the library would date all by it
        try:
            super().__init__(*of, **{**more, "invariant": 1})
        finally:
            os.environ.update({} if stated is None else {"SOURCE_DATE_EPOCH": stated})
        self._doc.info = Undated()


def to_pdf(
    scenes: Sequence[Scene], *, paper: Paper = "A4", margin: float = 24.0, max_scale: float = 1.3
) -> bytes:
    """A PDF with a page a scene, broad or upright, as large as margin and `max_scale` let it.

    `paper="scene"` makes each page exactly as large as its scene. Raises ValueError when there
    is no scene.
    """
    if not scenes:
        raise ValueError("a PDF needs at least one scene")
    register_fonts()
    buffer = io.BytesIO()
    canvas = Sheets(buffer, pageCompression=1)
    canvas.setTitle(scenes[0].title)
    canvas.setSubject(scenes[0].description)
    canvas.setCreator("harness")
    for index, scene in enumerate(scenes):
        size = page_size(scene, paper)
        canvas.setPageSize(size)
        canvas.bookmarkPage(f"page-{index}")
        canvas.addOutlineEntry(scene.title or f"page {index + 1}", f"page-{index}")
        scale = page_scale(scene, paper, margin, max_scale)
        wide, high = scene.width * scale, scene.height * scale
        draw_scene(canvas, scene, ((size[0] - wide) / 2, (size[1] - high) / 2, wide, high))
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def register_fonts() -> None:
    """Make both weights of the font known to reportlab by their `NAMES`."""
    for weight, name in NAMES.items():
        if name not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(name, str(font_path(cast("Weight", weight)))))


def draw_scene(canvas: Any, scene: Scene, box: tuple[float, float, float, float]) -> None:
    """Draw a scene on a reportlab canvas, as large as a rectangle lets it and in its middle.

    `box`: left and lower edge, width and height in points, from the lower left of the page.
    """
    left, low, wide, high = box
    scale = min(wide / scene.width, high / scene.height)
    canvas.saveState()
    canvas.translate(
        left + (wide - scene.width * scale) / 2, low + (high + scene.height * scale) / 2
    )
    canvas.scale(scale, -scale)
    for item in scene.items:
        _item(canvas, item)
    canvas.restoreState()


def _item(canvas: Any, item: Item) -> None:
    if isinstance(item, Group):
        for inner in item.items:
            _item(canvas, inner)
    elif isinstance(item, Text):
        _text(canvas, item)
    else:
        _path(canvas, item)


VERBS = {"M": "m", "L": "l", "C": "c", "Z": "h"}


@cache
def _rgb(colour: str) -> str:
    return " ".join(f"{part / 255:.6g}" for part in bytes.fromhex(colour[1:]))


def _path(canvas: Any, path: Path) -> None:
    """Write a shape in the words of PDF: asked for one by one, a canvas copies its whole state."""
    code = ["q"]
    if path.opacity < 1:
        canvas.saveState()
        canvas.setFillAlpha(path.opacity)
        canvas.setStrokeAlpha(path.opacity)
    if path.fill:
        code.append(f"{_rgb(path.fill)} rg")
    if path.stroke:
        dash, ends = fp_str(*path.dash) if path.dash else "", (CAPS[path.cap], JOINS[path.join])
        code.append(f"{_rgb(path.stroke)} RG {fp_str(path.width)} w {ends[0]} J {ends[1]} j")
        code.append(f"[{dash}] 0 d")
    code += [f"{fp_str(*at)} {VERBS[name]}" if at else "h" for name, at in path.commands]
    paint = {(True, True): "B*", (True, False): "f*", (False, True): "S", (False, False): "n"}
    canvas._code.append(f"{' '.join(code)} {paint[bool(path.fill), bool(path.stroke)]} Q")
    if path.opacity < 1:
        canvas.restoreState()


def _text(canvas: Any, item: Text) -> None:
    c, s = cos(radians(item.angle)), sin(radians(item.angle))
    canvas._code.append(f"q {fp_str(c, s, s, -c, item.x, item.y)} cm {_rgb(item.fill)} rg")
    line = canvas.beginText(item.left - item.x, 0)
    line.setFont(NAMES[item.weight], item.size)
    line.setTextRenderMode(0)
    line.textOut(item.text)
    canvas.drawText(line)
    canvas._code.append("Q")


def pdf_to_png(data: bytes, *, page: int = 0, dpi: float = 150.0) -> bytes:
    """One page of a PDF as a PNG picture at `dpi` dots per inch."""
    import pypdfium2

    document = pypdfium2.PdfDocument(data)
    try:
        bitmap = document[page].render(scale=dpi / 72)
        picture = io.BytesIO()
        bitmap.to_pil().save(picture, format="PNG", dpi=(dpi, dpi))
        return picture.getvalue()
    finally:
        document.close()
