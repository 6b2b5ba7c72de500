"""A lead as what it is: parallel wires in their own insulation colours."""

from collections.abc import Sequence
from typing import Literal

from harness.base.data import dataclass
from harness.drawing.bezier import Spline, along, cut, joined, length, offset, straight
from harness.drawing.bezier import curves as curves_of
from harness.drawing.look import INK, PAPER, insulation
from harness.drawing.scene import Group, Item, Path, Point, line_path, spline_path

End = Literal["", "tail", "head"]


@dataclass(frozen=True, slots=True)
class Gauge:
    """How wires are drawn, points: insulation, dark outline on either side, gap between."""

    wire: float
    outline: float
    gap: float = 0.0
    twisted: bool = False

    @property
    def pitch(self) -> float:
        """Distance between neighbouring wires; without a gap they share one outline."""
        return self.wire + self.outline * (2 if self.gap else 1) + self.gap


CONTROL = Gauge(1.7, 0.45)
BALANCE = Gauge(1.0, 0.35)
TWISTED = Gauge(1.7, 0.45, twisted=True)
POWER = Gauge(3.0, 0.5, 0.5)
MOTOR = Gauge(2.1, 0.4, 0.7)


@dataclass(frozen=True, slots=True)
class RibbonWire:
    """One wire: IEC 60757 colour, and the end at which its pin is pulled."""

    code: str
    pulled: End = ""


CORE = "#F6C4C6"
"""Along the middle of a red wire: in grey print red and black are alike but for it."""
PULL_START = 13.0  # the colour stops this far from the plug, points
PULL_STUB = 2.0  # what stays at the plug


TURN = 7.0  # from turn to turn of twisted wires, points
MOST_SETS = 4
"""No more are drawn: a lead of many ways would be a page of wires."""
SETS_APART = 1.8
"""Points between like sets of wires side by side."""


def ribbon_width(count: int, gauge: Gauge = CONTROL, sets: int = 1) -> float:
    """Breadth of a ribbon of `count` wires, outlines included, points; of like sets of them."""
    one = (count - 1) * gauge.pitch + gauge.wire + 2 * gauge.outline
    return sets * one + (sets - 1) * SETS_APART


def set_lanes(ways: int, count: int, gauge: Gauge = CONTROL) -> list[float]:
    """How far the set of wires of each way lies from the middle of them all, points."""
    pitch, sets = ribbon_width(count, gauge) + SETS_APART, min(ways, MOST_SETS)
    return [(way * sets // ways - (sets - 1) / 2) * pitch for way in range(ways)]


def ribbon(
    ident: str,
    spline: Spline,
    wires: Sequence[RibbonWire],
    *,
    gauge: Gauge = CONTROL,
    title: str = "",
    classes: tuple[str, ...] = (),
    casing: str | None = PAPER,
    sets: int = 1,
) -> Group:
    """A lead along a spline; the first wire lies left of travel. `casing` clears a crossing.

    `sets`: how many like sets of wires run side by side.
    """
    items: list[Item] = []
    if casing:
        width = ribbon_width(len(wires), gauge, sets) + 2.4
        items.append(Path(spline_path(spline), stroke=casing, width=width, opacity=0.85))
    for beside in set_lanes(sets, len(wires), gauge):
        for index, wire in enumerate(wires):
            lane = offset(spline, beside + (index - (len(wires) - 1) / 2) * gauge.pitch)
            items.extend(_wire(lane, wire, gauge))
    if gauge.twisted:
        items += _turns(spline, ribbon_width(len(wires), gauge, sets) / 2)
    return Group(ident, tuple(items), ("lead", *classes), title)


def _turns(spline: Spline, reach: float) -> list[Item]:
    """Slanted strokes over a ribbon: its wires go round each other."""
    items, total = list[Item](), length(spline)
    for turn in range(1, int(total / TURN)):
        (x, y), (dx, dy) = along(spline, turn * TURN)
        ends = [(x + s * (2.2 * dx - reach * dy), y + s * (2.2 * dy + reach * dx)) for s in (-1, 1)]
        items.append(Path(line_path(ends), stroke=INK, width=0.7, cap="round"))
    return items


def _wire(lane: Spline, wire: RibbonWire, gauge: Gauge) -> list[Item]:
    if not wire.pulled:
        return _strokes(lane, wire.code, gauge)
    total = length(lane)
    near, far = min(PULL_STUB, total / 4), min(PULL_START, total / 2)
    kept, stub, end, empty = (far, total), (0.0, near), far, (near + far) / 2
    if wire.pulled == "head":
        kept, stub = (0.0, total - far), (total - near, total)
        end, empty = total - end, total - empty
    return [
        *_strokes(cut(lane, *kept), wire.code, gauge),
        *_strokes(cut(lane, *stub), "GY", gauge),
        _bar(lane, end, gauge),
        *_cross(lane, empty, gauge),
    ]


def _strokes(lane: Spline, code: str, gauge: Gauge) -> list[Item]:
    commands = spline_path(lane)
    ground, *tracers = insulation(code)
    items: list[Item] = [
        Path(commands, stroke=INK, width=gauge.wire + 2 * gauge.outline),
        Path(commands, stroke=ground, width=gauge.wire),
    ]
    if code == "RD":
        items.append(Path(commands, stroke=CORE, width=gauge.wire * 0.28))
    for tracer in tracers:
        items.append(Path(commands, stroke=tracer, width=gauge.wire * 0.5, dash=(5.0, 5.0)))
    return items


def _bar(lane: Spline, distance: float, gauge: Gauge) -> Path:
    """A short bar across the wire where it ends."""
    (x, y), (dx, dy) = along(lane, distance)
    reach = gauge.wire / 2 + gauge.outline + 0.8
    bar = [(x - dy * reach, y + dx * reach), (x + dy * reach, y - dx * reach)]
    return Path(line_path(bar), stroke=INK, width=1.1, cap="round")


def _cross(lane: Spline, distance: float, gauge: Gauge) -> list[Item]:
    """A cross in the gap, which says that the pin is taken out and not that the wire is white."""
    (x, y), _ = along(lane, distance)
    reach = gauge.wire / 2 + gauge.outline + 1.1
    corners = [
        ((x - reach, y - reach), (x + reach, y + reach)),
        ((x - reach, y + reach), (x + reach, y - reach)),
    ]
    strokes = [(PAPER, 2.6), (INK, 1.1)]
    return [
        Path(line_path(corner), stroke=color, width=width, cap="round")
        for color, width in strokes
        for corner in corners
    ]


def chained(splines: Sequence[Spline]) -> Spline:
    """Splines end to end as one, gaps bridged by straight lines (through a flag, say)."""
    pieces = curves_of(splines[0])
    for spline in splines[1:]:
        if pieces[-1][3] != spline[0]:
            pieces += curves_of(straight([pieces[-1][3], spline[0]]))
        pieces += curves_of(spline)
    return joined(pieces)


def bend(start: Point, end: Point) -> Spline:
    """A soft S from left to right that leaves and arrives level."""
    middle = (start[0] + end[0]) / 2
    return start, (middle, start[1]), (middle, end[1]), end
