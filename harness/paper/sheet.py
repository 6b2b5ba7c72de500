"""A page of figures or a list as plain data: sentences, tables, notes; made of plain words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from harness.base.data import dataclass, field
from harness.paper.records import CsvRecord


@dataclass(frozen=True, slots=True)
class Cell:
    """A short text, its lines parted by line ends, and its tone.

    `tone`: "", "danger", "warning", "ok" or "faint". `side`: "left" or "right", where its row is
    about one side of the aeroplane, which has a colour.
    """

    text: str
    tone: str = ""
    side: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """A heading, and whether figures stand below it."""

    title: str
    figures: bool = False


Row = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class RowGroup:
    """Rows that belong together, under a heading of their own unless it is empty.

    In print a row of one cell goes across the table.
    """

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table; its first column says what a row is about."""

    title: str
    columns: tuple[Column, ...]
    groups: tuple[RowGroup, ...]
    about: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """A heading and what is listed under it, after the tables."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FigureSheet:
    """A page for people. `points`: the sentences it begins with, what matters first."""

    title: str
    revision: str
    points: tuple[Cell, ...]
    tables: tuple[Table, ...]
    notes: tuple[Note, ...] = ()
    foot: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Figures:
    """One document: `sheet` for people, `columns` and `records` for CSV, `data` for JSON."""

    sheet: FigureSheet
    columns: tuple[str, ...]
    records: tuple[CsvRecord, ...]
    data: Mapping[str, Any] = field(default_factory=dict)


PlainRow = Iterable["str | Cell"]
"""The cells of a row; a bare text is a cell without a tone."""


def amounts(*titles: str) -> tuple[Column, ...]:
    """Return columns of figures."""
    return tuple(Column(title, figures=True) for title in titles)


def headings(*titles: str | Column) -> tuple[Column, ...]:
    """Return columns; a bare text is a column of words."""
    return tuple(Column(one) if isinstance(one, str) else one for one in titles)


def table(
    title: str, columns: Iterable[str | Column], rows: Iterable[PlainRow], about: str = ""
) -> Table:
    """Return a table; a bare text is a column of words."""
    return grouped(title, columns, [("", rows)], about)


def grouped(
    title: str,
    columns: Iterable[str | Column],
    groups: Iterable[tuple[str, Iterable[PlainRow]]],
    about: str = "",
) -> Table:
    """Return a table of groups, each with its heading."""
    made = tuple(RowGroup(name, tuple(map(_row, rows))) for name, rows in groups)
    return Table(title, headings(*columns), made, about)


def _row(cells: PlainRow) -> Row:
    return tuple(Cell(one) if isinstance(one, str) else one for one in cells)


def noted(title: str, lines: Iterable[str]) -> Iterator[Note]:
    """Yield a note that says each line once; none where there is nothing to say."""
    if found := tuple(dict.fromkeys(lines)):
        yield Note(title, found)
