"""Places: their tinted shapes, and their names where nothing covers them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from harness.diagram.part_words import spoken_id
from harness.diagram.room import FreeRoom
from harness.diagram.stages import PartsSheet
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.marks import zone
from harness.drawing.scene import Group, Item, Point, bounds, text, walk
from harness.plan.plan import Plan
from harness.rules.run import Report

GAP = 8.0
NAME_HIGH = 9.0  # of a place's name, points: capitals only
LEAD = 5.5  # from the middle of a lead to what must not touch it
BELOW = 1.0  # what tails of letters take below that
NOSE = frozenset({"nose", "front", "cowl", "cowling", "spinner", "bow"})
TAIL = frozenset({"tail", "fin", "rear", "aft", "stabiliser", "stabilizer", "empennage", "stern"})
FUSELAGE = frozenset({"fuselage", "body", "hull", "pod", "cabin"})
TINTS: Mapping[str, int] = {"left": 3, "right": 2, "tail": 4, "nose": 1, "fuselage": 0}
"""Of `base.colours.ZONES`, the same in every plan; left reddish, right greenish, as the flags."""
OTHER_TINTS = (5, 6, 7)


def zones_of(report: Report, sheet: PartsSheet, laid: Laid) -> list[Group]:
    """Return the tinted places, then their names where nothing covers them."""
    order = list(report.plan.places)
    room = FreeRoom(laid.width, laid.height - BELOW)
    room.cover(_drawn(sheet, laid))
    room.cover_lines(laid.edges.values(), 5.0)
    shapes: dict[str, list[Item]] = {}
    names: list[Group] = []
    for key in sorted(laid.clusters, key=lambda k: order.index(_place(k))):
        place = _place(key)
        words, rect = _zone_name(key, laid, room, report.plan)
        tint = tint_of(report.plan, place)
        shapes.setdefault(place, []).extend(zone("", rect, "", tint).items)
        names.append(words)
    tinted = [Group(f"place-{place}", tuple(items), ("place",), spoken_id(place))
              for place, items in shapes.items()]  # fmt: skip
    return [*tinted, *names]


def _place(key: str) -> str:
    """Return the place that a patch, or a zone, belongs to."""
    return key.partition("/")[0]


def tint_of(plan: Plan, place: str) -> int:
    """Return which soft tint a place has: by its side, by what it is called, else by its order."""
    known = [_usual(plan, name) for name in plan.places]
    mine = list(plan.places).index(place)
    if known[mine] >= 0:
        return known[mine]
    return OTHER_TINTS[known[:mine].count(-1) % len(OTHER_TINTS)]


def _usual(plan: Plan, place: str) -> int:
    """Return the tint of a wing half, tail, nose or fuselage; -1 for another place."""
    words = {*place.lower().replace("_", "-").split("-")}
    kinds = {"tail": TAIL, "nose": NOSE, "fuselage": FUSELAGE}
    called = next((kind for kind, names in kinds.items() if words & names), "")
    return TINTS.get(plan.places[place].side or called, -1)


def name_width(place: str) -> float:
    """Return the breadth of a place's name, with what stays free beside it, points."""
    return text_width(spoken_id(place).upper(), look.SMALL, "bold") + 4


def corner(glyph: Glyph, place: str) -> Point | None:
    """Return where the name of a place finds room beside a picture, in its own rectangle."""
    room = FreeRoom(glyph.width, glyph.height)
    for item in walk(glyph.group.items):
        if not isinstance(item, Group):
            left, top, right, low = bounds([item])
            room.cover([Rect(left - 1.5, top - 1.5, right - left + 3, low - top + 3)])
    for at in glyph.places.values():
        left, wide = (0.0, at.x) if at.side == "left" else (at.x, glyph.width - at.x)
        room.cover([Rect(left, at.y - LEAD, wide, 2 * LEAD)])
    whole = Rect(0, 0, glyph.width, glyph.height)
    return next(room.spots(name_width(place), NAME_HIGH + 1, whole), None)


def _drawn(sheet: PartsSheet, laid: Laid) -> Iterator[Rect]:
    """Yield what pictures and their flags cover, each by itself: corners beside flags are free."""
    for name, piece in sheet.pieces.items():
        here = laid.nodes[name].rect
        for item in piece.glyph.group.items:
            left, top, right, low = bounds([item])
            yield Rect(here.x + left - 1, here.y + top - 1, right - left + 2, low - top + 2)


def _zone_name(key: str, laid: Laid, room: FreeRoom, plan: Plan) -> tuple[Group, Rect]:
    """Return a place's name inside it, or in a strip added to it, and its shape.

    A name for which there is no room is shortened to the breadth of its place.
    """
    zones = laid.clusters
    shown, rect = spoken_id(_place(key)).upper(), zones[key]
    if key in laid.names:
        x, y = laid.names[key]
        brief = look.shortened(shown, look.SMALL, rect.x + rect.width - x - 4, "bold")
        return _name(x, y, brief), rect
    others = [z for other, z in zones.items() if _place(other) not in plan.holds(_place(key))]
    brief = look.shortened(shown, look.SMALL, rect.width - GAP, "bold")
    for words in dict.fromkeys((shown, brief)):
        wide = text_width(words, look.SMALL, "bold") + 4
        if found := _name_spot(rect, wide, room, others):
            (x, y), shape = found
            room.cover([Rect(x, y, wide, NAME_HIGH)])
            return _name(x, y, words), shape
    return Group("", (), ("place-name",)), rect


def _name(x: float, y: float, words: str) -> Group:
    inked = text(x + 2, y + 7.5, words, look.SMALL, weight="bold", fill=look.SOFT_INK)
    return Group("", (inked,), ("place-name",))


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
