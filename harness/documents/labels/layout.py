"""Puts labels on the cells of a stock, face by face: pure data, ready to be drawn."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal

from harness.base.data import dataclass, replace
from harness.documents.labels.fit import (
    SMALLEST_CAPITAL_MM,
    FaceRoom,
    FaceWords,
    common_style,
    fit,
    shared_style,
    unprintable,
)
from harness.documents.labels.label import (
    Arrow,
    Band,
    Direction,
    Face,
    Label,
    LabelArea,
    LabelRefused,
    Page,
    PlacedLabel,
)
from harness.documents.labels.stock import BUILT_IN, Flag, SheetStock, Stock, Tape, wrap_length

# What a desk printer may be off, kept free along every edge; a tape has its own margins.
EDGE_MM = 1.0
LONG_EDGE_MM = 0.8
WIRE_EDGE_MM = 0.5
GAP_MM = 0.9
ARROW_GAP_MM = 1.3
SMALL_ARROW_MM = (3.0, 4.6)
LARGE_ARROW_MM = (4.2, 6.4)
LARGE_FROM_MM = 18.0


@dataclass(frozen=True)
class Ends:
    """Which end of the face meets the wire (flags), and whether the margins are outside it."""

    wire: Literal["left", "right", ""] = ""
    snug: bool = False

    def box(self, rect: LabelArea) -> LabelArea:
        """The part of the face that may be printed."""
        across, above = (0.0, 0.0) if self.snug else (EDGE_MM, LONG_EDGE_MM)
        left = WIRE_EDGE_MM if self.wire == "left" else across
        right = WIRE_EDGE_MM if self.wire == "right" else across
        return LabelArea(
            rect.x + left, rect.y + above, rect.width - left - right, rect.height - 2 * above
        )

    @property
    def direction(self) -> Direction:
        """Where the arrow points: up to the long edge; on a flag away from the wire."""
        if self.wire == "":
            return "up"
        return "left" if self.wire == "right" else "right"


def dress(label: Label, rect: LabelArea, ends: Ends, first: int = 0) -> Face | None:
    """The face of a label in the style `first`, or None when its words do not fit legibly."""
    inner, band = _take_band(label, ends.box(rect))
    block = fit(*_request(label, inner, ends), first, exact=True)
    if block is None:
        return None
    top = inner.y + (inner.height - block.height) / 2
    texts = tuple(line.moved(inner.x, top) for line in block.lines)
    return Face(rect, texts, band, _arrow(label, inner, ends))


def face_length(label: Label, rect: LabelArea, ends: Ends, first: int = 0) -> float | None:
    """How much of the face's length in mm the label needs; None if there is too little."""
    inner, _ = _take_band(label, ends.box(rect))
    block = fit(*_request(label, inner, ends), first, exact=True)
    # A hair more, so that the same words fit again after sums in another order.
    return None if block is None else rect.width - inner.width + block.width + 0.01


def request(label: Label, rect: LabelArea, ends: Ends) -> tuple[FaceWords, FaceRoom]:
    """What the label says and the room its face leaves for it."""
    return _request(label, _take_band(label, ends.box(rect))[0], ends)


def _request(label: Label, inner: LabelArea, ends: Ends) -> tuple[FaceWords, FaceRoom]:
    arrow = _arrow_size(inner, ends)[0] + ARROW_GAP_MM if label.pale_arrow else 0.0
    return FaceWords(label.code, label.end, label.text), FaceRoom(inner.width, inner.height, arrow)


def _take_band(label: Label, box: LabelArea) -> tuple[LabelArea, Band | None]:
    """The box without its side band: at the left end for left, at the right end for right."""
    if not label.side:
        return box, None
    width = min(max(0.4 * box.height, 3.0), 6.0)
    rest = box.width - width - GAP_MM
    if label.side == "left":
        band = LabelArea(box.x, box.y, width, box.height)
        return LabelArea(box.x + width + GAP_MM, box.y, rest, box.height), Band(band, "left")
    band = LabelArea(box.right - width, box.y, width, box.height)
    return LabelArea(box.x, box.y, rest, box.height), Band(band, "right")


def _arrow_size(inner: LabelArea, ends: Ends) -> tuple[float, float]:
    across, along = LARGE_ARROW_MM if inner.height > LARGE_FROM_MM else SMALL_ARROW_MM
    if ends.direction == "up":
        return across, min(along, inner.height)
    return along, min(across, inner.height)


def _arrow(label: Label, inner: LabelArea, ends: Ends) -> Arrow | None:
    if not label.pale_arrow:
        return None
    width, height = _arrow_size(inner, ends)
    return Arrow(LabelArea(inner.right - width, inner.y, width, height), ends.direction)


class _NoRoom(Exception):  # noqa: N818 - never leaves this module
    def __init__(self, label: Label) -> None:
        super().__init__(label.code)
        self.label = label


def lay_out(labels: Iterable[Label], stock: Stock, skip: int = 0) -> tuple[Page, ...]:
    """Pages with every label in its place, row by row from the top left.

    `skip` cells of the first sheet are already used. Raises LabelRefused, naming the label,
    when anything would be unreadable or cut off, and when there is nothing to print.
    """
    wanted = [_clean(label) for label in labels]
    if not wanted:
        raise LabelRefused("there are no labels to print")
    _check_skip(stock.base if isinstance(stock, Flag) else stock, skip)
    try:
        return _pages(wanted, stock, skip)
    except _NoRoom as full:
        raise _refusal(full.label, stock) from None


def _pages(wanted: Sequence[Label], stock: Stock, skip: int) -> tuple[Page, ...]:
    base = stock.base if isinstance(stock, Flag) else stock
    asked = {label: request(label, *_largest_face(label, stock)) for label in wanted}
    common = common_style([asked[label] for label in wanted])
    leads: dict[str, list[tuple[FaceWords, FaceRoom]]] = {}
    for label in wanted:
        leads.setdefault(label.code, []).append(asked[label])
    first = {code: shared_style(labels, common) for code, labels in leads.items()}
    if isinstance(base, Tape):
        return tuple(_tape_page(label, base, _Press(stock, first)) for label in wanted)
    return _sheet_pages(wanted, base, _Press(stock, first), skip)


def cell_rect(sheet: SheetStock, cell: int) -> LabelArea:
    """Where a cell of the sheet lies; cells count from 0 along the rows."""
    row, column = divmod(cell, sheet.columns)
    x = sheet.left_margin + column * sheet.horizontal_pitch
    y = sheet.top_margin + row * sheet.vertical_pitch
    return LabelArea(x, y, sheet.label_width, sheet.label_height)


def fits(label: Label, stock: Stock) -> bool:
    """Whether the stock can carry the label legibly."""
    try:
        _pages([label], stock, 0)
    except _NoRoom:
        return False
    return True


def _check_skip(base: SheetStock | Tape, skip: int) -> None:
    if skip < 0:
        raise LabelRefused(f"--skip counts used labels: it cannot be {skip}")
    if skip and isinstance(base, Tape):
        raise LabelRefused(f"{base.name} is continuous tape: there is nothing to --skip")
    if isinstance(base, SheetStock) and skip >= base.cells:
        raise LabelRefused(f"the sheet has {base.cells} labels, --skip {skip} leaves none")


def _clean(label: Label) -> Label:
    """The label with composed characters; refuses what the typeface cannot print."""
    code, end, text = (_clean_text(label, part) for part in (label.code, label.end, label.text))
    return replace(label, code=code, end=end, text=text)


def _clean_text(label: Label, text: str) -> str:
    clean = unicodedata.normalize("NFC", text).strip()
    char = unprintable(clean)
    if char:
        shown = f"{char!r} " if char.isprintable() else ""
        raise LabelRefused(
            f"label {label.name}: {shown}(U+{ord(char):04X}) in {clean!r} cannot be printed"
        )
    return clean


def _largest_face(label: Label, stock: Stock) -> tuple[LabelArea, Ends]:
    """The face that one side of a label can have at most, at no particular place."""
    base = stock.base if isinstance(stock, Flag) else stock
    snug = isinstance(base, Tape)
    if isinstance(base, SheetStock):
        width, height = base.label_width, base.label_height
    else:
        width, height = base.max_length - 2 * base.end_margin, base.printable_height
    if not isinstance(stock, Flag):
        return LabelArea(0.0, 0.0, width, height), Ends("", snug)
    each = (width - _around(label, stock)) / 2
    return LabelArea(0.0, 0.0, each, height), Ends("right", snug)


def _around(label: Label, flag: Flag) -> float:
    return wrap_length(label.wire_diameter_mm or flag.wire_diameter)


def _sheet_pages(
    labels: Sequence[Label], sheet: SheetStock, press: _Press, skip: int
) -> tuple[Page, ...]:
    pages: list[list[PlacedLabel]] = []
    for number, label in enumerate(labels, start=skip):
        page, cell = divmod(number, sheet.cells)
        if page == len(pages):
            pages.append([])
        placed = press.label(label, cell_rect(sheet, cell))
        pages[page].append(replace(placed, corner_radius=sheet.corner_radius))
    return tuple(Page(sheet.page_width, sheet.page_height, tuple(page)) for page in pages)


def _tape_page(label: Label, tape: Tape, press: _Press) -> Page:
    stock = press.stock
    rect, ends = _largest_face(label, stock)
    each = face_length(label, rect, ends, press.first[label.code])
    if each is None:
        raise _NoRoom(label)
    whole = 2 * each + _around(label, stock) if isinstance(stock, Flag) else each
    needed = math.ceil(max(tape.min_length, whole + 2 * tape.end_margin))
    length = min(float(needed), tape.max_length)
    strip = (tape.tape_width - tape.printable_height) / 2
    inner = LabelArea(tape.end_margin, strip, length - 2 * tape.end_margin, tape.printable_height)
    placed = press.label(label, inner)
    outline = LabelArea(0.0, 0.0, length, tape.tape_width)
    return Page(length, tape.tape_width, (replace(placed, outline=outline),))


@dataclass(frozen=True)
class _Press:
    """Fills in labels of one stock, those of each lead in one style: its number by their code."""

    stock: Stock
    first: Mapping[str, int]

    def label(self, label: Label, area: LabelArea) -> PlacedLabel:
        if isinstance(self.stock, Flag):
            return self._flag(label, self.stock, area)
        snug = isinstance(self.stock, Tape)
        return PlacedLabel(label, area, (self._face(label, area, Ends("", snug)),))

    def _flag(self, label: Label, flag: Flag, area: LabelArea) -> PlacedLabel:
        snug = isinstance(flag.base, Tape)
        around = _around(label, flag)
        each = (area.width - around) / 2
        left = LabelArea(area.x, area.y, each, area.height)
        wrap = LabelArea(left.right, area.y, around, area.height)
        right = left.moved(each + around, 0.0)
        faces = (
            self._face(label, left, Ends("right", snug)),
            self._face(label, right, Ends("left", snug)),
        )
        return PlacedLabel(label, area, faces, wrap)

    def _face(self, label: Label, rect: LabelArea, ends: Ends) -> Face:
        face = dress(label, rect, ends, self.first[label.code])
        if face is None:
            raise _NoRoom(label)
        return face


def _refusal(label: Label, stock: Stock) -> LabelRefused:
    said = ", ".join(f'"{part}"' for part in (label.end, label.text) if part)
    about = f" ({said})" if said else ""
    others = [other for other in BUILT_IN if other != stock and _like(other, stock)]
    would_do = next((other.name for other in sorted(others, key=_area) if fits(label, other)), "")
    advice = (
        f"{would_do} would do" if would_do else "no stock of that kind would do: say it shorter"
    )
    return LabelRefused(
        f"label {label.name}{about} does not fit on {stock.name}"
        f" with capitals {SMALLEST_CAPITAL_MM:g} mm high; {advice}"
    )


def _like(other: Stock, stock: Stock) -> bool:
    """Whether both are flags or not, on the same page or both on tape."""
    if isinstance(other, Flag) and isinstance(stock, Flag):
        return _like(other.base, stock.base)
    if isinstance(other, SheetStock) and isinstance(stock, SheetStock):
        return (other.page_width, other.page_height) == (stock.page_width, stock.page_height)
    return isinstance(other, Tape) and isinstance(stock, Tape)


def _area(stock: Stock) -> tuple[float, str]:
    base = stock.base if isinstance(stock, Flag) else stock
    if isinstance(base, SheetStock):
        return base.label_width * base.label_height, base.name
    return base.printable_height * base.max_length, base.name
