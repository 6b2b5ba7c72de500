"""Pictures of power leads with any number of ends, and of plugs with a pin table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace, Tag, outline, part, stroke
from harness.drawing.scene import Item, Path, Point, circle_path, mirrored, rect_path, text

PITCH = 18.0
WIDE = 46.0
POLE = 2.4
RED, BLACK = look.insulation("RD")[0], look.insulation("BK")[0]


def flipped(glyph: Glyph) -> Glyph:
    """The same picture facing the other way, words still readable."""
    items = tuple(mirrored(item, glyph.width) for item in glyph.group.items)
    other = {"left": "right", "right": "left", "top": "top", "bottom": "bottom"}
    places = {
        name: GlyphPlace(glyph.width - p.x, p.y, other[p.side])  # type: ignore[arg-type]
        for name, p in glyph.places.items()
    }
    group = replace(glyph.group, items=items)
    mark = (glyph.width - glyph.mark[0], glyph.mark[1])
    return replace(glyph, group=group, places=places, mark=mark)


def shared(tag: Tag, entries: Sequence[str], outlets: Sequence[str]) -> Glyph:
    """A parallel lead: every end on one red and one black node. Places: the ends' names."""
    high = PITCH * max(len(entries), len(outlets), 1)
    ins, outs = _spread(len(entries), high), _spread(len(outlets), high)
    items: list[Item] = [outline(rect_path(0, 0, WIDE, high, 5), look.PAPER)]
    for color, dy in ((BLACK, POLE), (RED, -POLE)):
        node = (WIDE / 2, high / 2 + dy)
        for y in ins:
            items += _run((0, y + dy), node, color)
        for y in outs:
            items += _run(node, (WIDE, y + dy), color)
        items.append(outline(circle_path(*node, 2.6), color, 0.7))
    return part(tag, "parallel", items, _places(entries, ins, outlets, outs), "below")


def series(tag: Tag, entries: Sequence[str], outlets: Sequence[str]) -> Glyph:
    """A series lead: each pack's positive on the next one's negative; the first is the lowest."""
    high = PITCH * max(len(entries), len(outlets), 2)
    ins, outs = _spread(len(entries), high), _spread(len(outlets), high)
    items: list[Item] = [outline(rect_path(0, 0, WIDE, high, 5), look.PAPER)]
    for upper, lower in pairwise(ins):
        items += _loop(upper - POLE, lower + POLE)
    for y in outs:
        if ins:
            items += _run((0, ins[0] + POLE), (WIDE, y + POLE), BLACK)
            items += _run((0, ins[-1] - POLE), (WIDE, y - POLE), RED)
    return part(tag, "series", items, _places(entries, ins, outlets, outs), "below")


def _loop(red: float, black: float) -> list[Item]:
    """The bridge between two packs: a positive end that runs back into a negative one."""
    reach = 15.0
    curve = (("M", (0.0, red)), ("C", (reach, red, reach, black, 0.0, black)))
    half = (reach * 0.75, (red + black) / 2)
    return [
        Path(curve, stroke=look.INK, width=3.6),
        Path(curve, stroke=RED, width=2.6),
        outline(rect_path(half[0] - 2.2, half[1] - 4, 4.4, 8, 1.2), look.CASE, 0.6),
    ]


def _run(start: Point, end: Point, color: str) -> list[Item]:
    middle = (start[0] + end[0]) / 2
    curve = (("M", start), ("C", (middle, start[1], middle, end[1], *end)))
    return [Path(curve, stroke=look.INK, width=3.6), Path(curve, stroke=color, width=2.6)]


def _spread(count: int, high: float) -> list[float]:
    step = high / max(count, 1)
    return [step * (i + 0.5) for i in range(count)]


def _places(
    entries: Sequence[str], ins: Sequence[float], outlets: Sequence[str], outs: Sequence[float]
) -> dict[str, GlyphPlace]:
    found = {name: GlyphPlace(0, y, "left") for name, y in zip(entries, ins, strict=True)}
    found.update({n: GlyphPlace(WIDE, y, "right") for n, y in zip(outlets, outs, strict=True)})
    return found


def jumper(tag: Tag, entries: Sequence[str]) -> Glyph:
    """A jumper plug: one wire that bridges both contacts. Places: the entries' names."""
    high = PITCH * max(len(entries), 1)
    ins = _spread(len(entries), high)
    loop = (("M", (12.0, high / 2 - 4)), ("C", (34.0, high / 2 - 12, 34.0, high / 2 + 12, 12.0,
                                                high / 2 + 4)))  # fmt: skip
    items: list[Item] = [
        Path(loop, stroke=look.INK, width=4.4),
        Path(loop, stroke=look.ARMED, width=3.0),
        outline(rect_path(0, 0, 16, high, 2.5), look.SHADE),
        stroke([(3, high / 2 - 4), (10, high / 2 - 4)], 2.2, look.METAL),
        stroke([(3, high / 2 + 4), (10, high / 2 + 4)], 2.2, look.METAL),
    ]
    return part(tag, "jumper", items, _places(entries, ins, (), ()), "below")


def root_plug(tag: Tag, circuits: Sequence[tuple[str, str]]) -> Glyph:
    """A multi-pin plug, a row for each circuit: its name and its contacts, "1 2 3".

    Places: plug-NAME (left) and NAME (right).
    """
    row = 20.0
    broad = max((text_width(name, look.SMALL, "bold") for name, _ in circuits), default=0) + 10
    pins = max((text_width(p, look.SMALL) for _, p in circuits), default=0) + 10
    wide, high = broad + pins + 14, row * len(circuits) + 4
    items: list[Item] = [
        outline(rect_path(0, 0, broad, high, 4), look.SHADE),
        outline(rect_path(broad + 2, 0, wide - broad - 2, high, 4)),
        stroke([(broad + 1, -4), (broad + 1, high + 4)], 1.2, look.SOFT_INK),
    ]
    places: dict[str, GlyphPlace] = {}
    for index, (name, contacts) in enumerate(circuits):
        y = 2 + row * (index + 0.5)
        items += [stroke([(broad - 2, y + d), (broad + 7, y + d)], 2.0, look.METAL)
                  for d in (-5, 0, 5)]  # fmt: skip
        items.append(text(5, y + 2.9, name, look.SMALL, weight="bold", fill=look.INK))
        items.append(text(broad + 12, y + 2.9, contacts, look.SMALL, fill=look.SOFT_INK))
        places[f"plug-{name}"] = GlyphPlace(0, y, "left")
        places[name] = GlyphPlace(wide, y, "right")
    return part(tag, "wing-plug", items, places, "below")
