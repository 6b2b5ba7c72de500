"""A soft aeroplane behind the airframe view, drawn round the parts of each of its halves."""

from __future__ import annotations

from collections.abc import Sequence

from harness.diagram.airframe_positions import LEFT, MIDDLE, RIGHT, Stance, has_tail
from harness.diagram.stages import PartsSheet
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.scene import Command, Group, Path, Point

SKIN, EDGE_INK = "#F3F5F7", "#D5DDE2"
ROOM = 10.0  # between parts and skin, points
ROUND = 26.0


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
        shapes.append(_wing(top, low, x0, 1.0, laid))
        shapes.append(_wing(top, low, x1, laid.width - 1.0, laid))
    if has_tail(stance.plan):
        shapes.append(_tailplane(x0, x1, laid))
    shapes.append(_body(x0, x1, laid))
    return [Group("silhouette", tuple(_skin(shape) for shape in shapes), ("silhouette",))]


def _around(sheet: PartsSheet, laid: Laid, stance: Stance, block: int) -> Rect | None:
    rects = [
        laid.nodes[name].rect
        for name, piece in sheet.pieces.items()
        if stance.spots[piece.part].block == block
    ]
    if not rects:
        return None
    left, top = min(r.x for r in rects), min(r.y for r in rects)
    right, low = max(r.x + r.width for r in rects), max(r.y + r.height for r in rects)
    return Rect(left, top, right - left, low - top)


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


def _body(x0: float, x1: float, laid: Laid) -> list[Point]:
    return [(x0, 1.0), (x1, 1.0), (x1, laid.height - 1.0), (x0, laid.height - 1.0)]


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
