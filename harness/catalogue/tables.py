"""The catalogue: class values read from CSV, each with its unit, source and status.

One file a table under `data/`, columns `class,key,value,unit,source,status`. The manual and
the checks read the same rows, so a number in a finding can always be traced to its origin.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Collection, Iterator, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from harness.base.data import dataclass
from harness.base.near import hint
from harness.base.units import (
    DIMENSIONS,
    Dimension,
    UnitError,
    format_quantity,
    parse_quantity,
    parse_wire,
)

DATA = Path(__file__).parent / "data"
COLUMNS = ["class", "key", "value", "unit", "source", "status"]
STATUSES = ("standard", "published", "computed", "common-practice", "memory", "invented")
FROM_PLAN = "plan"
"""Status of a value that a plan brought along."""

PLAIN, WIRE, TEXT = "1", "mm2", ""
"""Units of a value that is a plain number, a wire's copper area, or words."""

FAR = 100
"""How many times smaller or larger than in all classes a figure of a plan's own may be."""

_BY_UNIT = {unit: dim for dim in reversed(DIMENSIONS) for unit in dim.units if unit != "C"}
_BY_CANONICAL = {dim.unit: dim for dim in DIMENSIONS}
_NUMBER = re.compile(r"[0-9]{1,12}(?:\.[0-9]{1,12})?")


class CatalogueError(ValueError):
    """A row that cannot be understood."""


class UnknownClass(KeyError):  # noqa: N818 - the word a builder reads
    """No such table, class or key; the message offers the nearest."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True, slots=True)
class Value:
    """One figure with its origin.

    `number` is in `unit`, the canonical unit of its dimension ("1" for plain numbers and
    fractions, "mm2" for wire); it is None for words. `text` is how it was written.
    """

    number: float | None
    text: str
    unit: str
    source: str
    status: str
    table: str
    row: str
    key: str


_Rows = Mapping[str, Mapping[str, Value]]
_Tables = Mapping[str, _Rows]


@dataclass(frozen=True, slots=True, eq=False)
class Catalogue:
    """All tables; immutable, so that plans cannot change each other's figures."""

    _tables: _Tables

    def tables(self) -> tuple[str, ...]:
        """Names of the tables, sorted."""
        return tuple(sorted(self._tables))

    def rows(self, table: str) -> tuple[str, ...]:
        """Classes of a table in file order; raises `UnknownClass` for an unknown table."""
        return tuple(self._table(table))

    def keys(self, table: str, row: str) -> tuple[str, ...]:
        """Keys of one class in file order; raises `UnknownClass`."""
        return tuple(self._row(table, row))

    def value(self, table: str, row: str, key: str) -> Value | None:
        """Figure of a class, or None when the catalogue has none."""
        return self._tables.get(table, {}).get(row, {}).get(key)

    def require(self, table: str, row: str, key: str) -> Value:
        """Figure of a class; raises `UnknownClass` with the nearest name."""
        values = self._row(table, row)
        if key not in values:
            raise UnknownClass(_missing(f'"{row}" in {table} has no figure', key, values))
        return values[key]

    def number(self, table: str, row: str, key: str) -> float:
        """Number of a class in canonical units; raises `UnknownClass` when it is missing."""
        value = self.require(table, row, key)
        if value.number is None:
            raise UnknownClass(f'"{key}" of "{row}" in {table} is words, not a number')
        return value.number

    def column(self, table: str, key: str) -> dict[str, float]:
        """Number of each class that has one, in canonical units, in file order."""
        values = ((row, figures.get(key)) for row, figures in self._table(table).items())
        return {row: v.number for row, v in values if v is not None and v.number is not None}

    def with_rows(self, table: str, rows: Mapping[str, Mapping[str, tuple[str, str]]]) -> Catalogue:
        """Give a new catalogue with a plan's own classes: {class: {key: (value, origin)}}.

        A class of the same name keeps the figures that are not given again. Raises
        `UnknownClass` for a key the table does not know, `UnitError` for a wrong unit or size.
        """
        known = self._table(table)
        units = {key: value for values in known.values() for key, value in values.items()}
        merged = dict(known)
        for row, figures in rows.items():
            old = known.get(row, {})
            like = {**units, **old}
            own = {key: _own((table, row, key), said, like) for key, said in figures.items()}
            for value in own.values():
                if value.number is not None:
                    _believe(value, value.number, self.column(table, value.key).values())
            merged[row] = MappingProxyType({**old, **own})
        return Catalogue(MappingProxyType({**self._tables, table: MappingProxyType(merged)}))

    def _table(self, table: str) -> _Rows:
        if table not in self._tables:
            raise UnknownClass(_missing("the catalogue has no table", table, self._tables))
        return self._tables[table]

    def _row(self, table: str, row: str) -> Mapping[str, Value]:
        rows = self._table(table)
        if row not in rows:
            raise UnknownClass(_missing(f"{table} has no class", row, rows))
        return rows[row]


def _missing(what: str, name: str, names: Mapping[str, object]) -> str:
    advice = hint(name, names)
    return f'{what} "{name}"' + (f": {advice}" if advice else "")


def _own(at: tuple[str, str, str], said: tuple[str, str], like: Mapping[str, Value]) -> Value:
    """Read a figure of a plan's own class in the unit the table uses for that key."""
    (table, row, key), (text, origin) = at, said
    if key not in like:
        raise UnknownClass(_missing(f"{table} has no figure called", key, like))
    number = _read(text, like[key].unit, bare=like[key].text)
    return Value(number, text, like[key].unit, origin, FROM_PLAN, table, row, key)


def _believe(value: Value, number: float, others: Collection[float]) -> None:
    """Raise UnitError for a number far from those of all classes, or beyond its dimension."""
    least, most = min(others) / FAR, max(others) * FAR
    plain = value.unit == PLAIN and "%" not in value.text
    dim = None if plain else _BY_CANONICAL.get(value.unit)
    if dim and dim.sensible[1]:
        low, high = (parse_quantity(text, dim) for text in dim.sensible)
        least, most = (low, high) if dim.signed else (max(low, least), min(high, most))
    if not least <= number <= most:
        unit = f" {value.unit}" * (not plain)
        said = (format_quantity(x, dim) if dim else f"{x:g}{unit}" for x in (least, most))
        raise UnitError(f'"{value.text}" is not believed: wanted is from {" to ".join(said)}')


def _read(text: str, unit: str, bare: str) -> float | None:
    """Convert a text to the canonical `unit`; `bare` is how the catalogue writes this key."""
    if unit == TEXT:
        return None
    if unit == WIRE:
        return parse_wire(text).area_mm2
    if unit != PLAIN or bare.endswith("%"):
        return parse_quantity(text, _BY_CANONICAL[unit])
    if not _NUMBER.fullmatch(text):
        raise UnitError(f'"{text}" is not a plain number: write it like "{bare}"')
    return float(text)


def _convert(value: str, unit: str) -> tuple[float | None, str, str]:
    """Number in canonical units, canonical unit, and the text for people, of a CSV cell."""
    if unit in {TEXT, PLAIN}:
        return (float(value) if unit == PLAIN else None), unit, value
    text = f"{value} {unit}"
    if unit in {"AWG", WIRE}:
        return parse_wire(text).area_mm2, WIRE, text
    dimension: Dimension = _BY_UNIT[unit]
    return parse_quantity(text, dimension), dimension.unit, text


class _Figures(Mapping[str, Value]):
    """The figures of one class, each read when it is asked for: a plan needs few of them."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.written: dict[str, tuple[int, list[str]]] = {}
        self.read: dict[str, Value] = {}

    def __getitem__(self, key: str) -> Value:
        if key not in self.read:
            self.read[key] = _value(self.path, *self.written[key])
        return self.read[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self.written)

    def __len__(self) -> int:
        return len(self.written)


def _written(path: Path) -> _Rows:
    rows: dict[str, _Figures] = {}
    with path.open(encoding="utf-8", newline="") as lines:
        reader = csv.reader(lines)
        if next(reader, None) != COLUMNS:
            raise CatalogueError(f"{path.name}: the columns are not {','.join(COLUMNS)}")
        for cells in reader:
            row, key = (*cells, "", "")[:2]
            written = (rows.get(row) or rows.setdefault(row, _Figures(path))).written
            if key in written:
                raise CatalogueError(f"{path.name}:{reader.line_num}: {key} given twice")
            written[key] = (reader.line_num, cells)
    return MappingProxyType(rows)


def _value(path: Path, line: int, cells: list[str]) -> Value:
    """Turn one line of a table into a value."""
    try:
        row, key, value, unit, source, status = cells
        number, canonical, text = _convert(value, unit)
    except (ValueError, KeyError) as fault:
        raise CatalogueError(f"{path.name}:{line}: {fault}") from fault
    if status not in STATUSES or not source.strip():
        raise CatalogueError(f"{path.name}:{line}: {row} {key} has no source or a wrong status")
    return Value(number, text, canonical, source, status, path.stem, row, key)


@cache
def load() -> Catalogue:
    """Read the catalogue that comes with the program, once."""
    files = sorted(DATA.glob("*.csv"))
    return Catalogue(MappingProxyType({path.stem: _written(path) for path in files}))
