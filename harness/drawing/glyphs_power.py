"""Pictures of the power side: packs, ESCs, motors, fuses, switches, leads with many ends."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace, Tag, Where, outline, part, stroke
from harness.drawing.ribbon import POWER, set_lanes
from harness.drawing.scene import (
    Item,
    Path,
    Point,
    circle_path,
    line_path,
    moved_group,
    rect_path,
    text,
)

PITCH = 18.0
WIDE = 46.0
POLE = 2.4
RED, BLACK = look.insulation("RD")[0], look.insulation("BK")[0]


def esc(tag: Tag, *, data: bool = False) -> Glyph:
    """A speed controller: finned board with a capacitor at its battery end.

    Places: battery, signal and telemetry (left), motor (right).
    """
    y, top = (-7.0, -14.0) if data else (6.5, 0.0)
    items: list[Item] = [
        outline(rect_path(3, 0, 13, 13, 3.5), look.CASE),
        stroke([(6.5, 2.5), (6.5, 10.5)], 1.6, look.PALE),
        *([outline(rect_path(3, -13.5, 13, 13, 3.5), look.CASE)] if data else []),
        outline(rect_path(12, top, 42, 32 - top, 3), look.BOARD),
        outline(rect_path(18, 4, 30, 24, 1.6), look.SHADE, 0.8),
    ]
    items += [
        stroke([(22.5 + 4.2 * i, 6.5), (22.5 + 4.2 * i, 25.5)], 1.5, look.SOFT_INK)
        for i in range(6)
    ]
    places = {
        "signal": GlyphPlace(3, y, "left"),
        **({"telemetry": GlyphPlace(3, 6.5, "left")} if data else {}),
        "battery": GlyphPlace(12, 23, "left"),
        "motor": GlyphPlace(54, 16, "right"),
    }
    return part(tag, "esc", items, places, "below")


def motor(tag: Tag, *, where: Where = "right") -> Glyph:
    """A motor: M in a circle (IEC 60617), its propeller at the right. Places: lead."""
    r = 13.0
    hub = outline(rect_path(2 * r - 1, r - 2.4, 6, 4.8, 1.5), look.SHADE, 0.8)
    items: list[Item] = [
        _blade(2 * r + 2, r, -1),
        _blade(2 * r + 2, r, 1),
        hub,
        outline(circle_path(r, r, r), look.PAPER, 1.3),
        text(r, r + 5.1, "M", 14, anchor="middle", weight="bold", fill=look.INK),
    ]
    return part(tag, "motor", items, {"lead": GlyphPlace(0, r, "left")}, where)


def _blade(x: float, y: float, way: int) -> Path:
    tip = y + way * 19
    curve = (
        ("M", (x, y)),
        ("C", (x + 4.5, y + way * 6, x + 3, tip, x + 0.5, tip)),
        ("C", (x - 2.5, tip, x - 1.5, y + way * 6, x, y)),
        ("Z", ()),
    )
    return outline(curve, look.BODY, 0.8)


def pack(
    tag: Tag,
    *,
    cells: str = "",
    capacity: str = "",
    rooms: Mapping[str, float] | None = None,
    mirror: bool = False,
) -> Glyph:
    """A pack in its wrap with the battery symbol of IEC 60617. Places: main, balance (right).

    `rooms` is the breadth, by place, kept free beside it.
    """
    label = text(39, 15.5, cells, 11, weight="bold", fill=look.INK)
    below = text(39, 27.5, capacity, look.SMALL, fill=look.SOFT_INK)
    free = {name: room + 3 for name, room in (rooms or {}).items()}
    main, balance = free.get("main", 10.0), free.get("balance", 10.0)
    wide = max(80.0, 39 + label.width + main, 39 + below.width + balance)
    items: list[Item] = [
        outline(rect_path(0, 0, wide, 36, 4), look.WRAP),
        stroke([(wide - 5, 0.6), (wide - 5, 35.4)], 0.7, look.PALE),
        *battery_symbol(6, 18),
        *((label,) if cells else ()),
        *((below,) if capacity else ()),
    ]
    places = {"main": GlyphPlace(wide, 14, "right"), "balance": GlyphPlace(wide, 29, "right")}
    return part(tag, "pack", items, places, "below", mirror=mirror)


def battery_symbol(x: float, y: float) -> list[Item]:
    """Two pairs of long and short lines, plus beside the first long one (IEC 60617).

    At most two pairs are drawn, whatever the cell count.
    """
    items: list[Item] = [stroke([(x, y), (x + 6, y)]), stroke([(x + 21, y), (x + 27, y)])]
    for start in (6.0, 16.0):
        items.append(stroke([(x + start, y - 9), (x + start, y + 9)], 1.2))
        items.append(stroke([(x + start + 5, y - 4.5), (x + start + 5, y + 4.5)], 2.2))
    items.append(stroke([(x + 11, y), (x + 16, y)], 0.8))
    items.append(stroke([(x + 0.5, y - 7), (x + 4.5, y - 7)], 1.0))
    items.append(stroke([(x + 2.5, y - 9), (x + 2.5, y - 5)], 1.0))
    return items


def _in_line(tag: Tag, kind: str, items: list[Item], wide: float) -> Glyph:
    places = {"left": GlyphPlace(0, 0, "left"), "right": GlyphPlace(wide, 0, "right")}
    return part(tag, kind, items, places, "below")


SIGNS = {"negative": "\N{MINUS SIGN}", "both": "\N{PLUS-MINUS SIGN}"}


def _sign(pole: str, x: float, y: float) -> list[Item]:
    """The pole that something opens, where it is not the positive as usual."""
    return [text(x, y, SIGNS[pole], 11, weight="bold", fill=look.INK)] if pole in SIGNS else []


def fuse(tag: Tag, pole: str = "positive") -> Glyph:
    """A fuse: rectangle with the conductor through it (IEC 60617). Places: left, right."""
    items: list[Item] = [outline(rect_path(5, -5.5, 26, 11), look.PAPER, 1.2)]
    items += [stroke([(0, 0), (36, 0)], 1.2), *_sign(pole, 33, -3)]
    return _in_line(tag, "fuse", items, 36)


def in_line_sensor(tag: Tag) -> Glyph:
    """A sensor with the line through its ammeter. Places: left, right, data and next below them."""
    items: list[Item] = [
        outline(rect_path(4, -9.5, 44, 54.5, 3), look.BOARD),
        stroke([(0, 0), (52, 0)], 1.2),
        outline(circle_path(26, 0, 8), look.PAPER, 1.1),
        text(26, 3.7, "A", 10, anchor="middle", weight="bold", fill=look.INK),
        stroke([(19, 27), (23, 31), (29, 23), (33, 27)], 1.0),
    ]
    ends = {"left": GlyphPlace(0, 0, "left"), "right": GlyphPlace(52, 0, "right")}
    data = {"data": GlyphPlace(4, 21, "left"), "next": GlyphPlace(48, 21, "right")}
    return part(tag, "sensor", items, {**ends, **data}, "below")


def switch(tag: Tag, pole: str = "positive") -> Glyph:
    """A switch in its case. Places: left, right."""
    items: list[Item] = [
        outline(rect_path(0, -9, 38, 18, 3)),
        stroke([(0, 0), (11, 0)], 1.2),
        stroke([(27, 0), (38, 0)], 1.2),
        stroke([(11, 0), (25, -6)], 1.2),
        outline(circle_path(11, 0, 1.7), look.PAPER, 0.9),
        outline(circle_path(27, 0, 1.7), look.PAPER, 0.9),
        *_sign(pole, 27.5, -1.5),
    ]
    return _in_line(tag, "switch", items, 38)


def diodes(tag: Tag, outlets: Sequence[str] = ("right",), *, left: bool = False) -> Glyph:
    """Diodes (IEC 60617), one to each of its ways at the right, that conduct to the right or left.

    Places: plug (left), the names of the outlets.
    """
    high = PITCH * (len(outlets) - 1)
    base, tip = (20, 10) if left else (10, 20)
    items: list[Item] = [stroke([(0, high / 2), (3, high / 2)], 1.2)]
    places = {"plug": GlyphPlace(0, high / 2, "left")}
    for n, name in enumerate(outlets):
        y = PITCH * n
        items += [
            stroke([(3, high / 2), (3, y), (30, y)], 1.2),
            outline(
                line_path([(base, y - 6), (tip, y), (base, y + 6)], closed=True), look.PAPER, 1.2
            ),
            stroke([(tip, y - 6), (tip, y + 6)], 1.4),
        ]
        places[name] = GlyphPlace(30, y, "right")
    return part(tag, "diode", items, places, "below")


def capacitor(tag: Tag) -> Glyph:
    """An electrolytic capacitor lying down, its stripe at the negative lead. Places: lead."""
    items: list[Item] = [
        stroke([(0, 5), (6, 5)], 1.0),
        stroke([(0, 13), (6, 13)], 1.0),
        outline(rect_path(5, 0, 28, 18, 3), look.CASE),
        Path(rect_path(7, 11.5, 25, 3.6), fill=look.SHADE),
        *(stroke([(11 + 7 * i, 13.3), (14 + 7 * i, 13.3)], 1.0) for i in range(3)),
    ]
    return part(tag, "capacitor", items, {"lead": GlyphPlace(0, 9, "left")}, "right")


def connector(tag: Tag) -> Glyph:
    """A power plug in its socket. Places: left, right."""
    items: list[Item] = [
        outline(rect_path(0, -10, 15, 20, 2.5), look.SHADE),
        outline(rect_path(13, -8.5, 15, 17, 2.5), look.BODY),
        *(outline(rect_path(7, y - 1.7, 13, 3.4, 1.7), look.METAL, look.THIN) for y in (-4, 4)),
    ]
    return _in_line(tag, "connector", items, 28)


def arming_plug(tag: Tag, pole: str = "positive") -> Glyph:
    """An arming plug: two contacts in line and the bar that is pushed in across them.

    As IEC 60617 draws a removable link. Places: left, right.
    """
    items: list[Item] = [
        outline(rect_path(0, -7, 38, 14, 3), look.PAPER),
        *(stroke([(x, 0), (x + 7.5, 0)], 1.6) for x in (0, 30.5)),
        *(outline(circle_path(x, 0, 3.2), look.PAPER, 1.2) for x in (10.5, 27.5)),
    ]
    for x in (10.5, 27.5):
        items += [stroke([(x, -12), (x, 0)], 3.2), stroke([(x, -12), (x, 0)], 1.8, look.METAL)]
    items += [outline(rect_path(5.5, -17, 27, 6, 1.5), look.ARMED), *_sign(pole, 35, -9)]
    places = {"left": GlyphPlace(0, 0, "left"), "right": GlyphPlace(38, 0, "right")}
    return part(tag, "arming-plug", items, places, "below")


def shared(tag: Tag, entries: Sequence[str], outlets: Sequence[str], split: str = "") -> Glyph:
    """A parallel lead: every end on one red and one black node. Places: the ends' names.

    `split`: the nodes sit right at its single end (plug), or at the other ends; between, unsaid.
    """
    high, ins, outs = _heights(entries, outlets, 1)
    items: list[Item] = [outline(rect_path(0, 0, WIDE, high, 5), look.PAPER)]
    at_left = (split == "plug") == (len(ins) < len(outs))
    x = WIDE / 2 if not split else 7.0 if at_left else WIDE - 7.0
    fanned = split == "plug" and at_left
    apart = set_lanes(len(outs), 2, POWER)
    for color, dy in ((BLACK, POLE), (RED, -POLE)):
        node = (x, high / 2 + dy)
        for y, beside in zip(outs, apart, strict=True) if fanned else ():
            items += _run((0, high / 2 + beside + dy), (WIDE, y + dy), color)
        if fanned:
            continue
        items += [step for y in ins for step in _run((0, y + dy), node, color)]
        items += [step for y in outs for step in _run(node, (WIDE, y + dy), color)]
        items.append(outline(circle_path(*node, 2.6), color, 0.7))
    return part(tag, "parallel", items, _places(entries, ins, outlets, outs), "below")


def shared_down(
    tag: Tag, entry: str, outlets: Sequence[str], down: str, rooms: Mapping[str, float]
) -> Glyph:
    """A parallel lead fed from above: its ends at the right, but `down` at its lower side.

    Places: the ends' names; the flag of its entry stands left of it.
    """
    rows = [name for name in outlets if name != down]
    x, top, wide = WIDE / 2, 14.0, WIDE
    high = top + PITCH * len(rows) + (4.0 if down else 0.0)
    items: list[Item] = [outline(rect_path(0, top, wide, high - top, 5), look.PAPER)]
    heights = [top + PITCH * (n + 0.5) for n in range(len(rows))]
    low = high if down else heights[-1]
    for color, across in ((BLACK, -POLE), (RED, POLE)):  # red is left of the way it goes: down
        items += _run((x + across, 7.0), (x + across, low - (0 if down else across)), color)
        for y in heights:
            items += _run((x + across, y - across), (wide, y - across), color)
            items.append(outline(circle_path(x + across, y - across, 2.6), color, 0.7))
    places = {n: GlyphPlace(wide, y, "right") for n, y in zip(rows, heights, strict=True)}
    places[entry] = GlyphPlace(x, 7.0, "right", 6.0)
    if down:
        places[down] = GlyphPlace(x, high, "right")
    name = text(-4, top + 12, tag.name, look.NAME, anchor="end", weight="bold", fill=look.INK)
    beside = max(rooms.get(entry, 0.0) + 6 - x, name.width + 4)
    glyph = part(tag, "parallel", items, places, "none")
    glyph = replace(glyph, group=replace(glyph.group, items=(*glyph.group.items, name)))
    return _shifted(glyph, beside, 6.0)


def _shifted(glyph: Glyph, right: float, down: float) -> Glyph:
    """The same picture with room left of it and above."""
    places = {name: place.moved(right, down) for name, place in glyph.places.items()}
    mark = (glyph.mark[0] + right, glyph.mark[1] + down)
    group = moved_group(glyph.group, right, down)
    return Glyph(group, glyph.width + right, glyph.height + down, places, mark)


def series(tag: Tag, entries: Sequence[str], outlets: Sequence[str]) -> Glyph:
    """A series lead: each pack's positive on the next one's negative; the first is the lowest."""
    high, ins, outs = _heights(entries, outlets, 2)
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


def _heights(
    entries: Sequence[str], outlets: Sequence[str], least: int
) -> tuple[float, list[float], list[float]]:
    """How high a picture is for so many ends, `least` at least, and where each of them arrives."""
    high = PITCH * max(len(entries), len(outlets), least)
    ins, outs = (
        [high / max(len(ends), 1) * (i + 0.5) for i in range(len(ends))]
        for ends in (entries, outlets)
    )
    return high, ins, outs


def _places(
    entries: Sequence[str], ins: Sequence[float], outlets: Sequence[str], outs: Sequence[float]
) -> dict[str, GlyphPlace]:
    found = {name: GlyphPlace(0, y, "left") for name, y in zip(entries, ins, strict=True)}
    found.update({n: GlyphPlace(WIDE, y, "right") for n, y in zip(outlets, outs, strict=True)})
    return found


def jumper(tag: Tag, entries: Sequence[str]) -> Glyph:
    """A jumper plug: one wire that bridges both contacts. Places: the entries' names."""
    high, ins, _ = _heights(entries, (), 1)
    loop = (
        ("M", (12.0, high / 2 - 4)),
        ("C", (34.0, high / 2 - 12, 34.0, high / 2 + 12, 12.0, high / 2 + 4)),
    )
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
        items += [
            stroke([(broad - 2, y + d), (broad + 7, y + d)], 2.0, look.METAL) for d in (-5, 0, 5)
        ]
        items.append(text(5, y + 2.9, name, look.SMALL, weight="bold", fill=look.INK))
        items.append(text(broad + 12, y + 2.9, contacts, look.SMALL, fill=look.SOFT_INK))
        places[f"plug-{name}"] = GlyphPlace(0, y, "left")
        places[name] = GlyphPlace(wide, y, "right")
    return part(tag, "wing-plug", items, places, "below")
