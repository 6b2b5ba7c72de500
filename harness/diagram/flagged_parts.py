"""Pictures with their flags and the currents at them, as boxes to be laid out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from harness.diagram.stages import FlaggedPart
from harness.drawing.glyph import Glyph, GlyphPlace
from harness.drawing.glyphs_control import plug_body
from harness.drawing.layout_model import LayoutNode, LayoutPort
from harness.drawing.marks import FLAG_HEIGHT
from harness.drawing.pill import HIGH
from harness.drawing.scene import Box, Group, Item, Path, Text, bounds, moved_group, text_box, walk

GAP = 5.0  # of bare lead between flag and part
CLEAR = 2.0  # between a pill and what is drawn of the part
LOW = 18.0  # a part no higher than this has its pill beside the flag
NEAR = 60.0  # how far inside a case a pill still belongs to a lead
FLAG_GAP = 8.0
FLAG_START = 3.0
SECOND = 5.5  # how far a second plug in one socket is drawn from the first
APART = 4.0  # between two flags on one lead
Span = tuple[float, float]


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


def in_a_row(one: Glyph, other: Glyph) -> Glyph:
    """Two flags one after the other on the same lead."""
    items = (one.group, moved_group(other.group, one.width + APART, 0.0))
    return replace(one, group=Group("", items), width=one.width + APART + other.width)


def with_pills(
    glyph: Glyph, flags: Mapping[str, Glyph], pills: Mapping[str, Glyph]
) -> tuple[Glyph, dict[str, Glyph]]:
    """Return picture and flags, each pill where it covers nothing and takes least room."""
    found = dict(flags)
    for side in ("left", "right"):
        names = sorted((n for n in flags if glyph.places[n].side == side),
                       key=lambda n: glyph.places[n].y)  # fmt: skip
        taken = {name: _code(glyph.places[name]) for name in names}
        for name in (n for n in names if n in pills):
            others = [span for other, span in taken.items() if other != name]
            place, pill = glyph.places[name], pills[name]
            if dressed := _stacked(glyph, place, flags[name], pill, others):
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
        min(top, spans[up][0]), max(low, spans[up][1]))  # fmt: skip


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
