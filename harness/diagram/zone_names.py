"""Places: their tinted shapes, and their names where nothing covers them."""

from __future__ import annotations

from collections.abc import Mapping

from harness.diagram.part_words import spoken_id
from harness.diagram.room import FreeRoom
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph
from harness.drawing.layout_model import Laid, Rect
from harness.drawing.marks import zone
from harness.drawing.scene import Group, Item, Point, Text, bounds, text, walk
from harness.plan.plan import Plan
from harness.rules.run import Report

NAME_HIGH = 9.0  # of a place's name, points: capitals only
LEAD = 5.5  # from the middle of a lead to what must not touch it
NOSE = frozenset({"nose", "front", "cowl", "cowling", "spinner", "bow"})
TAIL = frozenset({"tail", "fin", "rear", "aft", "stabiliser", "stabilizer", "empennage", "stern"})
FUSELAGE = frozenset({"fuselage", "body", "hull", "pod", "cabin"})
TINTS: Mapping[str, int] = {"left": 3, "right": 2, "tail": 4, "nose": 1, "fuselage": 0}
"""Of `base.colours.ZONES`, the same in every plan; left reddish, right greenish, as the flags."""
OTHER_TINTS = (5, 6, 7)


def zones_of(report: Report, laid: Laid) -> list[Group]:
    """Return the tinted places, then their names where the layout kept room for them."""
    order = list(report.plan.places)
    shapes: dict[str, list[Item]] = {}
    names: list[Group] = []
    for key in sorted(laid.clusters, key=lambda k: order.index(_place(k))):
        place, rect = _place(key), laid.clusters[key]
        (x, y), shown = laid.names[key], spoken_id(place).upper()
        brief = look.shortened(shown, look.SMALL, rect.x + rect.width - x - 4, "bold")
        names.append(_name(x, y, brief))
        tint = tint_of(report.plan, place)
        shapes.setdefault(place, []).extend(zone("", rect, "", tint).items)
    tinted = [
        Group(f"place-{place}", tuple(items), ("place",), spoken_id(place))
        for place, items in shapes.items()
    ]
    return [*tinted, *names]


def _place(key: str) -> str:
    """Return the place that a patch, or a zone, belongs to: a name has no spaces."""
    return key.partition(" ")[0]


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
            if isinstance(item, Text):  # what follows in one line reads as one
                right = glyph.width
            room.cover([Rect(left - 1.5, top - 1.5, right - left + 3, low - top + 3)])
    for at in glyph.places.values():
        left, wide = (0.0, at.x) if at.side == "left" else (at.x, glyph.width - at.x)
        room.cover([Rect(left, at.y - LEAD, wide, 2 * LEAD)])
    whole = Rect(0, 0, glyph.width, glyph.height)
    return next(room.spots(name_width(place), NAME_HIGH + 1, whole), None)


def _name(x: float, y: float, words: str) -> Group:
    inked = text(x + 2, y + 7.5, words, look.SMALL, weight="bold", fill=look.SOFT_INK)
    return Group("", (inked,), ("place-name",))
