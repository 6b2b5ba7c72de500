"""Label stock described by its dimensions: sheets, continuous tape, wrap-round flags."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from harness.documents.labels.errors import StockError

SLACK_MM = 1e-6
LARGEST_MM = 2000.0
MOST_CELLS = 5000
# Outside size of a flat three-wire lead taken as round: common practice, no source.
USUAL_LEAD_MM = 4.0
SMALLEST_FLAG_FACE_MM = 6.0


def _check_numbers(stock: SheetStock | Tape, may_be_zero: tuple[str, ...]) -> None:
    for field in fields(stock):
        value = getattr(stock, field.name)
        if isinstance(value, str | bool):
            continue
        words = field.name.replace("_", " ")
        if not math.isfinite(value) or value < 0 or value > LARGEST_MM:
            raise StockError(
                f"stock {stock.name}: {words} of {value:g} is not between 0 and {LARGEST_MM:g}"
            )
        if value == 0 and field.name not in may_be_zero:
            raise StockError(f"stock {stock.name}: {words} must be more than 0")


@dataclass(frozen=True)
class SheetStock:
    """A page of equal labels in columns and rows; every length in mm.

    A pitch is the distance from the left (top) edge of one label to that of the next. With
    `uncut` the outline is printed, to be cut along. Raises StockError if the labels leave the
    page or overlap.
    """

    name: str
    page_width: float
    page_height: float
    label_width: float
    label_height: float
    columns: int
    rows: int
    left_margin: float
    top_margin: float
    horizontal_pitch: float
    vertical_pitch: float
    corner_radius: float = 0.0
    uncut: bool = False

    def __post_init__(self) -> None:
        _check_numbers(self, ("left_margin", "top_margin", "corner_radius"))
        if self.cells > MOST_CELLS:
            raise StockError(f"stock {self.name}: {self.cells} labels on a sheet is too many")
        self._check_overlap("columns", self.columns, self.horizontal_pitch, self.label_width)
        self._check_overlap("rows", self.rows, self.vertical_pitch, self.label_height)
        right = self.left_margin + (self.columns - 1) * self.horizontal_pitch + self.label_width
        bottom = self.top_margin + (self.rows - 1) * self.vertical_pitch + self.label_height
        self._check_end("columns", "wide", right, self.page_width)
        self._check_end("rows", "high", bottom, self.page_height)
        if 2 * self.corner_radius > min(self.label_width, self.label_height) + SLACK_MM:
            raise StockError(
                f"stock {self.name}: a corner radius of {self.corner_radius:g} mm is more than half"
                f" of a {self.label_width:g} x {self.label_height:g} mm label"
            )

    @property
    def cells(self) -> int:
        """Labels on a whole sheet."""
        return self.columns * self.rows

    def _check_overlap(self, what: str, count: int, pitch: float, size: float) -> None:
        if count > 1 and pitch < size - SLACK_MM:
            raise StockError(
                f"stock {self.name}: labels overlap: {what} every {pitch:g} mm,"
                f" but a label measures {size:g} mm"
            )

    def _check_end(self, what: str, way: str, end: float, page: float) -> None:
        if end > page + SLACK_MM:
            raise StockError(
                f"stock {self.name}: the {what} end at {end:g} mm,"
                f" but the page is only {page:g} mm {way}"
            )


@dataclass(frozen=True)
class Tape:
    """Continuous tape, one label a page; every length in mm.

    A label is as long as its words need, from `min_length` to `max_length`, with `end_margin`
    left blank at both ends. Raises StockError on dimensions that contradict each other.
    """

    name: str
    tape_width: float
    printable_height: float
    min_length: float
    max_length: float
    end_margin: float

    def __post_init__(self) -> None:
        _check_numbers(self, ("end_margin",))
        if self.printable_height > self.tape_width + SLACK_MM:
            raise StockError(
                f"stock {self.name}: {self.printable_height:g} mm cannot be printed"
                f" on tape {self.tape_width:g} mm wide"
            )
        if self.min_length > self.max_length + SLACK_MM:
            raise StockError(
                f"stock {self.name}: the shortest label, {self.min_length:g} mm,"
                f" is longer than the longest, {self.max_length:g} mm"
            )
        if 2 * self.end_margin >= self.min_length:
            raise StockError(
                f"stock {self.name}: two end margins of {self.end_margin:g} mm"
                f" leave nothing of a {self.min_length:g} mm label"
            )


@dataclass(frozen=True)
class Flag:
    """A sheet or tape whose labels fold round the wire, back to back.

    The middle of a label, pi times the wire's outside diameter, goes round the wire; the words
    are printed once on either side of it. `wire_diameter` (mm) serves labels that name none.
    Raises StockError if the usual wrap leaves no face worth printing on.
    """

    base: SheetStock | Tape
    wire_diameter: float = USUAL_LEAD_MM

    def __post_init__(self) -> None:
        if not (math.isfinite(self.wire_diameter) and 0 < self.wire_diameter <= LARGEST_MM):
            raise StockError(f"stock {self.name}: a wire cannot be {self.wire_diameter:g} mm thick")
        face = self.face_width(self.wire_diameter)
        if face < SMALLEST_FLAG_FACE_MM:
            raise StockError(
                f"stock {self.name}: going round a {self.wire_diameter:g} mm wire leaves"
                f" {max(face, 0.0):.1f} mm a side, less than {SMALLEST_FLAG_FACE_MM:g} mm"
            )

    @property
    def name(self) -> str:
        """The name of the sheet or tape."""
        return self.base.name

    def face_width(self, wire_diameter: float) -> float:
        """Length in mm left on either side of the wire (the most there is, on tape)."""
        whole = self.base.label_width if isinstance(self.base, SheetStock) else self.base.max_length
        return (whole - wrap_length(wire_diameter)) / 2


Stock = SheetStock | Tape | Flag


def wrap_length(wire_diameter: float) -> float:
    """Length in mm that goes once round a wire: its circumference."""
    return math.pi * wire_diameter
