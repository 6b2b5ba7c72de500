"""Render-ready drawing data: everything in points (1/72 inch), y downwards.

A scene is the stage between layout and the SVG, PDF and PNG writers. It holds no plan data: only
shapes, texts with their measured width, and groups with an id, classes and a tooltip.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import cos, radians, sin
from typing import Literal

from harness.base.data import dataclass, replace
from harness.drawing.font import Weight, text_width

Point = tuple[float, float]
Box = tuple[float, float, float, float]
"""Left, top, right, bottom."""
Command = tuple[str, tuple[float, ...]]
Commands = tuple[Command, ...]
Anchor = Literal["start", "middle", "end"]
Paper = Literal["A4", "Letter", "scene"]
# Landscape sizes in points: A4 is 297 x 210 mm (ISO 216), Letter 11 x 8.5 in (ANSI Y14.1).
PAPERS: Mapping[str, tuple[float, float]] = {
    "A4": (297 * 72 / 25.4, 210 * 72 / 25.4),
    "Letter": (792.0, 612.0),
}
KAPPA = 0.5522847498  # cubic handle length for a quarter circle


@dataclass(frozen=True, slots=True)
class Path:
    """A shape: commands M x y, L x y, C x1 y1 x2 y2 x y, Z; colours are `#rrggbb` or None."""

    commands: Commands
    fill: str | None = None
    stroke: str | None = None
    width: float = 1.0
    dash: tuple[float, ...] = ()
    cap: Literal["butt", "round", "square"] = "butt"
    join: Literal["miter", "round", "bevel"] = "round"
    opacity: float = 1.0


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; `y` is the baseline, `width` the measured advance in points."""

    x: float
    y: float
    text: str
    size: float
    anchor: Anchor
    weight: Weight
    fill: str
    width: float
    angle: float = 0.0  # degrees clockwise about (x, y)

    @property
    def left(self) -> float:
        """Left end of the unrotated text."""
        return self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.width


@dataclass(frozen=True, slots=True)
class Group:
    """Items that belong together; `id` is unique in a scene, or empty for none."""

    id: str
    items: tuple[Item, ...]
    classes: tuple[str, ...] = ()
    title: str = ""


Item = Path | Text | Group


@dataclass(frozen=True, slots=True)
class Scene:
    """A finished drawing of `width` by `height` points."""

    width: float
    height: float
    items: tuple[Item, ...]
    title: str = ""
    description: str = ""


def text(
    x: float,
    y: float,
    content: str,
    size: float,
    *,
    anchor: Anchor = "start",
    weight: Weight = "normal",
    fill: str = "#000000",
    angle: float = 0.0,
) -> Text:
    """A text with its width measured."""
    width = text_width(content, size, weight)
    return Text(x, y, content, size, anchor, weight, fill, width, angle)


def line_path(points: Iterable[Point], *, closed: bool = False) -> Commands:
    """Commands of a polyline or, closed, of a polygon."""
    commands: list[Command] = [("L", point) for point in points]
    commands[0] = ("M", commands[0][1])
    return (*commands, ("Z", ())) if closed else tuple(commands)


def rect_path(x: float, y: float, width: float, height: float, r: float = 0.0) -> Commands:
    """Commands of a rectangle with corners of radius `r`."""
    right, low = x + width, y + height
    if r <= 0:
        return line_path([(x, y), (right, y), (right, low), (x, low)], closed=True)
    r = min(r, width / 2, height / 2)
    k = r * (1 - KAPPA)
    return (
        ("M", (x + r, y)),
        ("L", (right - r, y)),
        ("C", (right - k, y, right, y + k, right, y + r)),
        ("L", (right, low - r)),
        ("C", (right, low - k, right - k, low, right - r, low)),
        ("L", (x + r, low)),
        ("C", (x + k, low, x, low - k, x, low - r)),
        ("L", (x, y + r)),
        ("C", (x, y + k, x + k, y, x + r, y)),
        ("Z", ()),
    )


def circle_path(x: float, y: float, r: float) -> Commands:
    """Commands of a circle about (x, y)."""
    return rect_path(x - r, y - r, 2 * r, 2 * r, r)


def spline_path(points: Iterable[Point]) -> Commands:
    """Commands of a chain of cubic curves given by 3n + 1 points; raises ValueError."""
    chain = list(points)
    if len(chain) < 4 or len(chain) % 3 != 1:
        raise ValueError(f"a cubic spline has 3n + 1 points, not {len(chain)}")
    curves = [chain[i : i + 3] for i in range(1, len(chain), 3)]
    return (("M", chain[0]), *(("C", (*a, *b, *c)) for a, b, c in curves))


def moved(item: Item, dx: float, dy: float) -> Item:
    """The same item shifted by (dx, dy)."""
    if not dx and not dy:
        return item
    if isinstance(item, Text):
        return Text(
            item.x + dx,
            item.y + dy,
            item.text,
            item.size,
            item.anchor,
            item.weight,
            item.fill,
            item.width,
            item.angle,
        )
    if isinstance(item, Group):
        return moved_group(item, dx, dy)
    return _reshaped(
        item,
        tuple(
            [
                (name, (v[0] + dx, v[1] + dy) if len(v) == 2 else _shifted(v, dx, dy) if v else v)
                for name, v in item.commands
            ]
        ),
    )


def moved_group(group: Group, dx: float, dy: float) -> Group:
    """The same group shifted by (dx, dy)."""
    items = tuple([moved(item, dx, dy) for item in group.items])
    return Group(group.id, items, group.classes, group.title)


def _reshaped(path: Path, commands: Commands) -> Path:
    """The same look on another shape; `replace` is too slow for what every move does."""
    look = (path.fill, path.stroke, path.width, path.dash, path.cap, path.join, path.opacity)
    return Path(commands, *look)


def _shifted(values: tuple[float, ...], dx: float, dy: float) -> tuple[float, ...]:
    a, b, c, d, e, f = values
    return a + dx, b + dy, c + dx, d + dy, e + dx, f + dy


def mirrored(item: Item, width: float) -> Item:
    """The same item seen in a mirror at x = width / 2; texts move but stay readable."""
    if isinstance(item, Text):
        flip: dict[Anchor, Anchor] = {"start": "end", "middle": "middle", "end": "start"}
        return replace(item, x=width - item.x, anchor=flip[item.anchor])
    if isinstance(item, Group):
        return replace(item, items=tuple(mirrored(inner, width) for inner in item.items))
    return _reshaped(item, tuple([(n, _flipped(values, width)) for n, values in item.commands]))


def _flipped(values: tuple[float, ...], width: float) -> tuple[float, ...]:
    return tuple(value if i % 2 else width - value for i, value in enumerate(values))


def walk(items: Iterable[Item]) -> Iterator[Item]:
    """Every item, groups before their contents, in drawing order."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.items)


def bounds(items: Iterable[Item]) -> Box:
    """Left, top, right, bottom of the items (control points included, stroke widths not)."""
    xs: list[float] = []
    ys: list[float] = []
    for item in walk(items):
        if isinstance(item, Text):
            xs += (item.left, item.left + item.width)
            ys += (item.y - 0.76 * item.size, item.y + 0.24 * item.size)
        elif isinstance(item, Path):
            for _, values in item.commands:
                xs += values[::2]
                ys += values[1::2]
    if not xs:
        return (0.0, 0.0, 0.0, 0.0)
    return min(xs), min(ys), max(xs), max(ys)


def text_box(item: Text) -> Box:
    """Left, top, right, bottom of a text, capitals to descenders, also when turned."""
    left, right = item.left - item.x, item.left - item.x + item.width
    c, s = cos(radians(item.angle)), sin(radians(item.angle))
    corners = [(x, y) for x in (left, right) for y in (-0.74 * item.size, 0.22 * item.size)]
    xs = [item.x + x * c - y * s for x, y in corners]
    ys = [item.y + x * s + y * c for x, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def page_size(scene: Scene, paper: Paper) -> tuple[float, float]:
    """Width and height of the sheet, upright for a drawing that is; `scene`: as large as that."""
    if paper == "scene":
        return scene.width, scene.height
    return PAPERS[paper] if scene.width >= scene.height else PAPERS[paper][::-1]


def page_scale(
    scene: Scene, paper: Paper = "A4", margin: float = 24.0, limit: float = 1.3
) -> float:
    """Scale at which a scene fits the paper inside its margin; at most `limit`."""
    if paper == "scene":
        return 1.0
    wide, high = page_size(scene, paper)
    return min((wide - 2 * margin) / scene.width, (high - 2 * margin) / scene.height, limit)


TOUCH = 0.5  # boxes of words may share this much, points: letters do not fill their line


def word_faults(scene: Scene) -> list[str]:
    """Return in words what a reader would see: text on text, text cut off at the edge."""
    words = [item for item in walk(scene.items) if isinstance(item, Text) and item.text.strip()]
    boxes = sorted((text_box(item), item.text) for item in words)
    found: list[str] = []
    for index, (box, name) in enumerate(boxes):
        if box[0] < 0 or box[1] < 0 or box[2] > scene.width or box[3] > scene.height:
            found.append(f'"{name}" is cut off')
        for other, second in boxes[index + 1 :]:
            if other[0] >= box[2] - TOUCH:
                break
            if other[1] < box[3] - TOUCH and box[1] < other[3] - TOUCH:
                found.append(f'"{name}" lies on "{second}"')
    return found
