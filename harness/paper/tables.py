"""Makes tables and notes of plain words, so that a document only says what stands in them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.paper.sheet import Cell, Column, Note, Row, RowGroup, Table

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
