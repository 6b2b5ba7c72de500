"""What every part picture is: a group of known size with named places where leads arrive."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from harness.drawing import look
from harness.drawing.layout_model import LayoutNode, LayoutPort, Side
from harness.drawing.scene import (
    Anchor,
    Commands,
    Group,
    Item,
    Path,
    Point,
    Text,
    bounds,
    line_path,
    mirrored,
    moved,
    moved_group,
    text,
)

Where = Literal["right", "left", "above", "below", "none"]
OPPOSITE: Mapping[Side, Side] = {
    "left": "right", "right": "left", "top": "top", "bottom": "bottom",
}  # fmt: skip
GAP = 5.0


@dataclass(frozen=True, slots=True)
class GlyphPlace:
    """Where a lead arrives, from the glyph's top left corner, and which way it leaves."""

    x: float
    y: float
    side: Side


@dataclass(frozen=True, slots=True)
class Glyph:
    """A part's picture at the origin. `mark` is where a finding's marker goes."""

    group: Group
    width: float
    height: float
    places: Mapping[str, GlyphPlace]
    mark: Point

    def at(self, x: float, y: float) -> Group:
        """The picture with its top left corner at (x, y)."""
        return moved_group(self.group, x, y)

    def node(self, cluster: str | None = None, group: str = "") -> LayoutNode:
        """The box to be laid out, a port for each place."""
        ports = tuple(LayoutPort(k, p.side, p.x, p.y) for k, p in self.places.items())
        name = self.group.id
        return LayoutNode(name, self.width, self.height, cluster, ports, group)


@dataclass(frozen=True, slots=True)
class Tag:
    """Who a part is: id, name shown, further lines, tooltip."""

    id: str
    name: str
    lines: tuple[str, ...] = ()
    title: str = ""


def outline(commands: Commands, fill: str | None = look.BODY, width: float = look.LINE) -> Path:
    """A filled shape with the outline of a part."""
    return Path(commands, fill=fill, stroke=look.INK, width=width)


def stroke(points: Sequence[Point], width: float = look.LINE, color: str = look.INK) -> Path:
    """A line of detail."""
    return Path(line_path(points), stroke=color, width=width, cap="round")


def part(
    tag: Tag,
    kind: str,
    items: Sequence[Item],
    places: Mapping[str, GlyphPlace],
    where: Where = "right",
    *,
    mirror: bool = False,
) -> Glyph:
    """A glyph from drawn items, turned in a mirror if wanted, with its name beside it."""
    left, top, right, low = bounds(items)
    width = right - left
    body: list[Item] = [moved(item, -left, -top) for item in items]
    spots = {k: GlyphPlace(p.x - left, p.y - top, p.side) for k, p in places.items()}
    if mirror:
        body = [mirrored(item, width) for item in body]
        spots = {k: GlyphPlace(width - p.x, p.y, OPPOSITE[p.side]) for k, p in spots.items()}
    plain = Glyph(
        Group(tag.id, tuple(body), ("part", kind), tag.title or tag.name),
        width, low - top, spots, (width - 2.0, 2.0),
    )  # fmt: skip
    return plain if where == "none" or not tag.name else _named(plain, tag, where)


def _named(glyph: Glyph, tag: Tag, where: Where) -> Glyph:
    lines = name_lines(tag, where)
    _, top, _, low = bounds(lines)
    broad, high = max(line.width for line in lines), low - top
    if where in ("right", "left"):
        width, height = glyph.width + GAP + broad, max(glyph.height, high)
        shift = (0.0 if where == "right" else broad + GAP, (height - glyph.height) / 2)
        spot = (glyph.width + GAP if where == "right" else broad, (height - high) / 2 - top)
    else:
        width, height = max(glyph.width, broad), glyph.height + high + 2
        shift = ((width - glyph.width) / 2, 0.0 if where == "below" else high + 2)
        spot = (width / 2, (glyph.height + 2 if where == "below" else 0.0) - top)
    return _composed(glyph, lines, (width, height), shift, spot)


def _composed(glyph: Glyph, lines: Sequence[Text], size: Point, shift: Point, spot: Point) -> Glyph:
    items = [moved(item, *shift) for item in glyph.group.items]
    items += [moved(line, *spot) for line in lines]
    places = {
        name: GlyphPlace(p.x + shift[0], p.y + shift[1], p.side) for name, p in glyph.places.items()
    }
    mark = (glyph.mark[0] + shift[0], glyph.mark[1] + shift[1])
    return Glyph(replace(glyph.group, items=tuple(items)), *size, places, mark)


def name_lines(tag: Tag, where: Where) -> list[Text]:
    """The part's name and further lines, at the origin."""
    anchors: dict[Where, Anchor] = {"right": "start", "left": "end"}
    anchor = anchors.get(where, "middle")
    lines = [text(0, 0, tag.name, look.NAME, anchor=anchor, weight="bold", fill=look.INK)]
    y = 0.0
    for line in tag.lines:
        y += look.SMALL * look.LEADING
        lines.append(text(0, y, line, look.SMALL, anchor=anchor, fill=look.SOFT_INK))
    return lines
