"""Pictures with their flags, as boxes to be laid out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from harness.diagram.stages import FlaggedPart
from harness.drawing.glyph import Glyph, GlyphPlace
from harness.drawing.glyphs_control import plug_body
from harness.drawing.layout_model import LayoutNode, LayoutPort
from harness.drawing.marks import FLAG_HEIGHT
from harness.drawing.scene import Group, Item, moved_group

FLAG_GAP = 8.0
FLAG_START = 3.0
SECOND = 5.5  # how far a second plug in one socket is drawn from the first


def with_flags(ident: str, glyph: Glyph, flags: Mapping[str, Glyph], zone: str = "") -> FlaggedPart:
    """The picture with a flag on each lead just before it arrives, at the side it arrives on."""
    left = {n: f for n, f in flags.items() if glyph.places[n].side == "left"}
    right = {n: f for n, f in flags.items() if glyph.places[n].side == "right"}
    before, after = _room(left), _room(right)
    top, low = _reach(glyph, flags)
    glyph = lowered(glyph, top, low)
    items: list[Item] = [moved_group(glyph.group, before, 0.0)]
    for name, flag in left.items():
        items.append(_flag(flag, glyph.places[name], FLAG_START))
    for name, flag in right.items():
        start = before + glyph.width + after - FLAG_START - flag.width
        items.append(_flag(flag, glyph.places[name], start))
    places = {n: GlyphPlace(p.x + before, p.y, p.side) for n, p in glyph.places.items()}
    mark = (glyph.mark[0] + before, glyph.mark[1])
    whole = Group("", tuple(items))
    drawn = Glyph(whole, glyph.width + before + after, glyph.height, places, mark)
    return FlaggedPart(ident, drawn, zone, ident.removeprefix("part-"))


def _room(flags: Mapping[str, Glyph]) -> float:
    return max((f.width for f in flags.values()), default=-FLAG_GAP) + FLAG_GAP


def _flag(flag: Glyph, place: GlyphPlace, x: float) -> Group:
    return moved_group(flag.group, x, place.y - flag.places["left"].y)


def _reach(glyph: Glyph, flags: Mapping[str, Glyph]) -> tuple[float, float]:
    """How far flags that are higher than one line reach over and under the picture."""
    tall = {n: f for n, f in flags.items() if f.height > FLAG_HEIGHT}
    tops = {n: glyph.places[n].y - f.places["left"].y for n, f in tall.items()}
    lows = (top + tall[n].height - glyph.height for n, top in tops.items())
    return max([0.0, *(-top for top in tops.values())]), max([0.0, *lows])


def lowered(glyph: Glyph, top: float, low: float) -> Glyph:
    """The picture with room over and under it."""
    if not top and not low:
        return glyph
    places = {n: replace(p, y=p.y + top) for n, p in glyph.places.items()}
    mark = (glyph.mark[0], glyph.mark[1] + top)
    high = glyph.height + top + low
    return Glyph(moved_group(glyph.group, 0.0, top), glyph.width, high, places, mark)


def beside(glyph: Glyph, others: Sequence[Glyph]) -> Glyph:
    """A picture with smaller ones (capacitors on an ESC) at its lower right."""
    items: list[Item] = [glyph.group]
    y = glyph.height
    for other in others:
        items.append(other.at(glyph.width + 8, y - other.height))
        y -= other.height + 3
    wide = glyph.width + 8 + max(other.width for other in others)
    return replace(glyph, group=Group("", tuple(items)), width=wide)


def doubled(glyph: Glyph, name: str, twin: str) -> Glyph:
    """The picture with a second plug pushed at the same socket, drawn half over the first."""
    place = glyph.places[name]
    shifted = replace(place, y=place.y + SECOND)
    body = plug_body(place.x, shifted.y, faces=-1 if place.side == "right" else 1)
    group = replace(glyph.group, items=(*glyph.group.items, *body))
    return replace(glyph, group=group, places={**glyph.places, twin: shifted})


def node_of(piece: FlaggedPart, cluster: str | None) -> LayoutNode:
    """The box of a piece, its ports inside it where the leads end."""
    glyph = piece.glyph
    ports = tuple(LayoutPort(k, p.side, p.x, p.y) for k, p in glyph.places.items())
    return LayoutNode(piece.id, glyph.width, glyph.height, cluster, ports)
