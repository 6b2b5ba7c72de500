"""What is written over the parts: flags, finding markers, zones, legend, title block."""

from collections.abc import Mapping, Sequence
from math import cos, pi, sin
from typing import Literal

from harness.base.colours import SIDES, to_hex, zone_tint
from harness.base.data import dataclass
from harness.drawing import look
from harness.drawing.font import text_width
from harness.drawing.glyph import Glyph, GlyphPlace, Tag, outline, part
from harness.drawing.layout_model import Rect
from harness.drawing.scene import (
    Commands,
    Group,
    Item,
    Path,
    Point,
    circle_path,
    line_path,
    moved_group,
    rect_path,
    text,
)

Severity = Literal[
    "danger", "error", "warning", "note", "unknown", "ok", "moved", "new", "changed", "gone"
]
"""What a marker is about: how bad a finding is, or what became of a part since another plan."""
MARKER = 15.0  # breadth of a marker
FLAG_HEIGHT = 12.0
TITLE = 300.0  # breadth of the words in a title block, at most


def flag_width(code: str, *, sided: bool) -> float:
    """Breadth of a label, points."""
    return text_width(code, look.SMALL, "bold") + (12 if sided else 8)


def flag(
    ident: str, code: str, *, side: Literal["", "left", "right"] = "", title: str = ""
) -> Glyph:
    """A label wrapped round a lead; left red, right green edge. Places: left, right."""
    wide = flag_width(code, sided=bool(side))
    items: list[Item] = [outline(rect_path(0, 0, wide, FLAG_HEIGHT, 2), look.PAPER, 0.8)]
    if side:
        items.append(
            Path(rect_path(0.4, 0.4, 4.6, FLAG_HEIGHT - 0.8, 1.6), fill=to_hex(SIDES[side]))
        )
    x = wide - 4 if side else wide / 2
    items.append(
        text(
            x, 9, code, look.SMALL, anchor="end" if side else "middle", weight="bold", fill=look.INK
        )
    )
    y = FLAG_HEIGHT / 2
    places = {"left": GlyphPlace(0, y, "left"), "right": GlyphPlace(wide, y, "right")}
    return part(Tag(ident, "", (), title or code), "flag", items, places, "none")


def note_width(words: str) -> float:
    """Breadth of a word at a plug, points."""
    return text_width(words, look.SMALL, "bold") + 8


def note(ident: str, words: str, title: str = "") -> Glyph:
    """A word at a plug that no hand may overlook. Places: left, right."""
    wide, red = note_width(words), look.insulation("RD")[0]
    y = FLAG_HEIGHT / 2
    items: list[Item] = [
        Path(rect_path(0, 0, wide, FLAG_HEIGHT, 2), fill=look.PAPER, stroke=red, width=1.4),
        text(wide / 2, 9, words, look.SMALL, anchor="middle", weight="bold", fill=look.INK),
    ]
    places = {"left": GlyphPlace(0, y, "left"), "right": GlyphPlace(wide, y, "right")}
    return part(Tag(ident, "", (), title or words), "note", items, places, "none")


def marker(ident: str, number: int, severity: Severity, title: str = "") -> Group:
    """A numbered finding, centred on the origin; each severity has a shape and a colour."""
    fill, ink = look.severity_colours(severity)
    shape = marker_shape(severity, MARKER / 2)
    drop = 1.6 if severity == "warning" else 0.0
    digits = text(0, 2.95 + drop, str(number), look.SMALL, anchor="middle", weight="bold", fill=ink)
    items: tuple[Item, ...] = (
        Path(shape, fill=look.PAPER, stroke=look.PAPER, width=4.0),
        Path(shape, fill=fill, stroke=look.INK, width=0.9),
        digits,
    )
    return Group(ident, items, ("finding", severity), title)


def marker_shape(severity: Severity, r: float) -> Commands:
    """Octagon for danger, diamond error, triangle warning, disc note, square the rest.

    Of changes: plus for new, bar for gone, arrow for moved, six corners for changed.
    """
    if severity == "danger":
        return _polygon(8, r * 1.06, pi / 8)
    if severity == "error":
        return _polygon(4, r * 1.28, 0.0)
    if severity == "warning":
        return line_path([(0, -r * 1.25), (r * 1.35, r), (-r * 1.35, r)], closed=True)
    if severity == "note":
        return circle_path(0, 0, r)
    if severity in _CHANGES:
        return line_path([(x * r, y * r) for x, y in _CHANGES[severity]], closed=True)
    return rect_path(-r * 0.92, -r * 0.92, r * 1.84, r * 1.84, 2)


_CHANGES: Mapping[str, Sequence[Point]] = {
    "new": ((-0.62, -1.15), (0.62, -1.15), (0.62, -0.62), (1.15, -0.62), (1.15, 0.62),
            (0.62, 0.62), (0.62, 1.15), (-0.62, 1.15), (-0.62, 0.62), (-1.15, 0.62),
            (-1.15, -0.62), (-0.62, -0.62)),
    "gone": ((-1.3, -0.68), (1.3, -0.68), (1.3, 0.68), (-1.3, 0.68)),
    "moved": ((-1.1, -0.85), (0.55, -0.85), (1.5, 0.0), (0.55, 0.85), (-1.1, 0.85)),
    "changed": ((-1.35, 0.0), (-0.75, -0.95), (0.75, -0.95), (1.35, 0.0), (0.75, 0.95),
                (-0.75, 0.95)),
}  # fmt: skip
"""Corners of the signs of changes, in half breadths of a marker."""


def _polygon(corners: int, r: float, turn: float) -> Commands:
    steps = (2 * pi * i / corners + turn for i in range(corners))
    return line_path([(r * cos(a), r * sin(a)) for a in steps], closed=True)


def zone(ident: str, rect: Rect, name: str, tint: int) -> Group:
    """The soft tint of a place of the airframe."""
    shape = rect_path(rect.x, rect.y, rect.width, rect.height, 9)
    return Group(ident, (Path(shape, fill=to_hex(zone_tint(tint))),), ("place",), name)


@dataclass(frozen=True, slots=True)
class Remark:
    """One line of the legend."""

    number: int
    severity: Severity
    text: str


def legend(ident: str, remarks: Sequence[Remark], width: float) -> tuple[Group, float]:
    """The findings repeated in words, and the block's height. Its top left is the origin."""
    items: list[Item] = []
    y = 0.0
    step = look.SMALL * look.LEADING
    for remark in remarks:
        lines = look.wrapped(remark.text, look.SMALL, width - 26)
        place = moved_group(
            marker(f"{ident}/{remark.number}", remark.number, remark.severity), 10, y + 10
        )
        words = [
            text(26, y + 12.9 + i * step, line, look.SMALL, fill=look.INK)
            for i, line in enumerate(lines)
        ]
        items += [place, *words]
        y += max(21.0, step * len(lines) + 11)
    return Group(ident, tuple(items), ("legend",), "findings"), y


def title_block(
    ident: str, aircraft: str, view: str, revision: str, page: str, *, notes: Sequence[str] = ()
) -> tuple[Group, float, float]:
    """Aircraft, view, plan revision, page, notes; with its width and height, top left the origin.

    Words longer than the block is broad end in an ellipsis.
    """
    shown = look.shortened(aircraft, 12, TITLE, "bold")
    name = text(9, 16, shown, 12, weight="bold", fill=look.INK)
    rest = [
        text(9, 29, look.shortened(view, look.NAME, TITLE), look.NAME, fill=look.INK),
        text(9, 40.5, f"plan {revision}", look.SMALL, fill=look.SOFT_INK),
    ]
    rest += [
        text(9, 52 + 11.5 * n, note, look.SMALL, fill=look.INK) for n, note in enumerate(notes)
    ]
    number = text(0, 40.5, page, look.SMALL, anchor="end", fill=look.SOFT_INK)
    last = rest[1].width + number.width + 12
    wide = max([name.width, last, *(line.width for line in rest)]) + 18
    high = 47.0 + 11.5 * len(notes)
    items: tuple[Item, ...] = (
        Path(rect_path(0, 0, wide, high, 4), fill=look.PAPER, stroke=look.INK, width=0.9),
        name,
        *rest,
        text(wide - 9, 40.5, page, look.SMALL, anchor="end", fill=look.SOFT_INK),
    )
    return Group(ident, items, ("title-block",), f"{aircraft}, {view}"), wide, high
