"""The stocks that come with the program, and those a plan describes for itself.

Page sizes: ISO 216 (A4) and ANSI Y14.1 (Letter). The grids are those in common use and the
tape's printable heights typical: common practice, no source; print the test page first. The
names are the dimensions in mm, then columns x rows.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import MISSING, fields
from difflib import get_close_matches

from harness.documents.labels.errors import StockError
from harness.documents.labels.stock import Flag, SheetStock, Stock, Tape

A4_MM = (210.0, 297.0)
LETTER_MM = (215.9, 279.4)
MOST_MM = 1e6
FLAG_KEY = "wire_diameter"

_LETTER_FLAG = SheetStock(
    "flag-letter-67x13-3x20", *LETTER_MM, 66.675, 12.7, 3, 20, 7.9375, 12.7, 66.675, 12.7, 0, True
)

BUILT_IN: tuple[Stock, ...] = (
    SheetStock("a4-25x10-7x27", *A4_MM, 25.4, 10.0, 7, 27, 8.6, 13.5, 27.9, 10.0, 1.5),
    SheetStock("a4-38x21-5x13", *A4_MM, 38.1, 21.2, 5, 13, 4.75, 10.7, 40.6, 21.2, 2.0),
    SheetStock("a4-46x21-4x12", *A4_MM, 45.7, 21.2, 4, 12, 9.85, 21.3, 48.2, 21.2, 2.0),
    SheetStock("a4-48x25-4x11", *A4_MM, 48.5, 25.4, 4, 11, 8.0, 8.8, 48.5, 25.4),
    SheetStock("a4-64x34-3x8", *A4_MM, 63.5, 33.9, 3, 8, 7.2, 12.9, 66.05, 33.9, 2.0),
    SheetStock(
        "letter-44x13-4x20", *LETTER_MM, 44.45, 12.7, 4, 20, 7.14375, 12.7, 52.3875, 12.7, 1.5
    ),
    SheetStock(
        "letter-67x25-3x10", *LETTER_MM, 66.675, 25.4, 3, 10, 4.7625, 12.7, 69.85, 25.4, 2.0
    ),
    SheetStock(
        "letter-102x51-2x5", *LETTER_MM, 101.6, 50.8, 2, 5, 3.96875, 12.7, 106.3625, 50.8, 2.0
    ),
    Tape("tape-9", 9.0, 6.5, 12.0, 120.0, 2.0),
    Tape("tape-12", 12.0, 9.0, 12.0, 120.0, 2.0),
    Flag(
        SheetStock("flag-a4-66x12-3x22", *A4_MM, 66.0, 12.0, 3, 22, 6.0, 16.5, 66.0, 12.0, 0, True)
    ),
    Flag(
        SheetStock("flag-a4-95x15-2x18", *A4_MM, 95.0, 15.0, 2, 18, 10.0, 13.5, 95.0, 15.0, 0, True)
    ),
    Flag(_LETTER_FLAG),
    Flag(Tape("flag-tape-9", 9.0, 6.5, 30.0, 150.0, 2.0)),
    Flag(Tape("flag-tape-12", 12.0, 9.0, 30.0, 150.0, 2.0)),
)


def find_stock(name: str, extra: Iterable[Stock] = ()) -> Stock:
    """The stock of that name, the plan's own (`extra`) first.

    Raises StockError with the nearest name, or all names, when there is none.
    """
    known = {stock.name: stock for stock in (*BUILT_IN, *extra)}
    if name in known:
        return known[name]
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else "there are " + ", ".join(known)
    raise StockError(f"no label stock is called {name!r}; {hint}")


def stock_from_mapping(name: str, mapping: Mapping[str, float]) -> Stock:
    """A stock from a plan: mm by the field names of Sheet or Tape, words joined by "-".

    `tape-width` makes it a tape, else it is a sheet; pitches default to the label's size and
    the corner radius to 0. `wire-diameter` makes it a flag. Raises StockError.
    """
    if not name.strip():
        raise StockError("a label stock has no name")
    numbers = {_field(key): _number(name, key, value) for key, value in mapping.items()}
    wire = numbers.pop(FLAG_KEY, None)
    kind = Tape if "tape_width" in numbers else SheetStock
    if kind is SheetStock:
        for pitch, size in (("horizontal", "width"), ("vertical", "height")):
            if f"label_{size}" in numbers:
                numbers.setdefault(f"{pitch}_pitch", numbers[f"label_{size}"])
    _check_keys(name, kind, numbers)
    base = _sheet(name, numbers) if kind is SheetStock else Tape(name, **numbers)
    return base if wire is None else Flag(base, wire)


def _sheet(name: str, numbers: dict[str, float]) -> SheetStock:
    counts = {}
    for key in ("columns", "rows"):
        if numbers[key] != int(numbers[key]):
            raise StockError(f"stock {name}: {key} must be a whole number, not {numbers[key]:g}")
        counts[key] = int(numbers[key])
    lengths = {key: value for key, value in numbers.items() if key not in counts}
    return SheetStock(name=name, columns=counts["columns"], rows=counts["rows"], **lengths)  # type: ignore[arg-type]


def _field(key: str) -> str:
    return str(key).replace("-", "_").replace(" ", "_")


def _number(name: str, key: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise StockError(f"stock {name}: {key} must be a number of mm, not {value!r}")
    if not abs(value) <= MOST_MM:
        raise StockError(f"stock {name}: {key} is no length that a label stock can have")
    return float(value)


def _check_keys(
    name: str, kind: type[SheetStock] | type[Tape], numbers: Mapping[str, float]
) -> None:
    known = [f for f in fields(kind) if f.name not in ("name", "uncut")]
    names = [f.name for f in known]
    for key in numbers:
        if key not in names:
            near = get_close_matches(key, [*names, FLAG_KEY], n=1)
            hint = f"; did you mean {_spoken(near[0])}?" if near else ""
            raise StockError(f"stock {name}: unknown dimension {_spoken(key)}{hint}")
    missing = [f.name for f in known if f.default is MISSING and f.name not in numbers]
    if missing:
        raise StockError(f"stock {name}: missing {', '.join(map(_spoken, missing))}")


def _spoken(field: str) -> str:
    return field.replace("_", "-")
