"""Boxes with sockets: receiver, sequencer, autopilot, stabiliser, regulator."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace, Tag, outline, part, stroke
from harness.drawing.glyphs_control import PITCH, PLUG, plug_body
from harness.drawing.layout_model import Side
from harness.drawing.scene import Item, Path, circle_path, line_path, rect_path, text

Kind = Literal["receiver", "sequencer", "autopilot", "stabiliser", "regulator", "box"]
HEAD = 24.0
STRIP = 18.0


@dataclass(frozen=True, slots=True)
class Socket:
    """One socket: the number or name on the case, what it does, whether a plug is in it.

    A `fixed` one is no socket: a lead of the part's own comes out of the case there. `name` is
    the place's name when it is not the `id` that is shown.
    """

    id: str
    label: str = ""
    used: bool = True
    fixed: bool = False
    name: str = ""


def receiver(tag: Tag, sockets: Sequence[Socket]) -> Glyph:
    """A receiver, its sockets on the right. Places: the sockets' ids."""
    return box(tag, "receiver", right=sockets)


def box(
    tag: Tag, kind: Kind, *, left: Sequence[Socket] = (), right: Sequence[Socket] = ()
) -> Glyph:
    """A case with sockets on one or two sides. Places: the sockets' ids."""
    name = text(0, 0, tag.name, look.NAME, weight="bold", fill=look.INK)
    columns = _column_width(left) + _column_width(right)
    wide = max(name.width + 34, *(_line_width(line) for line in ("", *tag.lines)), columns + 6)
    head = HEAD + look.SMALL * look.LEADING * len(tag.lines)
    high = head + PITCH * max(len(left), len(right), 0) + 4
    items: list[Item] = [*_antennas(wide, kind), outline(rect_path(0, 0, wide, high, 5))]
    items += [*_icon(kind), text(27, 15.5, tag.name, look.NAME, weight="bold", fill=look.INK)]
    for row, line in enumerate(tag.lines):
        y = 25.5 + row * look.SMALL * look.LEADING
        items.append(text(27, y, line, look.SMALL, fill=look.SOFT_INK))
    places: dict[str, GlyphPlace] = {}
    for sockets, edge, way in ((left, 0.0, -1), (right, wide, 1)):
        items += _column(sockets, edge, way, head, places)
    return part(tag, kind, items, places, "none")


def _line_width(line: str) -> float:
    return text_width(line, look.SMALL) + 34


def _column_width(sockets: Sequence[Socket]) -> float:
    widths = [
        text_width(s.id, look.SMALL, "bold") + text_width(s.label, look.SMALL) for s in sockets
    ]
    return max(widths, default=0) + (STRIP + 18 if sockets else 0)


def _column(
    sockets: Sequence[Socket], edge: float, way: int, head: float, places: dict[str, GlyphPlace]
) -> list[Item]:
    """A strip of sockets at the case's edge; `way` 1 opens right, -1 left."""
    if not sockets:
        return []
    count = sum(not socket.fixed for socket in sockets)
    tall = PITCH * count + 1
    start = edge - STRIP if way > 0 else edge
    strip = outline(rect_path(start, head - 1, STRIP, tall, 2.5), look.CASE, 0.8)
    items: list[Item] = [strip] if count else []
    for index, socket in enumerate(sockets):
        y = head + PITCH * (index + 0.5) - 0.5
        items += _exit(socket, edge, way, y) if socket.fixed else _socket(socket, edge, way, y)
        out = PLUG[0] - 1 if socket.used and not socket.fixed else 0
        side: Side = "right" if way > 0 else "left"
        places[socket.name or socket.id] = GlyphPlace(edge + way * out, y, side)
    return items


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
        if socket.used:
            items.append(Path(spot, fill=look.METAL))
        else:
            items.append(Path(spot, stroke=look.PALE, width=0.7))
    if socket.used:
        items += plug_body(edge + way * (PLUG[0] - 1), y, faces=-way)
    ink = look.INK if socket.used else look.SOFT_INK
    inner = edge - way * (STRIP + 4)
    side: Literal["start", "end"] = "end" if way > 0 else "start"
    number = text(inner, y + 2.9, socket.id, look.SMALL, anchor=side, weight="bold", fill=ink)
    x = inner - way * (number.width + 5)
    label = text(x, y + 2.9, socket.label, look.SMALL, anchor=side, fill=look.SOFT_INK)
    return [*items, number, label] if socket.label else [*items, number]


def _antennas(wide: float, kind: Kind) -> list[Item]:
    if kind != "receiver":
        return []
    curls: list[Item] = []
    for x, lean in ((wide - 16, -7.0), (wide - 10, 7.0)):
        curve = (x, -9, x + lean, -8, x + lean * 1.5, -17)
        for width, color in ((2.4, look.INK), (1.2, look.PALE)):
            curls.append(
                Path((("M", (x, 2)), ("C", curve)), stroke=color, width=width, cap="round")
            )
    return curls


def _icon(kind: Kind) -> list[Item]:
    frame = Path(rect_path(6, 5, 15, 15, 3), fill=look.PAPER, stroke=look.INK, width=0.8)
    return [frame, *ICONS[kind]]


def _steps() -> list[Item]:
    return [stroke([(9, 16.5), (9, 13), (13, 13), (13, 9.5), (18, 9.5)], 1.2)]


def _horizon() -> list[Item]:
    return [
        Path(circle_path(13.5, 12.5, 5), stroke=look.INK, width=0.9),
        stroke([(9.5, 14.5), (17.5, 10.5)], 1.1),
    ]


def _waves() -> list[Item]:
    items: list[Item] = [stroke([(13.5, 11), (13.5, 17)], 1.2)]
    for r in (2.6, 4.9):
        arc = (13.5 - r, 9 - r * 0.9, 13.5 + r, 9 - r * 0.9, 13.5 + r, 10)
        items.append(Path((("M", (13.5 - r, 10)), ("C", arc)), stroke=look.INK, width=0.9))
    return items


def _gyro() -> list[Item]:
    return [
        Path(circle_path(13.5, 12.5, 5), stroke=look.INK, width=0.9),
        stroke([(13.5, 7), (13.5, 18)], 0.9),
        stroke([(8, 12.5), (19, 12.5)], 0.9),
    ]


def _volts() -> list[Item]:
    return [
        stroke([(9, 10.5), (18, 10.5)], 1.2),
        *(stroke([(x, 14.5), (x + 2, 14.5)], 1.2) for x in (9, 12.5, 16)),
    ]


ICONS: dict[Kind, list[Item]] = {
    "receiver": _waves(),
    "sequencer": _steps(),
    "autopilot": _horizon(),
    "stabiliser": _gyro(),
    "regulator": _volts(),
    "box": [Path(line_path([(9, 9), (18, 9), (18, 16), (9, 16)], closed=True), stroke=look.INK)],
}
