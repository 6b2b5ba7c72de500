"""Label stock by its dimensions: sheets, continuous tape, wrap-round flags; ours and a plan's own.

Page sizes: ISO 216 (A4) and ANSI Y14.1 (Letter). The grids are those in common use and the
tape's printable heights typical: common practice, no source; print the test page first. The
names are the dimensions in mm, then columns x rows.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from difflib import get_close_matches

from harness.base.data import MISSING, dataclass, fields
from harness.documents.labels.label import StockError

SLACK_MM = 1e-6
# Outside size of a flat three-wire lead taken as round: common practice, no source.
USUAL_LEAD_MM = 4.0
SMALLEST_FLAG_FACE_MM = 6.0


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


A4 = (210.0, 297.0)
LETTER = (215.9, 279.4)

_LETTER_FLAG = SheetStock(
    "flag-letter-67x13-3x20", *LETTER, 66.675, 12.7, 3, 20, 7.9375, 12.7, 66.675, 12.7, 0, True
)

BUILT_IN: tuple[Stock, ...] = (
    SheetStock("a4-25x10-7x27", *A4, 25.4, 10.0, 7, 27, 8.6, 13.5, 27.9, 10.0, 1.5),
    SheetStock("a4-38x21-5x13", *A4, 38.1, 21.2, 5, 13, 4.75, 10.7, 40.6, 21.2, 2.0),
    SheetStock("a4-46x21-4x12", *A4, 45.7, 21.2, 4, 12, 9.85, 21.3, 48.2, 21.2, 2.0),
    SheetStock("a4-48x25-4x11", *A4, 48.5, 25.4, 4, 11, 8.0, 8.8, 48.5, 25.4),
    SheetStock("a4-64x34-3x8", *A4, 63.5, 33.9, 3, 8, 7.2, 12.9, 66.05, 33.9, 2.0),
    SheetStock("letter-44x13-4x20", *LETTER, 44.45, 12.7, 4, 20, 7.14375, 12.7, 52.3875, 12.7, 1.5),
    SheetStock("letter-67x25-3x10", *LETTER, 66.675, 25.4, 3, 10, 4.7625, 12.7, 69.85, 25.4, 2.0),
    SheetStock("letter-102x51-2x5", *LETTER, 101.6, 50.8, 2, 5, 3.96875, 12.7, 106.3625, 50.8, 2.0),
    Tape("tape-9", 9.0, 6.5, 12.0, 120.0, 2.0),
    Tape("tape-12", 12.0, 9.0, 12.0, 120.0, 2.0),
    Flag(SheetStock("flag-a4-66x12-3x22", *A4, 66.0, 12.0, 3, 22, 6.0, 16.5, 66.0, 12.0, 0, True)),
    Flag(SheetStock("flag-a4-95x15-2x18", *A4, 95.0, 15.0, 2, 18, 10.0, 13.5, 95.0, 15.0, 0, True)),
    Flag(_LETTER_FLAG),
    Flag(Tape("flag-tape-9", 9.0, 6.5, 30.0, 150.0, 2.0)),
    Flag(Tape("flag-tape-12", 12.0, 9.0, 30.0, 150.0, 2.0)),
)


def find_stock(name: str, extra: Iterable[Stock] = ()) -> Stock:
    """The stock of that name, the plan's own (`extra`) first. Raises StockError with others."""
    known = {stock.name: stock for stock in (*BUILT_IN, *extra)}
    if name in known:
        return known[name]
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else "there are " + ", ".join(known)
    raise StockError(f"no label stock is called {name!r}; {hint}")


def stock_from_mapping(name: str, mapping: Mapping[str, float]) -> Stock:
    """A stock from a plan: mm by the field names of Sheet or Tape, words joined by "-".

    `tape-width` makes it a tape, else it is a sheet; pitches default to the label's size and
    the corner radius to 0. `wire-diameter` makes it a flag. Raises StockError on contradictions.
    """
    numbers = {key.replace("-", "_"): value for key, value in mapping.items()}
    wire = numbers.pop("wire_diameter", None)
    kind = Tape if "tape_width" in numbers else SheetStock
    if kind is SheetStock:
        for pitch, size in (("horizontal", "width"), ("vertical", "height")):
            if f"label_{size}" in numbers:
                numbers.setdefault(f"{pitch}_pitch", numbers[f"label_{size}"])
    _check_keys(name, kind, numbers)
    base = kind(name, **numbers)  # type: ignore[arg-type]
    return base if wire is None else Flag(base, wire)


def _check_keys(name: str, kind: type[SheetStock | Tape], numbers: Mapping[str, float]) -> None:
    known = {f.name: f for f in fields(kind) if f.name not in ("name", "uncut")}
    if stray := [key for key in numbers if key not in known]:
        what = "tape" if kind is Tape else "sheet"
        raise StockError(f"stock {name}: a {what} has no {', '.join(stray).replace('_', '-')}")
    missing = [f.name for f in known.values() if f.default is MISSING and f.name not in numbers]
    if missing:
        raise StockError(f"stock {name}: missing {', '.join(missing).replace('_', '-')}")
