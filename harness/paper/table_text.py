"""Tables as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from harness.paper.lines import wrapped
from harness.paper.sheet import Cell, Column, Table

GAP = 2
LEAST = 12
"""Columns that a column of words gets at least where it needs as many."""


def table_lines(table: Table, width: int) -> Iterator[str]:
    """Yield the lines of one table."""
    widths = _widths(table, width)
    rule = "  ".join("-" * w for w in widths)
    if table.title:
        yield table.title
    yield from _line([Cell(column.title) for column in table.columns], table.columns, widths)
    yield rule
    for group in table.groups:
        if group.title:
            yield f"{group.title}:"
        for row in group.rows:
            yield from _line(list(row), table.columns, widths)
    yield rule
    if table.about:
        yield from wrapped(table.about, width)


def _widths(table: Table, width: int) -> list[int]:
    """Give figures what they need; columns of words share what is left, as they need it."""
    texts = [[column.title] for column in table.columns]
    for group in table.groups:
        for row in group.rows:
            for place, cell in enumerate(row):
                texts[place] += cell.text.split("\n")
    need = [max(map(len, column)) for column in texts]
    words = [n for n, column in enumerate(table.columns) if not column.figures]
    room = width - GAP * (len(need) - 1) - sum(n for i, n in enumerate(need) if i not in words)
    least = {n: _longest_word(texts[n]) for n in words}
    return _shared(need, least, room)


def _longest_word(texts: list[str]) -> int:
    return max(len(word) for text in texts for word in (text.split(" ") or [""]))


def _shared(need: list[int], least: dict[int, int], room: int) -> list[int]:
    """Cut the widest columns of words until all fit."""
    found = list(need)
    floor = {n: max(word, min(need[n], LEAST)) for n, word in least.items()}
    while sum(found[n] for n in floor) > room:
        wide = [n for n in floor if found[n] > floor[n]]
        if not wide:
            break
        found[max(wide, key=lambda n: (found[n], -n))] -= 1
    return found


def _line(row: list[Cell], columns: tuple[Column, ...], widths: list[int]) -> Iterator[str]:
    pieces = [_piece(cell, size) for cell, size in zip(row, widths, strict=True)]
    for line in zip_longest(*pieces, fillvalue=""):
        filled = [
            text.rjust(size) if column.figures else text.ljust(size)
            for text, column, size in zip(line, columns, widths, strict=True)
        ]
        yield "  ".join(filled).rstrip()


def _piece(cell: Cell, size: int) -> list[str]:
    """A cell to write in is a line, with the unit behind it."""
    if cell.tone != "blank":
        return [line for text in cell.text.split("\n") for line in wrapped(text, size)]
    return [f"{'_' * max(size - len(cell.text) - 1, 3)} {cell.text}".rstrip()]
