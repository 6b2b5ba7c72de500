"""Puts labels on the cells of a stock: pure data, ready to be drawn."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from harness.documents.labels.errors import LabelRefused
from harness.documents.labels.face import Ends, dress, face_length, request
from harness.documents.labels.fit import SMALLEST_CAPITAL_MM, common_style
from harness.documents.labels.fonts import unprintable
from harness.documents.labels.label import Face, Label, LabelArea, Page, PlacedLabel
from harness.documents.labels.shelf import BUILT_IN
from harness.documents.labels.stock import Flag, SheetStock, Stock, Tape, wrap_length


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
    first = common_style([request(label, *_largest_face(label, stock)) for label in wanted])
    if isinstance(base, Tape):
        return tuple(_tape_page(label, base, stock, first) for label in wanted)
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


def _tape_page(label: Label, tape: Tape, stock: Stock, first: int) -> Page:
    rect, ends = _largest_face(label, stock)
    each = face_length(label, rect, ends, first)
    if each is None:
        raise _NoRoom(label)
    whole = 2 * each + _around(label, stock) if isinstance(stock, Flag) else each
    needed = math.ceil(max(tape.min_length, whole + 2 * tape.end_margin))
    length = min(float(needed), tape.max_length)
    strip = (tape.tape_width - tape.printable_height) / 2
    inner = LabelArea(tape.end_margin, strip, length - 2 * tape.end_margin, tape.printable_height)
    placed = _Press(stock, first).label(label, inner)
    outline = LabelArea(0.0, 0.0, length, tape.tape_width)
    return Page(length, tape.tape_width, (replace(placed, outline=outline),))


@dataclass(frozen=True)
class _Press:
    """Fills in labels of one stock in one style."""

    stock: Stock
    first: int

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
        face = dress(label, rect, ends, self.first)
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
