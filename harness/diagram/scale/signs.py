"""Small signs for the airframe to scale: parts, plugs, the soft outline, the scale bar."""

from __future__ import annotations

from collections.abc import Iterator

from harness.diagram.airframe_positions import has_tail
from harness.diagram.scale.frame import MM, Frame
from harness.diagram.silhouette import EDGE_INK, SKIN, softened
from harness.drawing import look
from harness.drawing.layout_model import Rect
from harness.drawing.scene import Group, Item, Path, Point, circle_path, rect_path, text
from harness.parts.part import Part
from harness.plan.plan import Plan

PLUG = 2.3  # radius of a plug's sign, points
SKIN_ROOM = 6.0  # from a place to the soft outline round it, points
TAPER = 0.7  # of a wing's outline at its tip
BAR = 90.0  # about how long the scale bar is, points
NICE = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000)


def sign(part: Part, at: Point, title: str, *, behind: bool) -> Group:
    """Return the sign of a part; a motor has its propeller before it, a pusher `behind` it."""
    items = tuple(part.sign(*at, backwards=behind))
    return Group(f"there-{part.id}", items, ("there",), title)


def plug_sign(at: Point, ident: str, title: str) -> Group:
    """A dot on a run where two of its leads meet."""
    dot = Path(circle_path(*at, PLUG), fill=look.CASE, stroke=look.PAPER, width=0.8)
    return Group(ident, (dot,), ("plug-there",), title)


def outline(plan: Plan, frame: Frame) -> Group:
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
            shapes.append(_wing(rect, sides[name], axis))
        elif name in sides:
            shapes.append(_capsule(rect))
    if middle:
        shapes += [*(_tailplane(middle, frame) if has_tail(plan) else ()), _body(middle, axis)]
    paths = (Path(softened(s), fill=SKIN, stroke=EDGE_INK, width=1.0) for s in shapes)
    return Group("outline", tuple(paths), ("silhouette",))


def _axis(middle: list[Rect]) -> float:
    return sum(rect.center[0] for rect in middle) / len(middle) if middle else 0.0


def _wing(rect: Rect, side: str, axis: float) -> list[Point]:
    """A panel round its place, a little deeper at the root, drawn on into the body."""
    top, low = rect.y - SKIN_ROOM, rect.y + rect.height + SKIN_ROOM
    tip = rect.x - SKIN_ROOM if side == "left" else rect.x + rect.width + SKIN_ROOM
    root = axis or (rect.x + rect.width if side == "left" else rect.x)
    ease = SKIN_ROOM / TAPER
    return [(root, top - ease), (tip, top), (tip, low), (root, low + ease)]


def _capsule(rect: Rect) -> list[Point]:
    x0, x1 = rect.x - 3, rect.x + rect.width + 3
    y0, y1 = rect.y - SKIN_ROOM, rect.y + rect.height + SKIN_ROOM
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def _tailplane(middle: list[Rect], frame: Frame) -> Iterator[list[Point]]:
    """A sign of a tailplane at the last place, where there are several."""
    last = max(middle, key=lambda rect: rect.y + rect.height)
    if len(middle) < 2:
        return
    span = max(rect.x + rect.width for rect in frame.places.values()) - min(
        rect.x for rect in frame.places.values()
    )
    reach = max(span * 0.14, last.width)
    axis, low = last.center[0], last.y + last.height
    top = low - max(last.height * 0.55, 14.0)
    yield [(axis, top - 6), (axis + reach, top + 4), (axis + reach, low), (axis, low + 4),
           (axis - reach, low), (axis - reach, top + 4)]  # fmt: skip


def _body(middle: list[Rect], axis: float) -> list[Point]:
    """The body round the places on the centre line, from the nose down one side and up again."""
    ordered = sorted(middle, key=lambda rect: (rect.y, rect.width))
    half = [(y, rect.width / 2 + SKIN_ROOM) for rect in ordered
            for y in (rect.y, rect.y + rect.height)]  # fmt: skip
    first, last = half[0], max(half)
    side = sorted(half)
    nose = (first[0] - 2 * SKIN_ROOM, first[1] * 0.55)
    tail = (last[0] + SKIN_ROOM, last[1] * 0.8)
    rims = [nose, *side, tail]
    return [(axis + wide, y) for y, wide in rims] + [(axis - wide, y) for y, wide in rims[::-1]]


def scale_bar(frame: Frame) -> tuple[Group, float, float]:
    """Return a bar of a round number of millimetres, with its width and height."""
    each = MM / frame.scale
    whole = max((n for n in NICE if n * each <= BAR), default=NICE[0])
    wide = whole * each
    halves = [(0.0, look.INK), (wide / 2, look.PAPER)]
    items: list[Item] = [
        Path(rect_path(12 + x, 6, wide / 2, 5), fill=fill, stroke=look.INK, width=0.8)
        for x, fill in halves
    ]
    for share, words in ((0.0, "0"), (1.0, f"{whole} mm")):
        items.append(text(12 + share * wide, 21, words, look.SMALL, anchor="middle", fill=look.INK))
    last = items[-1]
    broad = max(bounds_right(last), 12 + wide) + 4
    return Group("scale-bar", tuple(items), ("scale-bar",), f"{whole} mm to scale"), broad, 26.0


def bounds_right(item: Item) -> float:
    """Return the right end of one item."""
    from harness.drawing.scene import bounds

    return bounds([item])[2]
