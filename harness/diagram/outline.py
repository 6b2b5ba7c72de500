"""The pale outline of the aeroplane behind the view from above: wings, tail, body."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from harness.diagram.from_above import Aeroplane
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Command, Group, Path, Point

SKIN, EDGE_INK = "#F3F5F7", "#D5DDE2"
ROUND = 26.0  # of corners, points
ROOM = 6.0  # from a place to the outline round it, points
TAPER = 0.7  # of a wing's outline at its tip
At = Callable[[Point], Point]


def body_width(plane: Aeroplane, y: float) -> float:
    """Return half the breadth of the body at a distance aft, mm; below 0 beyond its ends."""
    rims = sorted(
        (at, rect.width / 2) for rect in plane.middle for at in (rect.y, rect.y + rect.height)
    )
    if not rims or not rims[0][0] <= y <= rims[-1][0]:
        return -1e9
    after = next(n for n, (at, _) in enumerate(rims) if at >= y)
    (y0, w0), (y1, w1) = rims[max(after - 1, 0)], rims[after]
    return w0 + (w1 - w0) * (y - y0) / (y1 - y0) if y1 > y0 else w1


def outline(plane: Aeroplane, at: At, each: float, *, tail: bool) -> Group:
    """Return the outline; `tail`: with a tailplane."""
    room, shapes = ROOM / each, list[list[Point]]()
    shapes += [_panel(rect, side, room) for rect, side in plane.wings]
    known = {rect for rect, _ in plane.wings} | set(plane.middle)
    if plane.scaled:
        bays = [r for r in plane.places.values() if r not in known]
        shapes += [_box(rect, room) for rect in bays]
    if plane.middle:
        shapes += [*(_tailplane(plane, room) if tail else ()), _hull(plane, room)]
    paths = (
        Path(softened([at(p) for p in shape]), fill=SKIN, stroke=EDGE_INK, width=1.0)
        for shape in shapes
    )
    return Group("outline", tuple(paths), ("silhouette",))


def _box(rect: Rect, room: float) -> list[Point]:
    left, top, right, low = rect.grown(room).box
    return [(left, top), (right, top), (right, low), (left, low)]


def _panel(rect: Rect, side: str, room: float) -> list[Point]:
    """A panel round its place, a little deeper at the root, drawn on into the body."""
    left, top, right, low = rect.box
    tip = left - room if side == "left" else right + room
    ease = room / TAPER
    return [(0.0, top - 2 * ease), (tip, top - room), (tip, low + room), (0.0, low + 2 * ease)]


def _tailplane(plane: Aeroplane, room: float) -> Iterator[list[Point]]:
    """Round what sits in the tail, or a sign of one at the last place."""
    last = max(plane.middle, key=lambda rect: rect.y + rect.height)
    if len(plane.middle) < 2:
        return
    low, whole = last.y + last.height, plane.whole
    out = [abs(x) for n, (x, _) in plane.parts.items() if plane.region[n] == "tail"]
    reach = max(whole.width * 0.14, last.width, *(x + 3 * room for x in out), 0.0)
    top = low - max(last.height * 0.75, 2.3 * room)
    yield [
        (0.0, top - room),
        (reach, top),
        (reach, low),
        (0.0, low + room / 2),
        (-reach, low),
        (-reach, top),
    ]


def _hull(plane: Aeroplane, room: float) -> list[Point]:
    """The body round the places on the centre line, from the nose down one side and up again."""
    half = sorted(
        (y, rect.width / 2 + room) for rect in plane.middle for y in (rect.y, rect.y + rect.height)
    )
    (first, wide), (last, narrow) = half[0], half[-1]
    rims = [(first - 2 * room, wide * 0.55), *half, (last + room, narrow * 0.8)]
    return [(wide, y) for y, wide in rims] + [(-wide, y) for y, wide in rims[::-1]]


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
