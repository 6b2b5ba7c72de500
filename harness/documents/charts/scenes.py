"""Plots as scenes, so that they stand in a page like any other drawing.

Imports matplotlib, so import this module late.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from matplotlib.backend_bases import RendererBase
from matplotlib.colors import to_hex
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.path import Path as Outline
from matplotlib.transforms import Affine2D, Bbox

from harness.documents.charts import styled
from harness.drawing.font import Weight
from harness.drawing.scene import Commands, Item, Path, Scene, rect_path, text

CAPS: Any = {"butt": "butt", "round": "round", "projecting": "square"}
TILE = 72.0  # side of one square of a hatch, points, as in matplotlib's own writers
FINE = 0.6  # width of its lines
SPARE = 1.0  # by how much matplotlib's own cutter leaves lines too long, points


def scene_of(figure: Figure, title: str, description: str) -> Scene:
    """Return a finished plot as a scene of its own size."""
    figure.set_dpi(72)
    wide, high = (float(n) * 72 for n in figure.get_size_inches())
    pen = _Pen(wide, high)
    with styled():
        figure.draw(pen)
    paper = Path(rect_path(0, 0, wide, high), fill="#FFFFFF")
    return Scene(wide, high, (paper, *pen.items), title, description)


class _Pen(RendererBase):
    """Takes down what matplotlib draws. It reckons upwards from the lower edge, a scene down."""

    def __init__(self, wide: float, high: float) -> None:
        super().__init__()
        self.wide, self.high = wide, high
        self.items: list[Item] = []
        self.turned = Affine2D().scale(1.0, -1.0).translate(0.0, high)

    def get_canvas_width_height(self) -> tuple[float, float]:
        """Return the size in points."""
        return self.wide, self.high

    def draw_path(self, gc: Any, path: Outline, transform: Any, rgbFace: Any = None) -> None:  # noqa: N803 - matplotlib's name
        """Take down a line or a filled shape, cut to the axes it belongs to."""
        outline = path.transformed(transform)
        shape, box = outline, gc.get_clip_rectangle()
        if rgbFace is not None and box is not None:
            outline, box = outline.clip_to_bbox(box), None
        commands = tuple(_commands(outline.transformed(self.turned), self._flipped(box)))
        fill, stroke = _colour(rgbFace), _colour(gc.get_rgb()) if gc.get_linewidth() else None
        if commands and (fill or stroke):
            self.items.append(_path(gc, commands, fill, stroke))
        if gc.get_hatch():
            self._hatched(gc, shape)

    def draw_text(
        self, gc: Any, x: float, y: float, s: str, prop: FontProperties, angle: float,
        ismath: Any = False, mtext: Any = None,
    ) -> None:  # fmt: skip
        """Take down a line of text; `x` and `y` are the left end of its baseline."""
        weight: Weight = "bold" if prop.get_weight() in {"bold", 700} else "normal"
        size, colour = prop.get_size_in_points(), to_hex(gc.get_rgb())
        if s.strip():
            self.items.append(text(x, y, s, size, weight=weight, fill=colour, angle=-angle))

    def _flipped(self, box: Bbox | None) -> tuple[float, float, float, float] | None:
        if box is None:
            return None
        return box.x0, self.high - box.y1, box.x1, self.high - box.y0

    def _hatched(self, gc: Any, outline: Outline) -> None:
        """Take down the hatch of an upright rectangle, such as a bar, tile by tile."""
        limits, whole = gc.get_clip_rectangle(), outline.get_extents()
        inside = whole if limits is None else Bbox.intersection(whole, limits)
        if inside is None:
            return
        box = inside.padded(-SPARE)
        lines = gc.get_hatch_path()
        colour = _colour(gc.get_hatch_color())
        for x in range(int(box.x0 // TILE), int(box.x1 // TILE) + 1):
            for y in range(int(box.y0 // TILE), int(box.y1 // TILE) + 1):
                place = Affine2D().translate(x, y).scale(TILE) + self.turned
                commands = tuple(_commands(lines.transformed(place), self._flipped(box)))
                if commands:
                    self.items.append(Path(commands, stroke=colour, width=FINE))


def _path(gc: Any, commands: Commands, fill: str | None, stroke: str | None) -> Path:
    dash = tuple(float(n) for n in gc.get_dashes()[1] or ()) if stroke else ()
    alpha = float(gc.get_alpha() if gc.get_alpha() is not None else 1.0)
    return Path(commands, fill, stroke, float(gc.get_linewidth()), dash,
                CAPS[str(gc.get_capstyle())], str(gc.get_joinstyle()), alpha)  # type: ignore[arg-type]  # fmt: skip


def _colour(rgba: Any) -> str | None:
    if rgba is None or (len(rgba) == 4 and not rgba[3]):
        return None
    return str(to_hex(rgba)).upper()


def _commands(
    outline: Outline, box: tuple[float, float, float, float] | None
) -> Iterator[tuple[str, tuple[float, ...]]]:
    """Yield the commands of an outline, as far as its lines are inside a box."""
    here: Sequence[float] = (0.0, 0.0)
    for points, code in outline.iter_segments(clip=box, simplify=False, curves=True, snap=False):
        values = tuple(float(n) for n in points)
        if code == Outline.MOVETO:
            yield "M", values
        elif code == Outline.LINETO:
            yield "L", values
        elif code == Outline.CURVE3:
            yield "C", _cubic(here, values)
        elif code == Outline.CURVE4:
            yield "C", values
        elif code == Outline.CLOSEPOLY:
            yield "Z", ()
            continue
        here = values[-2:]


def _cubic(start: Sequence[float], values: Sequence[float]) -> tuple[float, ...]:
    """Return a quadratic curve as a cubic one."""
    (x0, y0), (x1, y1, x2, y2) = start, values
    first = x0 + 2 / 3 * (x1 - x0), y0 + 2 / 3 * (y1 - y0)
    return (*first, x2 + 2 / 3 * (x1 - x2), y2 + 2 / 3 * (y1 - y2), x2, y2)
