"""Pictures of the control side: boxes with sockets, servos, leads, sensors, retract legs, plugs."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Literal

from harness.base.data import dataclass
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace, Tag, Where, outline, part, stroke
from harness.drawing.layout_model import Side
from harness.drawing.ribbon import CONTROL, RibbonWire, bend, chained, ribbon, set_lanes
from harness.drawing.scene import Group, Item, Path, Point, circle_path, line_path, rect_path, text

Kind = Literal["receiver", "sequencer", "autopilot", "stabiliser", "regulator", "box"]
HEAD = 24.0
STRIP = 18.0
PITCH = 17.0  # distance of sockets
PLUG = (9.0, 9.6)
NOTE_ABOVE = 13.0  # from the middle of a lead to that of a word over its plug
SPREAD = 3.6  # distance of wires that are swapped, where they enter their socket
Lanes = tuple[int | None, ...]
"""For each wire of a trunk the place, from 0, at which it ends; None where it ends nowhere."""


@dataclass(frozen=True, slots=True)
class Socket:
    """One socket: the number or name on the case, what it does, whether a plug is in it.

    A `fixed` one is no socket: a lead of the part's own comes out of the case there. `name` is
    the place's name when it is not the `id` that is shown. `room` is kept behind its words for
    the flag of its lead, `high` is its row.
    """

    id: str
    label: str = ""
    used: bool = True
    fixed: bool = False
    name: str = ""
    room: float = 0.0
    high: float = PITCH


def box(
    tag: Tag, kind: Kind, *, left: Sequence[Socket] = (), right: Sequence[Socket] = ()
) -> Glyph:
    """A case with sockets on one or two sides, those at the left below. Places: their ids."""
    name = text(0, 0, tag.name, look.NAME, weight="bold", fill=look.INK)
    columns = max(_column_width(left), _column_width(right))
    broad = max(text_width(line, look.SMALL) for line in ("", *tag.lines))
    wide = max(name.width + 34, broad + 34, columns)
    head = HEAD + look.SMALL * look.LEADING * len(tag.lines)
    high = head + sum(socket.high for socket in (*left, *right)) + 4
    items: list[Item] = [
        *(_antennas(wide) if kind == "receiver" else ()),
        outline(rect_path(0, 0, wide, high, 5)),
        Path(rect_path(6, 5, 15, 15, 3), fill=look.PAPER, stroke=look.INK, width=0.8),
        *ICONS[kind],
        text(27, 15.5, tag.name, look.NAME, weight="bold", fill=look.INK),
    ]
    for row, line in enumerate(tag.lines):
        y = 25.5 + row * look.SMALL * look.LEADING
        items.append(text(27, y, line, look.SMALL, fill=look.SOFT_INK))
    places: dict[str, GlyphPlace] = {}
    items += _column(right, wide, 1, head, places)
    items += _column(left, 0.0, -1, head + sum(socket.high for socket in right), places)
    return part(tag, kind, items, places, "none")


def _column_width(sockets: Sequence[Socket]) -> float:
    widths = [
        text_width(s.id, look.SMALL, "bold")
        + text_width(s.label, look.SMALL)
        + s.room
        + (9 if s.fixed else STRIP)
        for s in sockets
    ]
    return max(widths, default=0) + 14


def _column(
    sockets: Sequence[Socket], edge: float, way: int, head: float, places: dict[str, GlyphPlace]
) -> list[Item]:
    """A strip of sockets at the case's edge; `way` 1 opens right, -1 left."""
    if not sockets:
        return []
    tall = sum(socket.high for socket in sockets if not socket.fixed) + 1
    start = edge - STRIP if way > 0 else edge
    strip = outline(rect_path(start, head - 1, STRIP, tall, 2.5), look.CASE, 0.8)
    items: list[Item] = [strip] if tall > 1 else []
    top = head
    for socket in sockets:
        y, top = top + PITCH / 2 - 0.5, top + socket.high
        items += _exit(socket, edge, way, y) if socket.fixed else _socket(socket, edge, way, y)
        out = PLUG[0] - 1 if socket.used and not socket.fixed else 0
        side: Side = "right" if way > 0 else "left"
        place = GlyphPlace(edge + way * out, y, side, _inward(socket, out) if socket.room else 0.0)
        places[socket.name or socket.id] = place
    return items


def _inward(socket: Socket, out: float) -> float:
    """How far from where its lead arrives the words of a socket end."""
    words = text_width(socket.id, look.SMALL, "normal" if socket.fixed else "bold")
    words += text_width(socket.label, look.SMALL) + (5 if socket.label else 0)
    return out + words + (9 if socket.fixed else STRIP + 4) + 4


def _exit(socket: Socket, edge: float, way: int, y: float) -> list[Item]:
    """A sleeve where a lead of the part's own comes out of the case."""
    sleeve = rect_path(edge - (5 if way > 0 else 0), y - 4, 5, 8, 1.5)
    side: Literal["start", "end"] = "end" if way > 0 else "start"
    words = text(edge - way * 9, y + 2.9, socket.id, look.SMALL, anchor=side, fill=look.SOFT_INK)
    return [outline(sleeve, look.CASE, 0.8), words]


def _socket(socket: Socket, edge: float, way: int, y: float) -> list[Item]:
    items: list[Item] = []
    for pin in range(3):
        spot = circle_path(edge - way * (3.6 + 5.2 * pin), y, 1.5)
        hole = Path(spot, stroke=look.PALE, width=0.7)
        items.append(Path(spot, fill=look.METAL) if socket.used else hole)
    if socket.used:
        items += plug_body(edge + way * (PLUG[0] - 1), y, faces=-way)
    ink = look.INK if socket.used else look.SOFT_INK
    inner = edge - way * (STRIP + 4)
    side: Literal["start", "end"] = "end" if way > 0 else "start"
    number = text(inner, y + 2.9, socket.id, look.SMALL, anchor=side, weight="bold", fill=ink)
    x = inner - way * (number.width + 5)
    label = text(x, y + 2.9, socket.label, look.SMALL, anchor=side, fill=look.SOFT_INK)
    return [*items, number, label] if socket.label else [*items, number]


def _antennas(wide: float) -> list[Item]:
    curls: list[Item] = []
    for x, lean in ((wide - 16, -7.0), (wide - 10, 7.0)):
        curve = (x, -9, x + lean, -8, x + lean * 1.5, -17)
        for width, color in ((2.4, look.INK), (1.2, look.PALE)):
            path = (("M", (x, 2)), ("C", curve))
            curls.append(Path(path, stroke=color, width=width, cap="round"))
    return curls


def _waves() -> list[Item]:
    items: list[Item] = [stroke([(13.5, 11), (13.5, 17)], 1.2)]
    for r in (2.6, 4.9):
        arc = (13.5 - r, 9 - r * 0.9, 13.5 + r, 9 - r * 0.9, 13.5 + r, 10)
        items.append(Path((("M", (13.5 - r, 10)), ("C", arc)), stroke=look.INK, width=0.9))
    return items


def _ring() -> Path:
    return Path(circle_path(13.5, 12.5, 5), stroke=look.INK, width=0.9)


ICONS: dict[Kind, list[Item]] = {
    "receiver": _waves(),
    "sequencer": [stroke([(9, 16.5), (9, 13), (13, 13), (13, 9.5), (18, 9.5)], 1.2)],
    "autopilot": [_ring(), stroke([(9.5, 14.5), (17.5, 10.5)], 1.1)],
    "stabiliser": [
        _ring(),
        stroke([(13.5, 7), (13.5, 18)], 0.9),
        stroke([(8, 12.5), (19, 12.5)], 0.9),
    ],
    "regulator": [
        stroke([(9, 10.5), (18, 10.5)], 1.2),
        *(stroke([(x, 14.5), (x + 2, 14.5)], 1.2) for x in (9, 12.5, 16)),
    ],
    "box": [Path(line_path([(9, 9), (18, 9), (18, 16), (9, 16)], closed=True), stroke=look.INK)],
}


def plug_body(x: float, y: float, *, faces: int = -1) -> list[Item]:
    """A three-pin plug whose wires leave at (x, y); it points left (-1) or right (1)."""
    wide, high = PLUG
    left = x if faces > 0 else x - wide
    tab = left + (wide - 4.2 if faces > 0 else 1.2)
    return [
        Path(
            rect_path(left, y - high / 2, wide, high, 1.4),
            fill=look.CASE,
            stroke=look.INK,
            width=look.THIN,
        ),
        Path(rect_path(tab, y - high / 2 + 2, 3.0, high - 4, 0.8), fill=look.SOFT_INK),
    ]


def housing(x: float, y: float, *, wide: float = 8.0) -> list[Item]:
    """The socket end of a lead, its left edge at (x, y)."""
    high = PLUG[1] + 2
    return [outline(rect_path(x, y - high / 2, wide, high, 1.6), look.SHADE, look.THIN + 0.2)]


def servo(tag: Tag, *, shaft: str = "left", where: Where = "right") -> Glyph:
    """A servo from above, its lead at the left; `shaft` left or right seen along the lead.

    Places: lead.
    """
    wide, high, ear = 38.0, 18.0, 5.5
    up = shaft != "right"
    reach = -12.0 if up else high + 12.0
    cx, cy = ear + wide - 11.0, high / 2
    items: list[Item] = [
        outline(rect_path(0, 2.5, wide + 2 * ear, high - 5, 1.6), look.SHADE, 0.8),
        outline(rect_path(ear, 0, wide, high, 2.2)),
        *(
            outline(circle_path(x, cy, 1.3), look.PAPER, look.THIN)
            for x in (ear / 2, wide + ear * 1.5)
        ),
        stroke([(ear + 5, 4), (ear + 5, high - 4)], 1.4, look.PALE),
        *_arm(cx, cy, reach),
    ]
    return part(tag, "servo", items, {"lead": GlyphPlace(0, cy, "left")}, where)


def _arm(cx: float, cy: float, tip: float) -> list[Item]:
    """A spline arm from the shaft at (cx, cy) to height `tip`, with its holes."""
    way = 1 if tip > cy else -1
    shape = line_path(
        [(cx - 4.4, cy), (cx - 2.2, tip - way * 2), (cx + 2.2, tip - way * 2), (cx + 4.4, cy)],
        closed=True,
    )
    end = tip - way * 2.4
    return [
        outline(circle_path(cx, cy, 6.4), look.SHADE, look.THIN),
        outline(circle_path(cx, end, 2.3), look.PAPER, 0.8),
        outline(shape, look.PAPER, 0.8),
        Path(circle_path(cx, end, 2.0), fill=look.PAPER),
        outline(circle_path(cx, cy, 4.4), look.PAPER, 0.8),
        Path(circle_path(cx, cy, 1.5), fill=look.INK),
        *(Path(circle_path(cx, end - way * d, 0.75), fill=look.INK) for d in (0.0, 4.4)),
    ]


def empty_housing(x: float, y: float, *, wide: float = 8.0) -> list[Item]:
    """A socket at the end of a lead with nothing in it: pale, its three contacts open."""
    high = PLUG[1] + 2
    shape = Path(
        rect_path(x, y - high / 2, wide, high, 1.6),
        fill=look.PAPER,
        stroke=look.SOFT_INK,
        width=look.THIN,
    )
    holes = (circle_path(x + wide - 3.0, y + d, 1.1) for d in (-3.4, 0.0, 3.4))
    return [shape, *(Path(hole, stroke=look.PALE, width=0.7) for hole in holes)]


def junction(
    tag: Tag,
    *,
    ways: int = 2,
    wires: Sequence[RibbonWire] = (RibbonWire("WH"), RibbonWire("RD"), RibbonWire("BK")),
    lanes: Sequence[Lanes] = (),
    free: Collection[int] = (),
    noted: Collection[int] = (),
    where: Where = "none",
    split: str = "",
) -> Glyph:
    """A Y-lead, or more ways: one trunk that parts into sockets, in its wires' colours.

    `lanes` says of each way where each wire of the trunk ends, for a way that swaps wires; `free`
    are the numbers of the ways with no plug in them, `noted` of those with a word at it: over
    the first, under the last. Places: plug (left), 1 to n (right, at the wires' end of the plug
    put in). `split`: at its plug, every way has come apart from there; at
    its end, the trunk reaches as far as the sockets.
    """
    high = PITCH * max(ways, 1)
    straight = tuple(range(len(wires)))
    every = [*lanes, *(straight for _ in range(ways - len(lanes)))]
    middle = high / 2
    mouth = 38.0 if all(way == straight for way in every) else 60.0
    start = {"plug": 0.0, "end": mouth - 18.0}.get(split, 8.0)
    apart = set_lanes(ways, len(wires)) if split == "plug" else [0.0] * ways
    items: list[Item] = []
    ends = [PITCH * (i + 0.5) for i in range(ways)]
    for number, (y, way) in enumerate(zip(ends, every, strict=True), 1):
        tail, head, name = (start, middle + apart[number - 1]), (mouth, y), f"{tag.id}/way-{number}"
        if way == straight:
            items.append(ribbon(name, bend(tail, head), wires, casing=None))
        else:
            items.append(_swapped(name, tail, head, wires, way))
        items += empty_housing(mouth, y) if number in free else housing(mouth, y)
        items += () if number in free else plug_body(mouth + 8 + PLUG[0], y)
    if split != "plug":
        trunk = bend((0, middle), (start, middle))
        items.append(ribbon(f"{tag.id}/trunk", trunk, wires, casing=None))
        case = rect_path(start - 3, middle - 5.2, 9, 10.4, 2.4)
        items.append(outline(case, look.CASE, look.THIN))
    outer = {ways: -1, 1: 1}
    places = {
        str(n): GlyphPlace(
            mouth + 8 + PLUG[0] * (n not in free),
            y,
            "right",
            above=NOTE_ABOVE * outer.get(n, 0) * (n in noted),
        )
        for n, y in enumerate(ends, 1)
    }
    places["plug"] = GlyphPlace(0, middle, "left")
    return part(tag, "lead", items, places, where)


def _swapped(name: str, tail: Point, head: Point, wires: Sequence[RibbonWire], way: Lanes) -> Group:
    """A branch whose wires change places, fanned out so that it shows; a lost wire stops."""
    middle = (len(wires) - 1) / 2
    items: list[Item] = []
    for number, (wire, lane) in enumerate(zip(wires, way, strict=True)):
        start = (tail[0], tail[1] + (number - middle) * CONTROL.pitch)
        if lane is None:
            spline = bend(start, (start[0] + 12, start[1]))
        else:
            y = head[1] + (lane - middle) * SPREAD
            spline = chained(
                [bend(start, (head[0] - 18, y)), bend((head[0] - 18, y), (head[0], y))]
            )
        items.append(ribbon(f"{name}.{number + 1}", spline, [wire], casing=None))
    return Group(name, tuple(items), ("swapped",))


def joint(tag: Tag, *, free: bool = False, noted: bool = False, where: Where = "none") -> Glyph:
    """An extension's joint: a socket and the plug put into it, if any. Places: left, right."""
    y = 6.0
    end = empty_housing(0, y, wide=9.0) if free else housing(0, y, wide=9.0)
    items = end if free else [*end, *plug_body(9 + PLUG[0], y)]
    places = {
        "left": GlyphPlace(0, y, "left"),
        "right": GlyphPlace(9 + PLUG[0] * (not free), y, "right", above=NOTE_ABOVE * noted),
    }
    return part(tag, "lead", items, places, where)


def two_plugs(tag: Tag, wires: Sequence[RibbonWire], names: tuple[str, str]) -> Glyph:
    """A lead with a plug at either end, from the one to the other. Places: the ends' names."""
    y = len(wires) * CONTROL.pitch / 2
    way = ((0.0, y), (8.0, y), (16.0, y), (24.0, y))
    places = {names[0]: GlyphPlace(0, y, "left"), names[1]: GlyphPlace(24, y, "right")}
    return part(tag, "lead", [ribbon(f"{tag.id}/wires", way, wires, casing=None)], places, "none")


def reverser(tag: Tag) -> Glyph:
    """An in-line reverser: a small box with two arrows turned about. Places: left, right."""
    wide, high = 30.0, 19.0
    items: list[Item] = [outline(rect_path(0, 0, wide, high, 3))]
    for y, way in ((6.4, 1), (12.6, -1)):
        tail, tip = (8.0, 22.0) if way > 0 else (22.0, 8.0)
        items.append(stroke([(tail, y), (tip, y)], 1.1))
        items.append(stroke([(tip - 3 * way, y - 2), (tip, y), (tip - 3 * way, y + 2)], 1.1))
    places = {"left": GlyphPlace(0, high / 2, "left"), "right": GlyphPlace(wide, high / 2, "right")}
    return part(tag, "reverser", items, places, "below")


def satellite(tag: Tag, *, where: Where = "right") -> Glyph:
    """A satellite receiver: a small case with two aerials crosswise. Places: lead."""
    items: list[Item] = [
        outline(rect_path(0, 0, 26, 20, 3), look.CASE),
        stroke([(26, 5), (37, 5)], 1.3),
        stroke([(13, 0), (13, -11)], 1.3),
        Path(circle_path(9, 10, 1.8), fill=look.INK),
    ]
    return part(tag, "satellite", items, {"lead": GlyphPlace(0, 10, "left")}, where)


def sensor(tag: Tag, *, where: Where = "right") -> Glyph:
    """A telemetry sensor: a small board that sends waves. Places: lead."""
    items: list[Item] = [
        outline(rect_path(0, 0, 26, 20, 3), look.BOARD),
        Path(circle_path(9, 10, 1.8), fill=look.INK),
    ]
    for r in (4.5, 8.0, 11.5):
        start: Point = (9 + r * 0.77, 10 - r * 0.64)
        arc = (9 + r * 1.1, 10 - r * 0.3, 9 + r * 1.1, 10 + r * 0.3, 9 + r * 0.77, 10 + r * 0.64)
        items.append(Path((("M", start), ("C", arc)), stroke=look.INK, width=0.9, cap="round"))
    return part(tag, "sensor", items, {"lead": GlyphPlace(0, 10, "left")}, where)


def retract(tag: Tag, *, motor_only: bool = False, where: Where = "right") -> Glyph:
    """A retract leg with its wheel; a bare-motor leg shows its gear motor. Places: lead."""
    items: list[Item] = [
        stroke([(33, 9), (42, 26)], 4.2),
        stroke([(33, 9), (42, 26)], 2.6, look.SHADE),
        outline(circle_path(43, 30, 8.2), look.CASE),
        outline(circle_path(43, 30, 3.4), look.SHADE, look.THIN),
        outline(rect_path(0, 0, 40, 17, 2.4)),
        outline(circle_path(33, 8.5, 3.2), look.PAPER, 0.8),
    ]
    if motor_only:
        items.append(outline(rect_path(4, 4, 19, 9, 4.4), look.SHADE, 0.8))
        items.append(text(13.5, 11.2, "M", look.SMALL, anchor="middle", fill=look.INK))
    else:
        items += [stroke([(5 + 4 * i, 4), (5 + 4 * i, 13)], 0.8, look.PALE) for i in range(5)]
    return part(tag, "retract", items, {"lead": GlyphPlace(0, 8.5, "left")}, where)


def load(tag: Tag, kind: str = "other", *, where: Where = "right") -> Glyph:
    """What only draws current (IEC 60617): a crossed circle for a lamp, else a case. Places: lead.

    A radio is a board with an aerial.
    """
    items: list[Item] = [outline(rect_path(0, 0, 26, 18, 2), look.BODY)]
    if kind == "light":
        lines = [[(2.6, 2.6), (15.4, 15.4)], [(2.6, 15.4), (15.4, 2.6)]]
        items = [outline(circle_path(9, 9, 9)), *(stroke(line) for line in lines)]
    elif kind == "radio":
        lines = [[(20, 9), (20, -12)], [(15.5, -12), (20, -5), (24.5, -12)]]
        chip = outline(rect_path(4.5, 5, 9, 8, 1), look.SHADE, look.THIN)
        board = outline(rect_path(0, 0, 26, 18, 2), look.BOARD)
        items = [board, *(stroke(line) for line in lines), chip]
    return part(tag, "load", items, {"lead": GlyphPlace(0, 9, "left")}, where)
