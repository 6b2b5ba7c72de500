"""Pictures of the power side: packs, ESCs, motors, joins, fuses, switches."""

from collections.abc import Mapping
from dataclasses import replace

from harness.drawing import look
from harness.drawing.glyph import Glyph, GlyphPlace, Tag, Where, outline, part, stroke
from harness.drawing.layout_model import Side
from harness.drawing.scene import Item, Path, Point, circle_path, line_path, rect_path, text

LEFT, RIGHT = "left", "right"


def esc(tag: Tag, *, where: Where = "below", mirror: bool = False) -> Glyph:
    """A speed controller: finned board with a capacitor at its battery end.

    Places: battery and signal (left), motor (right).
    """
    items: list[Item] = [
        outline(rect_path(3, 0, 13, 13, 3.5), look.CASE),
        stroke([(6.5, 2.5), (6.5, 10.5)], 1.6, look.PALE),
        outline(rect_path(12, 0, 50, 32, 3), look.BOARD),
        outline(rect_path(19, 4, 36, 24, 1.6), look.SHADE, 0.8),
    ]
    items += [stroke([(22.5 + 4.2 * i, 6.5), (22.5 + 4.2 * i, 25.5)], 1.5, look.SOFT_INK)
              for i in range(8)]  # fmt: skip
    places = {
        "signal": GlyphPlace(3, 6.5, "left"),
        "battery": GlyphPlace(12, 23, "left"),
        "motor": GlyphPlace(62, 16, "right"),
    }
    return part(tag, "esc", items, places, where, mirror=mirror)


def motor(
    tag: Tag,
    *,
    propeller: bool = True,
    thrust: Side = "right",
    where: Where = "right",
    mirror: bool = False,
) -> Glyph:
    """A motor: M in a circle (IEC 60617), its propeller on the `thrust` side. Places: lead."""
    r = 13.0
    items: list[Item] = []
    if propeller:
        hub = outline(rect_path(2 * r - 1, r - 2.4, 6, 4.8, 1.5), look.SHADE, 0.8)
        items += [_turned(i, r, thrust)
                  for i in (_blade(2 * r + 2, r, -1), _blade(2 * r + 2, r, 1), hub)]  # fmt: skip
    items.append(outline(circle_path(r, r, r), look.PAPER, 1.3))
    items.append(text(r, r + 5.1, "M", 14, anchor="middle", weight="bold", fill=look.INK))
    return part(tag, "motor", items, {"lead": GlyphPlace(0, r, "left")}, where, mirror=mirror)


def _turned(path: Path, r: float, side: Side) -> Path:
    """A shape drawn right of (r, r), turned about that point to another side."""
    cos, sin = {"right": (1, 0), "left": (-1, 0), "top": (0, -1), "bottom": (0, 1)}[side]

    def turned(x: float, y: float) -> Point:
        return r + (x - r) * cos - (y - r) * sin, r + (x - r) * sin + (y - r) * cos

    commands = tuple(
        (name, tuple(v for i in range(0, len(xy), 2) for v in turned(xy[i], xy[i + 1])))
        for name, xy in path.commands
    )
    return replace(path, commands=commands)


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
    where: Where = "below",
    mirror: bool = False,
) -> Glyph:
    """A pack in its wrap with the battery symbol of IEC 60617. Places: main, balance (right).

    `rooms` is the breadth, by place, kept free beside it.
    """
    label = text(43, 15.5, cells, 11, weight="bold", fill=look.INK)
    below = text(43, 27.5, capacity, look.SMALL, fill=look.SOFT_INK)
    free = {name: room + 5 for name, room in (rooms or {}).items()}
    main, balance = free.get("main", 10.0), free.get("balance", 10.0)
    wide = max(84.0, 43 + label.width + main, 43 + below.width + balance)
    items: list[Item] = [
        outline(rect_path(0, 0, wide, 36, 4), look.WRAP),
        stroke([(wide - 5, 0.6), (wide - 5, 35.4)], 0.7, look.PALE),
        *battery_symbol(8, 18),
        *((label,) if cells else ()),
        *((below,) if capacity else ()),
    ]
    places = {"main": GlyphPlace(wide, 14, "right"), "balance": GlyphPlace(wide, 29, "right")}
    return part(tag, "pack", items, places, where, mirror=mirror)


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


def _in_line(tag: Tag, kind: str, items: list[Item], wide: float, where: Where) -> Glyph:
    places = {"left": GlyphPlace(0, 0, "left"), "right": GlyphPlace(wide, 0, "right")}
    return part(tag, kind, items, places, where)


def fuse(tag: Tag, *, where: Where = "below") -> Glyph:
    """A fuse: rectangle with the conductor through it (IEC 60617). Places: left, right."""
    items: list[Item] = [outline(rect_path(5, -5.5, 26, 11), look.PAPER, 1.2)]
    items.append(stroke([(0, 0), (36, 0)], 1.2))
    return _in_line(tag, "fuse", items, 36, where)


def switch(tag: Tag, *, closed: bool = False, where: Where = "below") -> Glyph:
    """A switch in its case. Places: left, right."""
    items: list[Item] = [
        outline(rect_path(0, -9, 38, 18, 3)),
        stroke([(0, 0), (11, 0)], 1.2),
        stroke([(27, 0), (38, 0)], 1.2),
        stroke([(11, 0), (27, 0) if closed else (25, -6)], 1.2),
        outline(circle_path(11, 0, 1.7), look.PAPER, 0.9),
        outline(circle_path(27, 0, 1.7), look.PAPER, 0.9),
    ]
    return _in_line(tag, "switch", items, 38, where)


def diode(tag: Tag, *, where: Where = "below") -> Glyph:
    """A diode that lets current pass to the right (IEC 60617). Places: left, right."""
    items: list[Item] = [
        stroke([(0, 0), (30, 0)], 1.2),
        outline(line_path([(10, -6), (20, 0), (10, 6)], closed=True), look.PAPER, 1.2),
        stroke([(20, -6), (20, 6)], 1.4),
    ]
    return _in_line(tag, "diode", items, 30, where)


def capacitor(tag: Tag, *, where: Where = "right", mirror: bool = False) -> Glyph:
    """An electrolytic capacitor lying down, its stripe at the negative lead. Places: lead."""
    items: list[Item] = [
        stroke([(0, 5), (6, 5)], 1.0),
        stroke([(0, 13), (6, 13)], 1.0),
        outline(rect_path(5, 0, 28, 18, 3), look.CASE),
        Path(rect_path(7, 11.5, 25, 3.6), fill=look.SHADE),
        *(stroke([(11 + 7 * i, 13.3), (14 + 7 * i, 13.3)], 1.0) for i in range(3)),
    ]
    return part(tag, "capacitor", items, {"lead": GlyphPlace(0, 9, "left")}, where, mirror=mirror)


def power_junction(
    tag: Tag, *, ways: int = 2, series: bool = False, where: Where = "below"
) -> Glyph:
    """A power lead that joins several ends, in parallel or in series.

    Places: supply (left) and 1 to n (right).
    """
    pitch = 20.0
    high = pitch * max(ways, 1)
    items: list[Item] = [outline(rect_path(0, 0, 40, high, 5))]
    ends = [pitch * (i + 0.5) for i in range(ways)]
    for red, dy in ((True, -2.4), (False, 2.4)):
        color = look.insulation("RD" if red else "BK")[0]
        for y in ends:
            curve = (20, high / 2 + dy, 20, y + dy, 40, y + dy)
            lane = (("M", (0.0, high / 2 + dy)), ("C", curve))
            items.append(Path(lane, stroke=look.INK, width=3.6))
            items.append(Path(lane, stroke=color, width=2.6))
    mark = "series" if series else "parallel"
    places = {str(i + 1): GlyphPlace(40, y, "right") for i, y in enumerate(ends)}
    places["supply"] = GlyphPlace(0, high / 2, "left")
    return part(tag, mark, items, places, where)


def connector(tag: Tag, *, contacts: int = 2, where: Where = "below") -> Glyph:
    """A power plug in its socket. Places: left, right."""
    high = 8.0 * contacts + 4
    items: list[Item] = [
        outline(rect_path(0, -high / 2, 15, high, 2.5), look.SHADE),
        outline(rect_path(13, -high / 2 + 1.5, 15, high - 3, 2.5), look.BODY),
    ]
    for index in range(contacts):
        y = (index - (contacts - 1) / 2) * 8
        items.append(Path(rect_path(7, y - 1.7, 13, 3.4, 1.7), fill=look.METAL, stroke=look.INK,
                          width=look.THIN))  # fmt: skip
    return _in_line(tag, "connector", items, 28, where)


def arming_plug(tag: Tag, *, where: Where = "below") -> Glyph:
    """An arming plug: a loop that closes the positive when pushed in. Places: left, right."""
    loop = (("M", (9.0, -8.0)), ("C", (9.0, -24.0, 27.0, -24.0, 27.0, -8.0)))
    items: list[Item] = [
        Path(loop, stroke=look.INK, width=5.0, cap="round"),
        Path(loop, stroke=look.ARMED, width=3.4, cap="round"),
        outline(rect_path(3, -9, 30, 9, 2), look.ARMED),
        outline(rect_path(0, 0, 36, 9, 2.5), look.CASE),
        stroke([(9, 1), (9, 7)], 2.2, look.METAL),
        stroke([(27, 1), (27, 7)], 2.2, look.METAL),
    ]
    places = {"left": GlyphPlace(0, 4.5, "left"), "right": GlyphPlace(36, 4.5, "right")}
    return part(tag, "arming-plug", items, places, where)
