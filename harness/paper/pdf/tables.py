"""Tables on paper: heads and titles that are repeated, cells that wrap, lines to write on."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from itertools import chain, repeat
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.platypus import Flowable
from reportlab.platypus import Table as Grid

from harness.base.colours import STATUS, to_hex
from harness.paper.pdf.words import (
    BLACK,
    EDGE,
    SOFT,
    TABLE,
    TINTS,
    Mark,
    PrintedText,
    breadth,
    font,
    plain,
    sign,
    style,
)
from harness.paper.sheet import Cell, Column, Table

PAD = 4.0  # left and right of a cell's words
ABOVE = 2.6  # above and below them
WRITTEN = 20.0  # height of a row to write in: 7 mm, as ruled paper has
TO_WRITE = 58.0  # breadth of a cell to write in, at least: 20 mm
LEAST = 44.0  # what a column of words gets where it needs as much
FIGURES = 90.0  # a column of figures broader than that wraps like one of words
SIGNED = 10.0  # what the sign of a tone takes
SIGNS = frozenset({"danger", "error", "warning", "caution"})
SHADE, FAINT = HexColor("#E8ECEF"), HexColor("#F4F6F7")

Marks = Callable[[str], tuple[Mark, ...]]


class PrintedTable(Grid):
    """A table that is broken between rows; one higher than half a page is broken inside.

    `heads` rows at its top are repeated on each page, and so is the last of `titles` (numbers of
    rows) that stands above the break; none of them ends a page.
    """

    heads = 0
    titles: tuple[int, ...] = ()

    def split(self, width: float, height: float) -> list[PrintedTable]:
        """Return what fits and the rest."""
        self._calc(width, height)
        n = self._getFirstPossibleSplitRowPosition(height)
        inside = self._cut_at(n)
        if not inside:
            n -= n - 1 in self.titles
            height = sum(self._rowHeights[:n]) + 0.01
        above = [t for t in self.titles if t < n and n not in self.titles][-1:]
        again = (*range(self.heads), *above)
        self.repeatRows, self.splitByRow, self.splitInRow = again or 0, not inside, inside
        parts: list[PrintedTable] = super().split(width, height)
        for part in parts[1:]:
            later = [t - n + len(again) for t in self.titles if t >= n]
            part.heads, part.titles = self.heads, (*(self.heads for _ in above), *later)
        return parts

    def _cut_at(self, row: int) -> bool:
        """Return whether a row that does not fit is broken: is it too high for any page?"""
        if not self.heads <= row < self._nrows:
            return False
        alone = row <= self.heads + (self.heads in self.titles)
        high = self._rowHeights[row] > self._frame._aH / 2
        return bool(high or (alone and self._frame._atTop))


class Blank(Flowable):
    """A line to write on, and the unit behind it."""

    def __init__(self, unit: str) -> None:
        super().__init__()
        self.unit, self.height = plain(unit), WRITTEN - 2 * ABOVE

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Take the breadth of the cell."""
        self.width = width
        return width, self.height

    def draw(self) -> None:
        """Draw line and unit."""
        wide = breadth(self.unit, TABLE) + 3.0 if self.unit else 0.0
        self.canv.setLineWidth(0.6)
        self.canv.setStrokeColor(HexColor(BLACK))
        self.canv.line(0.0, 2.5, self.width - wide, 2.5)
        if self.unit:
            self.canv.setFillColor(HexColor(BLACK))
            self.canv.setFont(font(False), TABLE)
            self.canv.drawRightString(self.width, 3.0, self.unit)


def table_rows(table: Table, width: float, marks: Marks) -> list[Any]:
    """Return a table no broader than `width`; `marks`: of a row, by its first cell's text."""
    title = style(TABLE + 0.5, bold=True, keep=True, leading=13.0)
    found: list[Any] = [PrintedText(table.title, title)] if table.title else []
    found.append(_grid(table, width, marks))
    found[0].spaceBefore = 9.0
    if table.about:
        found.append(PrintedText(table.about, style(TABLE, colour=SOFT, before=3.0)))
    return found


def _grid(table: Table, width: float, marks: Marks) -> PrintedTable:
    rows: list[list[Any]] = [
        [PrintedText(c.title, style(TABLE, bold=True, flush=c.figures)) for c in table.columns]
    ]
    look, titles = _looks(), []
    for group in table.groups:
        if group.title:
            titles.append(len(rows))
            look += [
                ("SPAN", (0, len(rows)), (-1, len(rows))),
                ("BACKGROUND", (0, len(rows)), (-1, len(rows)), FAINT),
            ]
            blank = [""] * (len(table.columns) - 1)
            rows.append([PrintedText(group.title, style(TABLE, bold=True)), *blank])
        for row in group.rows:
            look += _tints(row, len(rows))
            first = marks(row[0].text)
            blank = [""] * (len(table.columns) - len(row))
            columns = [Column("")] if blank else table.columns
            cells = zip(row, columns, chain([first], repeat(())), strict=False)
            look += [("SPAN", (0, len(rows)), (-1, len(rows)))] if blank else []
            rows.append([*(_cell(*each) for each in cells), *blank])
    grid = PrintedTable(rows, column_widths(table, width), style=look, hAlign="LEFT")
    grid.heads, grid.titles = 1, tuple(titles)
    return grid


def looks(beside: float, above: float) -> list[tuple[Any, ...]]:
    """Return how tables look: room beside, above and below the words of a cell."""
    every = (0, 0), (-1, -1)
    return [
        ("FONT", *every, font(False), TABLE, TABLE),
        ("VALIGN", *every, "TOP"),
        ("LEFTPADDING", *every, beside),
        ("RIGHTPADDING", *every, beside),
        ("TOPPADDING", *every, above),
        ("BOTTOMPADDING", *every, above),
    ]


def _looks() -> list[tuple[Any, ...]]:
    head = (0, 0), (-1, 0)
    return [
        *looks(PAD, ABOVE),
        ("VALIGN", *head, "BOTTOM"),
        ("BACKGROUND", *head, SHADE),
        ("LINEBELOW", (0, 1), (-1, -1), 0.5, HexColor(EDGE)),
        ("LINEBELOW", *head, 0.8, HexColor(BLACK)),
    ]


def _tints(row: Sequence[Cell], number: int) -> list[tuple[Any, ...]]:
    look: list[tuple[Any, ...]] = []
    for n, cell in enumerate(row):
        here = (n, number), (n, number)
        if cell.tone in SIGNS and cell.text:
            look.append(("BACKGROUND", *here, HexColor(TINTS[cell.tone])))
        elif cell.tone == "blank":
            look.append(("VALIGN", *here, "BOTTOM"))
    return look


def _bold(cell: Cell) -> bool:
    return cell.tone in {"danger", "error", "warning"}


def _cell(cell: Cell, column: Column, marks: tuple[Mark, ...]) -> Flowable:
    if cell.tone == "blank":
        return Blank(cell.text)
    colour = {"faint": SOFT, "ok": to_hex(STATUS["ok"].text)}.get(cell.tone, BLACK)
    signed = cell.tone in SIGNS and cell.text
    look = style(
        TABLE,
        bold=_bold(cell),
        colour=colour,
        flush=column.figures,
        indent=SIGNED if signed else 0.0,
    )
    signs = (sign(cell.tone, 3.0, 3.6),) if signed else ()
    return PrintedText(cell.text, look, marks=(*marks, *signs))


def boxed(text: str, tone: str, before: float) -> PrintedTable:
    """Return a paragraph on a tint with the sign of its tone."""
    words = PrintedText(text, style(indent=26.0, room=4.0), marks=(sign(tone, 12.0, 6.5),))
    every = (0, 0), (-1, -1)
    look = ("BACKGROUND", *every, HexColor(TINTS[tone])), ("VALIGN", *every, "MIDDLE")
    return PrintedTable(
        [[words]], style=[*looks(0.0, 3.0), *look], spaceBefore=before, minRowHeights=[22.0]
    )


def column_widths(table: Table, width: float) -> list[float]:
    """Share the width out: every column its longest word, figures all they need.

    The rest goes to columns of words so that rows get low: with b the breadth of a cell's words
    in one line and w that of its column, the sum of (b / w)^2 is least where w grows with the
    cube root of the sum of b^2.
    """
    full = [r for g in table.groups for r in g.rows if len(r) == len(table.columns)]
    columns = [_needs(column, [row[n] for row in full]) for n, column in enumerate(table.columns)]
    spare = (width - sum(need for _, need, _ in columns)) / len(columns)
    if spare >= 0:
        return [need + min(spare, 14.0) for _, need, _ in columns]
    if sum(least for least, _, _ in columns) > width:
        return _shared(lambda s: [min(least, s) for least, _, _ in columns], width)
    return _shared(lambda s: [min(max(w * s, least), need) for least, need, w in columns], width)


def _shared(widths: Callable[[float], list[float]], width: float) -> list[float]:
    """Return the widths at the share at which they fill the width, found by halving."""
    low, high = 0.0, 4 * width
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if sum(widths(middle)) <= width else (low, middle)
    return widths(low)


def _needs(column: Column, cells: Sequence[Cell]) -> tuple[float, float, float]:
    """Return what a column needs for its longest word and its longest line, and its weight."""
    needs = [_cell_needs(cell) for cell in cells]
    long = max((long for _, long in needs), default=0.0)
    word = _longest(column.title, bold=True)
    weight = sum(long * long for _, long in needs) ** (1 / 3) or 1.0
    if column.figures and long <= FIGURES:
        return max(word, long) + 2 * PAD, max(word, long) + 2 * PAD, weight
    least = max([word, *(short for short, _ in needs)]) + 2 * PAD
    return least, max(breadth(plain(column.title, True), TABLE, True), long) + 2 * PAD, weight


def _cell_needs(cell: Cell) -> tuple[float, float]:
    if cell.tone == "blank":
        wide = TO_WRITE + breadth(plain(cell.text), TABLE)
        return wide, wide
    extra, bold = (SIGNED if cell.tone in SIGNS else 0.0), _bold(cell)
    long = max(breadth(line, TABLE, bold) for line in plain(cell.text, bold).split("\n"))
    return min(max(_longest(cell.text, bold=bold), min(long, LEAST)), 150.0) + extra, long + extra


def _longest(text: str, *, bold: bool) -> float:
    return max(breadth(word, TABLE, bold) for word in re.split("[ \n]+", plain(text, bold)))
