"""Scenes to PDF, one page each, vector graphics with DejaVu Sans embedded; pages to PNG.

Imports reportlab, so import this module late.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any, cast

from reportlab import rl_config
from reportlab.lib.colors import HexColor
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from harness.drawing.font import Weight, font_path
from harness.drawing.scene import Group, Item, Paper, Path, Scene, Text, page_scale, page_size

rl_config.useA85 = 0  # streams as plain bytes: a fifth smaller, and quicker than as letters
NAMES = {"normal": "DejaVuSans", "bold": "DejaVuSans-Bold"}
CAPS = {"butt": 0, "round": 1, "square": 2}
JOINS = {"miter": 0, "round": 1, "bevel": 2}


def to_pdf(
    scenes: Sequence[Scene], *, paper: Paper = "A4", margin: float = 24.0, max_scale: float = 1.3
) -> bytes:
    """A PDF with a landscape page a scene, drawn as large as margin and `max_scale` let it.

    `paper="scene"` makes each page exactly as large as its scene. Raises ValueError when there
    is no scene.
    """
    if not scenes:
        raise ValueError("a PDF needs at least one scene")
    register_fonts()
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
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
    canvas.translate(left + (wide - scene.width * scale) / 2,
                     low + (high + scene.height * scale) / 2)  # fmt: skip
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


def _path(canvas: Any, path: Path) -> None:
    canvas.saveState()
    shape = canvas.beginPath()
    verbs = {"M": shape.moveTo, "L": shape.lineTo, "C": shape.curveTo, "Z": shape.close}
    for name, values in path.commands:
        verbs[name](*values)
    if path.fill:
        canvas.setFillColor(HexColor(path.fill))
    if path.stroke:
        canvas.setStrokeColor(HexColor(path.stroke))
        canvas.setLineWidth(path.width)
        canvas.setLineCap(CAPS[path.cap])
        canvas.setLineJoin(JOINS[path.join])
        canvas.setDash(list(path.dash))
    if path.opacity < 1:
        canvas.setFillAlpha(path.opacity)
        canvas.setStrokeAlpha(path.opacity)
    canvas.drawPath(shape, fill=int(bool(path.fill)), stroke=int(bool(path.stroke)))
    canvas.restoreState()


def _text(canvas: Any, item: Text) -> None:
    canvas.saveState()
    canvas.translate(item.x, item.y)
    canvas.scale(1, -1)
    canvas.rotate(-item.angle)
    canvas.setFillColor(HexColor(item.fill))
    line = canvas.beginText(item.left - item.x, 0)
    line.setFont(NAMES[item.weight], item.size)
    line.setTextRenderMode(0)
    line.textOut(item.text)
    canvas.drawText(line)
    canvas.restoreState()


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
