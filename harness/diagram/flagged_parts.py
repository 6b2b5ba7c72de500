"""Pictures with their flags and the currents at them, as boxes to be laid out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from harness.diagram.pictures import APART
from harness.diagram.stages import FlaggedPart
from harness.drawing.glyph import Glyph, GlyphPlace
from harness.drawing.glyphs_control import plug_body
from harness.drawing.layout_model import LayoutNode, LayoutPort
from harness.drawing.marks import FLAG_HEIGHT
from harness.drawing.pill import HIGH
from harness.drawing.scene import (
    Box,
    Group,
    Item,
    Path,
    Text,
    bounds,
    moved,
    moved_group,
    text_box,
    walk,
)

GAP = 5.0  # of bare lead between flag and part
CLEAR = 2.0  # between a pill and what is drawn of the part
LOW = 18.0  # a part no higher than this has its pill beside the flag
NEAR = 60.0  # how far inside a case a pill still belongs to a lead
FLAG_GAP = 8.0
FLAG_START = 3.0
OVER = 1.8  # between a flag and the words under it
DEEP = 12.0  # how far inside a picture's edge a lead's bare end still shows, points
SECOND = 5.5  # how far a second plug in one socket is drawn from the first
Span = tuple[float, float]


def with_flags(ident: str, glyph: Glyph, flags: Mapping[str, Glyph], zone: str = "") -> FlaggedPart:
    """The picture with a flag on each lead just before it arrives, at the side it arrives on."""
    inside = {n: f for n, f in flags.items() if glyph.places[n].inward > 0}  # room was kept
    over = {n: f for n, f in flags.items() if glyph.places[n].above}
    glyph = lowered(glyph, *_beyond(glyph, over))
    left, right = (
        {n: f for n, f in flags.items() if n not in inside | over and glyph.places[n].side == side}
        for side in ("left", "right")
    )
    before, after = _room(left, glyph), _room(right, glyph)
    top, low = _reach(glyph, flags)
    glyph = lowered(glyph, top, low)
    items: list[Item] = [moved_group(glyph.group, before, 0.0)]
    for name, flag in over.items():
        place = glyph.places[name]
        items.append(
            flag.at(before + place.x - flag.width, place.y - place.above - flag.height / 2)
        )
    for name, flag in inside.items():
        place = glyph.places[name]
        deep = place.inward if place.side == "left" else -place.inward - flag.width
        items.append(_flag(flag, place, before + place.x + deep))
    for name, flag in left.items():
        items.append(_flag(flag, glyph.places[name], FLAG_START))
    for name, flag in right.items():
        start = before + glyph.width + after - FLAG_START - flag.width
        items.append(_flag(flag, glyph.places[name], start))
    places = {n: p.moved(before, 0.0) for n, p in glyph.places.items()}
    mark = (glyph.mark[0] + before, glyph.mark[1])
    whole = Group("", tuple(items))
    drawn = Glyph(whole, glyph.width + before + after, glyph.height, places, mark)
    return FlaggedPart(ident, drawn, zone, ident.removeprefix("part-"))


def captioned(glyph: Glyph, flags: Mapping[str, Glyph]) -> Glyph | None:
    """The picture with its one flag over the words at its right; None where that cannot be.

    That is narrower than a flag on the lead, and hardly higher.
    """
    edge = bounds(item for item in glyph.group.items if isinstance(item, Path))[2]
    words = [item for item in glyph.group.items if isinstance(item, Text) and item.left >= edge]
    if len(flags) != 1 or not words or len(glyph.places) != 1:
        return None
    ((_, flag),) = flags.items()
    if flag.height > FLAG_HEIGHT:
        return None
    left, top, _, low = bounds(words)
    high = low - top + FLAG_HEIGHT + OVER
    glyph = lowered(glyph, 0.0, max(high - glyph.height, 0.0))
    down = max((glyph.height - high) / 2, 0.0) + FLAG_HEIGHT + OVER - top
    items = [moved(item, 0.0, down) if item in words else item for item in glyph.group.items]
    items.append(moved_group(flag.group, left, down + top - FLAG_HEIGHT - OVER))
    wide = max(glyph.width, left + flag.width)
    return replace(glyph, group=replace(glyph.group, items=tuple(items)), width=wide)


def _beyond(glyph: Glyph, over: Mapping[str, Glyph]) -> tuple[float, float]:
    """How far the words over and under plugs reach over and under the picture."""
    middles = {n: glyph.places[n].y - glyph.places[n].above for n in over}
    tops = (f.height / 2 - middles[n] for n, f in over.items())
    lows = (f.height / 2 + middles[n] - glyph.height for n, f in over.items())
    return max([0.0, *tops]), max([0.0, *lows])


def _room(flags: Mapping[str, Glyph], glyph: Glyph) -> float:
    """How far flags reach beyond a picture: where a lead goes on inside, its flag may too."""
    low = all(flag.height <= FLAG_HEIGHT for flag in flags.values())
    reach = (f.width - low * _depth(glyph, glyph.places[name]) for name, f in flags.items())
    return max(reach, default=-FLAG_GAP) + FLAG_GAP


def _depth(glyph: Glyph, place: GlyphPlace) -> float:
    return min(place.x if place.side == "left" else glyph.width - place.x, DEEP)


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
    places = {n: p.moved(0.0, top) for n, p in glyph.places.items()}
    mark = (glyph.mark[0], glyph.mark[1] + top)
    high = glyph.height + top + low
    return Glyph(moved_group(glyph.group, 0.0, top), glyph.width, high, places, mark)


def beside(glyph: Glyph, others: Sequence[Glyph]) -> Glyph:
    """A picture with smaller ones (capacitors on an ESC) under it."""
    items: list[Item] = [glyph.group]
    high = glyph.height
    for other in others:
        items.append(other.at(max(glyph.width - other.width, 0.0), high + 2))
        high += other.height + 2
    wide = max(glyph.width, *(other.width for other in others))
    return replace(glyph, group=Group("", tuple(items)), width=wide, height=high)


def doubled(glyph: Glyph, name: str, twin: str) -> Glyph:
    """The picture with a second plug pushed at the same socket, drawn half over the first."""
    place = glyph.places[name]
    shifted = replace(place, y=place.y + SECOND)
    body = plug_body(place.x, shifted.y, faces=-1 if place.side == "right" else 1)
    group = replace(glyph.group, items=(*glyph.group.items, *body))
    return replace(glyph, group=group, places={**glyph.places, twin: shifted})


def node_of(piece: FlaggedPart) -> LayoutNode:
    """The box of a piece, its ports inside it where the leads end."""
    glyph = piece.glyph
    ports = tuple(LayoutPort(k, p.side, p.x, p.y) for k, p in glyph.places.items())
    return LayoutNode(piece.id, glyph.width, glyph.height, ports)


def in_a_row(one: Glyph, other: Glyph) -> Glyph:
    """Two flags one after the other on the same lead."""
    items = (one.group, moved_group(other.group, one.width + APART, 0.0))
    return replace(one, group=Group("", items), width=one.width + APART + other.width)


def with_pills(
    glyph: Glyph, flags: Mapping[str, Glyph], pills: Mapping[str, Glyph], *, tight: bool
) -> tuple[Glyph, dict[str, Glyph]]:
    """Return picture and flags, each pill where it covers nothing and takes least room.

    `tight`: a part's one lead has its pill beside its flag, for both to stand over its name.
    """
    found = dict(flags)
    for side in ("left", "right"):
        names = sorted(
            (n for n in flags if glyph.places[n].side == side), key=lambda n: glyph.places[n].y
        )
        taken = {name: _code(glyph.places[name]) for name in names}
        for name in (n for n in names if n in pills):
            others = [span for other, span in taken.items() if other != name]
            place, pill = glyph.places[name], pills[name]
            if place.inward:
                found[name] = _joined(flags[name], pill, 0.0, up=False, right=False)
            elif tight and len(glyph.places) == 1:
                found[name] = in_a_row(flags[name], _centred(pill))
            elif dressed := _stacked(glyph, place, flags[name], pill, others):
                found[name], taken[name] = dressed
            elif inside := _inside(glyph, place, pill):
                glyph = inside
            else:
                found[name] = in_a_row(flags[name], _centred(pill))
    return glyph, found


def _code(place: GlyphPlace) -> Span:
    return place.y - FLAG_HEIGHT / 2, place.y + FLAG_HEIGHT / 2


def _stacked(
    glyph: Glyph, place: GlyphPlace, flag: Glyph, pill: Glyph, others: Sequence[Span]
) -> tuple[Glyph, Span] | None:
    """Code and pill as one flag, where no neighbour is in the way."""
    if glyph.height <= LOW:
        return None
    top, low = _code(place)
    spans = {False: (low, low + HIGH), True: (top - HIGH, top)}
    free = [up for up, span in spans.items() if not any(_meet(span, o) for o in others)]
    if not free:
        return None
    up = min(free, key=lambda up: (_over(spans[up], glyph.height), up))
    flat = GAP + _bare(glyph, spans[up]) - CLEAR if place.side == "left" else GAP - CLEAR
    return _joined(flag, pill, flat, up=up, right=place.side == "right"), (
        min(top, spans[up][0]),
        max(low, spans[up][1]),
    )


def _joined(flag: Glyph, pill: Glyph, flat: float, *, up: bool, right: bool) -> Glyph:
    """Pill over or under the flag, reaching `flat` points past it; `left` is where the lead is."""
    wide = max(flag.width, pill.width - flat)
    shift = (wide - flag.width, wide - pill.width) if right else (0.0, 0.0)
    code = moved_group(flag.group, shift[0], HIGH if up else 0.0)
    tint = moved_group(pill.group, shift[1], 0.0 if up else FLAG_HEIGHT)
    y = FLAG_HEIGHT / 2 + (HIGH if up else 0.0)
    places = {"left": GlyphPlace(0, y, "left"), "right": GlyphPlace(wide, y, "right")}
    return Glyph(Group("", (code, tint)), wide, FLAG_HEIGHT + HIGH, places, flag.mark)


def _inside(glyph: Glyph, place: GlyphPlace, pill: Glyph) -> Glyph | None:
    """The picture with the pill in its case, behind the words at the lead's end."""
    if place.side != "left":
        return None
    cursor = place.x
    for left, _, right, _ in sorted(_drawn(glyph, _code(place))):
        if left - cursor >= pill.width + 2 * CLEAR:
            break
        cursor = max(cursor, right)
    else:
        if glyph.width - cursor < pill.width + 2 * CLEAR:
            return None
    if cursor > place.x + NEAR:
        return None
    drawn = moved_group(pill.group, cursor + CLEAR, place.y - HIGH / 2)
    return replace(glyph, group=replace(glyph.group, items=(*glyph.group.items, drawn)))


def _centred(pill: Glyph) -> Glyph:
    return replace(pill, group=moved_group(pill.group, 0, (FLAG_HEIGHT - HIGH) / 2))


def _bare(glyph: Glyph, span: Span) -> float:
    """How far from its left edge nothing of a picture is drawn at some height."""
    return min((box[0] for box in _drawn(glyph, (span[0] + 1, span[1] - 1))), default=0.0)


def _drawn(glyph: Glyph, span: Span) -> Iterator[Box]:
    """Yield what is drawn at some height, but not the case round it all."""
    for item in walk(glyph.group.items):
        box = text_box(item) if isinstance(item, Text) else bounds([item])
        part = isinstance(item, Path | Text) and box[2] - box[0] < 0.8 * glyph.width
        if part and _meet((box[1], box[3]), span):
            yield box


def _over(span: Span, high: float) -> float:
    return max(-span[0], 0.0) + max(span[1] - high, 0.0)


def _meet(a: Span, b: Span) -> bool:
    return a[0] < b[1] - 0.01 and b[0] < a[1] - 0.01
