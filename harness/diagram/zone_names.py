"""Places: their tinted shapes, and their names where nothing covers them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from harness.diagram.part_words import spoken_id
from harness.diagram.room import FreeRoom
from harness.diagram.stages import PartsSheet
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.marks import zone
from harness.drawing.scene import Group, Point, bounds, text
from harness.plan.plan import Plan
from harness.rules.run import Report

GAP = 8.0
NAME_HIGH = 9.0  # of a place's name, points: capitals only
BELOW = 1.0  # what tails of letters take below that
LEFT_TINT, RIGHT_TINT = 3, 2
"""Of `base.colours.ZONES`: left reddish, right greenish, as the flags of the labels."""
OTHER_TINTS = (0, 1, 4, 5, 6, 7)


def zones_of(report: Report, sheet: PartsSheet, laid: Laid) -> list[Group]:
    """Return the tinted places, then their names where nothing covers them."""
    order = list(report.plan.places)
    room = FreeRoom(laid.width, laid.height - BELOW)
    room.cover(_drawn(sheet, laid))
    room.cover_lines(laid.edges.values(), 5.0)
    shapes: list[Group] = []
    names: list[Group] = []
    for name in sorted(laid.clusters, key=order.index):
        words, rect = _zone_name(name, laid.clusters, room, report.plan)
        shapes.append(zone(f"place-{name}", rect, spoken_id(name), tint_of(report.plan, name)))
        names.append(words)
    return [*shapes, *names]


def tint_of(plan: Plan, place: str) -> int:
    """Return which soft tint a place has: the wings by their side, all others by their order."""
    side = plan.places[place].side
    if side:
        return LEFT_TINT if side == "left" else RIGHT_TINT
    others = [name for name, other in plan.places.items() if not other.side]
    return OTHER_TINTS[others.index(place) % len(OTHER_TINTS)]


def _drawn(sheet: PartsSheet, laid: Laid) -> Iterator[Rect]:
    """Yield what pictures and their flags cover, each by itself: corners beside flags are free."""
    for name, piece in sheet.pieces.items():
        here = laid.nodes[name].rect
        for item in piece.glyph.group.items:
            left, top, right, low = bounds([item])
            yield Rect(here.x + left - 1, here.y + top - 1, right - left + 2, low - top + 2)


def _zone_name(
    name: str, zones: Mapping[str, Rect], room: FreeRoom, plan: Plan
) -> tuple[Group, Rect]:
    """Return a place's name inside it, or in a strip added to it, and its shape.

    A name for which there is no room is shortened to the breadth of its place.
    """
    shown, rect = spoken_id(name).upper(), zones[name]
    others = [z for other, z in zones.items() if other not in plan.holds(name)]
    brief = look.shortened(shown, look.SMALL, rect.width - 2 * GAP, "bold")
    for words in dict.fromkeys((shown, brief)):
        wide = text_width(words, look.SMALL, "bold") + 4
        if found := _name_spot(rect, wide, room, others):
            (x, y), shape = found
            room.cover([Rect(x, y, wide, NAME_HIGH)])
            inked = text(x + 2, y + 7.5, words, look.SMALL, weight="bold", fill=look.SOFT_INK)
            return Group("", (inked,), ("place-name",)), shape
    return Group("", (), ("place-name",)), rect


def _name_spot(
    rect: Rect, wide: float, room: FreeRoom, others: Sequence[Rect]
) -> tuple[Point, Rect] | None:
    """Return where a name stands, and the shape its place has then."""
    for strip, grown in _strips(rect, wide):
        free = (s for s in room.spots(wide, NAME_HIGH, strip)
                if not any(Rect(*s, wide, NAME_HIGH).meets(zone) for zone in others))  # fmt: skip
        inside = strip.width <= rect.width
        spot = next(free, None) if inside else min(free, key=lambda s: _away(s, wide, rect),
                                                   default=None)  # fmt: skip
        if spot:
            return spot, grown
    return None


def _away(spot: Point, wide: float, rect: Rect) -> float:
    """Return how far a name stands from a place's edge."""
    x, y = spot
    across = max(rect.x - x - wide, x - rect.x - rect.width, 0.0)
    return across + max(rect.y - y - NAME_HIGH, y - rect.y - rect.height, 0.0)


def _strips(rect: Rect, wide: float) -> Iterator[tuple[Rect, Rect]]:
    """Yield where a place's name may stand, best first, each with the place's shape then."""
    across, tall = rect.width - 10, rect.height - 4
    yield Rect(rect.x + 6, rect.y + 1.5, min(wide + 6, across), NAME_HIGH + 6), rect
    yield Rect(rect.x + 6, rect.y + 2, across, NAME_HIGH + 3), rect
    above = Rect(rect.x + 2, rect.y - NAME_HIGH, rect.width - 4, NAME_HIGH)
    yield above, replace(rect, y=above.y, height=rect.height + NAME_HIGH)
    yield Rect(rect.x + 6, rect.y + 2, across, tall), rect
    below = Rect(rect.x + 2, rect.y + rect.height, rect.width - 4, NAME_HIGH)
    yield below, replace(rect, height=rect.height + NAME_HIGH)
    yield Rect(rect.x - 60, rect.y - 30, rect.width + 120, rect.height + 60), rect
