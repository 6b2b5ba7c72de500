"""Tables as strips: heads that are repeated, cells that wrap, lines to write on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from harness.base.colours import STATUS, to_hex
from harness.paper.pdf.marks import (
    BLACK,
    GAP,
    LEADING,
    SHADE,
    SOFT,
    TABLE,
    TINTS,
    Landing,
    Mark,
    Strip,
    Words,
    breadth,
    lines_of,
    rect,
    rule,
)
from harness.paper.pdf.signs import sign
from harness.paper.sheet import Cell, Column, Row, Table

PAD = 4.0  # left and right of a cell's words
ABOVE = 2.6  # above and below them
LINE = TABLE * LEADING
WRITTEN = 20.0  # height of a row to write in: 7 mm, as ruled paper has
TO_WRITE = 58.0  # breadth of a cell to write in, at least: 20 mm
LEAST = 44.0  # what a column of words gets where it needs as much
FIGURES = 90.0  # a column of figures broader than that wraps like one of words
SIGNED = 10.0  # what the sign of a tone takes


Landings = Callable[[str], tuple[Landing, ...]]


def table_strips(table: Table, width: float, height: float, landings: Landings) -> list[Strip]:
    """Return a table no broader than `width`; a row over half the page high may be broken.

    `landings` says, by the text of a row's first cell, where links to it land.
    """
    return _Setter(table, width, height, landings).strips()


@dataclass(frozen=True, slots=True)
class _Place:
    """Where a column lies, and whether it is flush right."""

    left: float
    width: float
    right: bool


class _Setter:
    """Sets one table."""

    def __init__(self, table: Table, width: float, height: float, landings: Landings) -> None:
        self.table, self.limit, self.landings = table, height / 2, landings
        widths = column_widths(table, width)
        self.width = sum(widths)
        self.places = [
            _Place(sum(widths[:n]), wide, column.figures)
            for n, (wide, column) in enumerate(zip(widths, table.columns, strict=True))
        ]

    def strips(self) -> list[Strip]:
        """Return title, head, rows and remark."""
        found = [
            Strip(LINE + 3.0, (Words(0.0, TABLE, line, TABLE + 0.5, bold=True),), keep=True)
            for line in _titled(self.table.title, self.width)
        ]
        head = self._head()
        found.append(head)
        for group in self.table.groups:
            titles = self._group_title(group.title) if group.title else []
            found += [replace(strip, again=(head,)) for strip in titles]
            for row in group.rows:
                found += self._row(row, (head, *titles))
        found += self._about()
        return found

    def _about(self) -> list[Strip]:
        lines = lines_of(self.table.about, TABLE, self.width) if self.table.about else []
        return [
            Strip(LINE, (Words(0.0, TABLE, line, TABLE, colour=SOFT),), 3.0 * (n == 0))
            for n, line in enumerate(lines)
        ]

    def _head(self) -> Strip:
        cells = [
            lines_of(column.title, TABLE, place.width - 2 * PAD, bold=True)
            for column, place in zip(self.table.columns, self.places, strict=True)
        ]
        deep = max(map(len, cells))
        high = deep * LINE + 2 * ABOVE
        marks: list[Mark] = [rect(0.0, 0.0, self.width, high, SHADE)]
        for lines, place in zip(cells, self.places, strict=True):
            top = ABOVE + (deep - len(lines)) * LINE
            marks += [_set(line, place, top + n * LINE, bold=True) for n, line in enumerate(lines)]
        marks.append(rule(0.0, high, self.width, BLACK, 0.8))
        return Strip(high, tuple(marks), keep=True)

    def _group_title(self, title: str) -> list[Strip]:
        place = _Place(0.0, self.width, right=False)
        return [
            Strip(LINE + 2 * ABOVE, (rect(0.0, 0.0, self.width, LINE + 2 * ABOVE, "#F4F6F7"),
                                     _set(line, place, ABOVE, bold=True)), keep=True)
            for line in lines_of(title, TABLE, self.width - 2 * PAD, bold=True)
        ]  # fmt: skip

    def _row(self, row: Row, again: tuple[Strip, ...]) -> list[Strip]:
        cells = [_lines(cell, place) for cell, place in zip(row, self.places, strict=True)]
        deep = max(map(len, cells))
        written = any(cell.tone == "blank" for cell in row)
        high = max(deep * LINE + 2 * ABOVE, WRITTEN if written else 0.0)
        if high <= self.limit:
            found = [self._strip(row, cells, high, again)]
        else:
            found = self._broken(row, cells, deep, again)
        landings = self.landings(row[0].text)
        return [replace(found[0], marks=(*landings, *found[0].marks)), *found[1:]]

    def _strip(
        self, row: Row, cells: Sequence[list[str]], high: float, again: tuple[Strip, ...]
    ) -> Strip:
        marks: list[Mark] = []
        for cell, lines, place in zip(row, cells, self.places, strict=True):
            marks += _cell(cell, lines, place, high)
        marks.append(rule(0.0, high, self.width))
        return Strip(high, tuple(marks), again=again)

    def _broken(
        self, row: Row, cells: Sequence[list[str]], deep: int, again: tuple[Strip, ...]
    ) -> list[Strip]:
        """Return a very high row line by line, so that it can go over the page."""
        found = []
        for n in range(deep):
            lines = [part[n : n + 1] for part in cells]
            here = [cell if n == 0 else replace(cell, tone=_later(cell.tone)) for cell in row]
            last = n == deep - 1
            strip = self._strip(tuple(here), lines, LINE + (2 * ABOVE if last else 0.0), again)
            marks = strip.marks if last else strip.marks[:-1]
            found.append(replace(strip, marks=marks, keep=n in {0, deep - 2}))
        return found


def _later(tone: str) -> str:
    return "" if tone == "blank" else tone


def _titled(title: str, width: float) -> list[str]:
    return lines_of(title, TABLE + 0.5, width, bold=True) if title else []


def _bold(cell: Cell) -> bool:
    return cell.tone in {"danger", "error", "warning"}


def _lines(cell: Cell, place: _Place) -> list[str]:
    if cell.tone == "blank":
        return [cell.text]
    room = place.width - 2 * PAD - (SIGNED if cell.tone in SIGNS else 0.0)
    return lines_of(cell.text, TABLE, room, _bold(cell))


SIGNS = frozenset({"danger", "error", "warning", "caution"})


def _cell(cell: Cell, lines: list[str], place: _Place, high: float) -> list[Mark]:
    if cell.tone == "blank":
        return _blank(cell.text, place, high)
    marks: list[Mark] = []
    if cell.tone in SIGNS and lines:
        marks.append(rect(place.left, 0.0, place.width, high, TINTS[cell.tone]))
        marks += sign(cell.tone, place.left + PAD + 3.0, ABOVE + LINE / 2, 3.6)
        place = _Place(place.left + SIGNED, place.width - SIGNED, place.right)
    colour = SOFT if cell.tone == "faint" else BLACK
    colour = to_hex(STATUS["ok"].text) if cell.tone == "ok" else colour
    return marks + [
        _set(line, place, ABOVE + n * LINE, bold=_bold(cell), colour=colour)
        for n, line in enumerate(lines)
    ]


def _blank(unit: str, place: _Place, high: float) -> list[Mark]:
    """A line to write on, and the unit behind it."""
    low = high - ABOVE - 2.5
    wide = breadth(unit, TABLE) + 3.0 if unit else 0.0
    right = place.left + place.width - PAD - wide
    marks: list[Mark] = [rule(place.left + PAD, low, right, BLACK, 0.6)]
    return [*marks, Words(right + 3.0, low - 0.5, unit, TABLE)] if unit else marks


def _set(line: str, place: _Place, top: float, *, bold: bool = False, colour: str = BLACK) -> Words:
    x = place.left + PAD
    if place.right:
        x = place.left + place.width - PAD - breadth(line, TABLE, bold)
    return Words(x, top + TABLE, line, TABLE, bold, colour)


def column_widths(table: Table, width: float) -> list[float]:
    """Share the width out: every column its longest word, figures all they need.

    The rest goes to columns of words so that rows get low: with b the breadth of a cell's words
    in one line and w that of its column, the sum of (b / w)^2 is least where w grows with the
    cube root of the sum of b^2.
    """
    columns = [_Need(column, [r[n] for g in table.groups for r in g.rows])
               for n, column in enumerate(table.columns)]  # fmt: skip
    spare = (width - sum(c.need for c in columns)) / max(len(columns), 1)
    if spare >= 0:
        return [c.need + min(spare, 14.0) for c in columns]
    if sum(c.least for c in columns) > width:
        return _squeezed([c.least for c in columns], width)
    return _balanced(columns, width)


class _Need:
    """What a column needs: `least` for its longest word, `need` for its longest line."""

    def __init__(self, column: Column, cells: Sequence[Cell]) -> None:
        needs = [_cell_needs(cell) for cell in cells]
        long = max((long for _, long in needs), default=0.0)
        title = breadth(column.title, TABLE, bold=True)
        word = _longest(column.title, bold=True)
        if column.figures and long <= FIGURES:
            self.least = self.need = max(word, long) + 2 * PAD
        else:
            self.least = max([word, *(short for short, _ in needs)]) + 2 * PAD
            self.need = max(title, long) + 2 * PAD
        self.weight = sum(long * long for _, long in needs) ** (1 / 3) or 1.0


def _balanced(columns: Sequence[_Need], width: float) -> list[float]:
    """Give columns breadths by their weights, none less than `least` or more than `need`."""
    found: dict[int, float] = {}
    open_ = dict(enumerate(columns))
    while open_:
        share = (width - sum(found.values())) / sum(c.weight for c in open_.values())
        low = {n: c.least for n, c in open_.items() if c.weight * share < c.least}
        high = {n: c.need for n, c in open_.items() if c.weight * share > c.need}
        settled = low or high or {n: c.weight * share for n, c in open_.items()}
        found |= settled
        open_ = {n: c for n, c in open_.items() if n not in settled}
    return [found[n] for n in range(len(columns))]


def _squeezed(least: Sequence[float], width: float) -> list[float]:
    """Cut the broadest columns to one breadth, so that the words of the others stay whole."""
    order = sorted(least)
    left = width
    for count, size in zip(range(len(order), 0, -1), order, strict=True):
        if size * count >= left:
            return [min(n, left / count) for n in least]
        left -= size
    return list(least)


def _cell_needs(cell: Cell) -> tuple[float, float]:
    if cell.tone == "blank":
        wide = TO_WRITE + breadth(cell.text, TABLE)
        return wide, wide
    extra, bold = (SIGNED if cell.tone in SIGNS else 0.0), _bold(cell)
    long = max(breadth(line, TABLE, bold) for line in cell.text.split("\n"))
    return min(max(_longest(cell.text, bold=bold), min(long, LEAST)), 150.0) + extra, long + extra


def _longest(text: str, *, bold: bool) -> float:
    words = GAP.split(text.replace("\n", " "))
    return max(breadth(word, TABLE, bold) for word in words)
