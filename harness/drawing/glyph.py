"""What every part picture is: a group of known size with named places where leads arrive."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal

from harness.base.data import dataclass, replace
from harness.drawing import look
from harness.drawing.layout_model import Side
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

Where = Literal["right", "below", "none"]
"""Where a part's name stands."""
OPPOSITE: Mapping[Side, Side] = {"left": "right", "right": "left"}
GAP = 5.0


@dataclass(frozen=True, slots=True)
class GlyphPlace:
    """Where a lead arrives, from the glyph's top left corner, and which way it leaves.

    `inward`: how far inside the picture room was kept for the flag of the lead; 0 for none.
    `above`: how far above the lead, or if negative below, a word at its plug stands; 0 for none.
    """

    x: float
    y: float
    side: Side
    inward: float = 0.0
    above: float = 0.0

    def moved(self, dx: float, dy: float) -> GlyphPlace:
        """The same elsewhere."""
        return replace(self, x=self.x + dx, y=self.y + dy)


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
    body = tuple(moved(item, -left, -top) for item in items)
    spots = {k: p.moved(-left, -top) for k, p in places.items()}
    group = Group(tag.id, body, ("part", kind), tag.title or tag.name)
    mark = (right - left - 2.0, 2.0)
    plain = Glyph(group, right - left, low - top, spots, mark)
    if mirror:
        plain = replace(flipped(plain), mark=mark)
    return plain if where == "none" or not tag.name else _named(plain, tag, where)


def flipped(glyph: Glyph) -> Glyph:
    """The same picture facing the other way, words still readable."""
    wide = glyph.width
    items = tuple(mirrored(item, wide) for item in glyph.group.items)
    places = {k: replace(p, x=wide - p.x, side=OPPOSITE[p.side]) for k, p in glyph.places.items()}
    mark = (wide - glyph.mark[0], glyph.mark[1])
    return Glyph(replace(glyph.group, items=items), wide, glyph.height, places, mark)


def _named(glyph: Glyph, tag: Tag, where: Where) -> Glyph:
    lines = _name_lines(tag, "start" if where == "right" else "middle")
    _, top, _, low = bounds(lines)
    broad, high = max(line.width for line in lines), low - top
    if where == "right":
        width, height = glyph.width + GAP + broad, max(glyph.height, high)
        shift = (0.0, (height - glyph.height) / 2)
        spot = (glyph.width + GAP, (height - high) / 2 - top)
    else:
        width, height = max(glyph.width, broad), glyph.height + high + 2
        shift = ((width - glyph.width) / 2, 0.0)
        spot = (width / 2, glyph.height + 2 - top)
    items = [*(moved(i, *shift) for i in glyph.group.items), *(moved(i, *spot) for i in lines)]
    places = {name: p.moved(*shift) for name, p in glyph.places.items()}
    mark = (glyph.mark[0] + shift[0], glyph.mark[1] + shift[1])
    return Glyph(replace(glyph.group, items=tuple(items)), width, height, places, mark)


def _name_lines(tag: Tag, anchor: Anchor) -> list[Text]:
    """The part's name and further lines, at the origin."""
    lines = [text(0, 0, tag.name, look.NAME, anchor=anchor, weight="bold", fill=look.INK)]
    y = 0.0
    for line in tag.lines:
        y += look.SMALL * look.LEADING
        lines.append(text(0, y, line, look.SMALL, anchor=anchor, fill=look.SOFT_INK))
    return lines
