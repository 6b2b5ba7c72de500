"""A soft aeroplane behind the airframe view, round the parts of each half, or round the places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from harness.diagram.airframe import LEFT, MIDDLE, RIGHT, Stance, has_tail
from harness.diagram.scale_frame import Frame
from harness.diagram.stages import PartsSheet
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.scene import Command, Group, Path, Point
from harness.plan.plan import Plan

SKIN, EDGE_INK = "#F3F5F7", "#D5DDE2"
ROOM = 10.0  # between parts and skin, points
ROUND = 26.0
PLACE_ROOM = 6.0  # from a place drawn to scale to the soft outline round it, points
TAPER = 0.7  # of a wing's outline at its tip


def silhouette(sheet: PartsSheet, laid: Laid, stance: Stance) -> list[Group]:
    """Return wings, then tail, then body, each round what is in it."""
    body = _around(sheet, laid, stance, MIDDLE)
    if body is None:
        return []
    x0, x1 = max(body.x - ROOM, 1.0), min(body.x + body.width + ROOM, laid.width - 1.0)
    left, right = (_around(sheet, laid, stance, block) for block in (LEFT, RIGHT))
    shapes: list[list[Point]] = []
    if one := left or right:
        other = right or one
        top = min(one.y, other.y)
        low = max(one.y + one.height, other.y + other.height)
        ends = ((x0, 1.0), (x1, laid.width - 1.0))
        shapes += [_wing(top, low, root, tip, laid) for root, tip in ends]
    if has_tail(stance.plan):
        shapes.append(_tailplane(x0, x1, laid))
    shapes.append([(x0, 1.0), (x1, 1.0), (x1, laid.height - 1.0), (x0, laid.height - 1.0)])
    return [Group("silhouette", tuple(_skin(shape) for shape in shapes), ("silhouette",))]


def _around(sheet: PartsSheet, laid: Laid, stance: Stance, block: int) -> Rect | None:
    inside = (n for n, piece in sheet.pieces.items() if stance.spots[piece.part].block == block)
    boxes = [laid.nodes[name].rect.box for name in inside]
    if not boxes:
        return None
    lefts, tops, rights, lows = zip(*boxes, strict=True)
    return Rect(min(lefts), min(tops), max(rights) - min(lefts), max(lows) - min(tops))


def _wing(top: float, low: float, root: float, tip: float, laid: Laid) -> list[Point]:
    top, low = max(top - 2 * ROOM, 1.0), min(low + 2 * ROOM, laid.height - 1.0)
    sweep = min(2.2 * ROOM, top - 1.0)
    return [(root, top - sweep), (tip, top), (tip, low), (root, min(low + ROOM, laid.height - 1))]


def _tailplane(x0: float, x1: float, laid: Laid) -> list[Point]:
    low = laid.height - 1.0
    reach = min(90.0, x0 - 1.0, laid.width - 1.0 - x1)
    if reach < 2 * ROOM:
        reach = 0.0
    top = low - 70.0
    return [(x0 - reach, top + 12), (x0, top), (x1, top), (x1 + reach, top + 12),
            (x1 + reach, low - 8), (x0 - reach, low - 8)]  # fmt: skip


def _skin(points: Sequence[Point]) -> Path:
    return Path(softened(points), fill=SKIN, stroke=EDGE_INK, width=1.0)


def softened(points: Sequence[Point]) -> tuple[Command, ...]:
    """A closed shape with round corners."""
    commands: list[Command] = []
    for index, corner in enumerate(points):
        before, after = points[index - 1], points[(index + 1) % len(points)]
        enter, leave = _near(corner, before), _near(corner, after)
        commands.append(("L" if commands else "M", enter))
        commands.append(("C", (*_mid(enter, corner), *_mid(leave, corner), *leave)))
    return (*commands, ("Z", ()))


def _near(corner: Point, other: Point) -> Point:
    dx, dy = other[0] - corner[0], other[1] - corner[1]
    size = (dx * dx + dy * dy) ** 0.5
    share = min(ROUND / size, 0.5) if size else 0.0
    return corner[0] + dx * share, corner[1] + dy * share


def _mid(a: Point, b: Point) -> Point:
    return a[0] + (b[0] - a[0]) * 0.6, a[1] + (b[1] - a[1]) * 0.6


def outline_to_scale(plan: Plan, frame: Frame) -> Group:
    """Return a soft aeroplane round the places: wings, tail, body. Only the places are to scale."""
    sides = {
        name: side
        for name in frame.places
        if (side := next(filter(None, (plan.places[p].side for p in plan.holds(name))), ""))
    }
    middle = [rect for name, rect in frame.places.items() if name not in sides]
    shapes: list[list[Point]] = []
    axis = _axis(middle)
    for name, rect in frame.places.items():
        if name in sides and plan.places[name].joins:
            shapes.append(_panel(rect, sides[name], axis))
        elif name in sides:
            shapes.append(_capsule(rect))
    if middle:
        shapes += [*(_tail_sign(middle, frame) if has_tail(plan) else ()), _hull(middle, axis)]
    return Group("outline", tuple(_skin(shape) for shape in shapes), ("silhouette",))


def _axis(middle: list[Rect]) -> float:
    return sum(rect.center[0] for rect in middle) / len(middle) if middle else 0.0


def _panel(rect: Rect, side: str, axis: float) -> list[Point]:
    """A panel round its place, a little deeper at the root, drawn on into the body."""
    left, top, right, low = rect.box
    tip = left - PLACE_ROOM if side == "left" else right + PLACE_ROOM
    root = axis or (right if side == "left" else left)
    top, low = top - PLACE_ROOM, low + PLACE_ROOM
    ease = PLACE_ROOM / TAPER
    return [(root, top - ease), (tip, top), (tip, low), (root, low + ease)]


def _capsule(rect: Rect) -> list[Point]:
    left, top, right, low = rect.box
    x0, x1, y0, y1 = left - 3, right + 3, top - PLACE_ROOM, low + PLACE_ROOM
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _tail_sign(middle: list[Rect], frame: Frame) -> Iterator[list[Point]]:
    """A sign of a tailplane at the last place, where there are several."""
    last = max(middle, key=lambda rect: rect.y + rect.height)
    if len(middle) < 2:
        return
    lefts, _, rights, _ = zip(*(rect.box for rect in frame.places.values()), strict=True)
    reach = max((max(rights) - min(lefts)) * 0.14, last.width)
    axis, low = last.center[0], last.y + last.height
    top = low - max(last.height * 0.55, 14.0)
    yield [(axis, top - 6), (axis + reach, top + 4), (axis + reach, low), (axis, low + 4),
           (axis - reach, low), (axis - reach, top + 4)]  # fmt: skip


def _hull(middle: list[Rect], axis: float) -> list[Point]:
    """The body round the places on the centre line, from the nose down one side and up again."""
    ordered = sorted(middle, key=lambda rect: (rect.y, rect.width))
    half = [(y, rect.width / 2 + PLACE_ROOM) for rect in ordered
            for y in (rect.y, rect.y + rect.height)]  # fmt: skip
    first, last = half[0], max(half)
    nose = (first[0] - 2 * PLACE_ROOM, first[1] * 0.55)
    tail = (last[0] + PLACE_ROOM, last[1] * 0.8)
    rims = [nose, *sorted(half), tail]
    return [(axis + wide, y) for y, wide in rims] + [(axis - wide, y) for y, wide in rims[::-1]]
