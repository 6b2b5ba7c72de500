"""Tables in a page: wide ones scroll in a frame of their own or, on a narrow screen, are cards."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from harness.paper.html.signs import aloud, sign
from harness.paper.sheet import Cell, Column, Row, RowGroup, Table

FEW = 3
"""Columns that a narrow screen shows side by side, when they hold words."""
SHORT = 10
"""Letters up to which one word at the head of a row, a label code say, is not broken."""
LONG = 18
"""Letters from which on a cell is not squeezed into a column of single words."""
WORDY = 36
"""Letters from which on a cell of a card has the card's whole breadth."""
TICKED = ("passed", "done")
"""Columns whose blank cells are ticked, not written in."""

Anchors = Callable[[str], str]


class TableWriter:
    """Writes the tables of one chapter; `anchor_of` gives a row's id or "", by its first cell."""

    def __init__(self, keep: Callable[[str], str], anchor_of: Anchors, link_of: Anchors) -> None:
        self.keep, self.anchor_of, self.link_of = keep, anchor_of, link_of

    def table(self, table: Table, level: int) -> str:
        """Return a table with its heading and what is said about it."""
        title = escape(table.title)
        head = "".join(
            f'<th scope="col" role="columnheader"{_classes(_figure(column))}>'
            f"{escape(column.title)}</th>"
            for column in table.columns
        )
        bodies = "\n".join(self._group(group, table) for group in table.groups)
        heading = f"<h{level}>{title}</h{level}>\n" if title else ""
        about = f'\n<p class="about">{escape(table.about)}</p>' if table.about else ""
        return (
            f'{heading}<div class="wide {form_of(table)}" role="region" '
            f'aria-label="{title or "table"}" tabindex="0">\n<table role="table">\n'
            f'<thead role="rowgroup">\n<tr role="row">{head}</tr>\n</thead>\n{bodies}\n</table>\n'
            f"</div>{about}"
        )

    def _group(self, group: RowGroup, table: Table) -> str:
        rows = []
        if group.title:
            rows.append(
                f'<tr role="row"><th scope="rowgroup" role="rowheader" class="group" '
                f'colspan="{len(table.columns)}"><span>{escape(group.title)}</span></th></tr>'
            )
        rows += [self._row(row, table) for row in group.rows]
        return '<tbody role="rowgroup">\n' + "\n".join(rows) + "\n</tbody>"

    def _row(self, row: Row, table: Table) -> str:
        first, *rest = row
        code = ["code"] * (len(first.text) <= SHORT and " " not in first.text)
        classes = _classes(_tone(first) + code)
        anchor = self.anchor_of(first.text)
        ident = f' id="{anchor}"' if anchor else ""
        link = self.link_of(first.text)
        words = self._cell(first, row, table.columns[0], table)
        words = f'<a class="chip" href="#{link}">{words}</a>' if link else words
        cells = "".join(
            self._data(cell, row, column, table)
            for cell, column in zip(rest, table.columns[1:], strict=True)
        )
        return (
            f'<tr role="row"{ident}><th scope="row" role="rowheader"{classes}>{words}</th>'
            f"{cells}</tr>"
        )

    def _data(self, cell: Cell, row: Row, column: Column, table: Table) -> str:
        empty = ["none"] if not cell.text and cell.tone != "blank" else []
        words = 0 if column.figures else len(cell.text)
        long = ["long"] * (words > LONG) + ["wordy"] * (words > WORDY)
        classes = _classes([*_figure(column), *_tone(cell), *empty, *long])
        label = f'<span class="k" aria-hidden="true">{escape(column.title)}</span>'
        return f'<td role="cell"{classes}>{label}{self._cell(cell, row, column, table)}</td>'

    def _cell(self, cell: Cell, row: Row, column: Column, table: Table) -> str:
        if cell.tone == "blank":
            return f'<span class="v">{self._field(cell, row, column, table)}</span>'
        words = f"{sign(cell.tone)}{aloud(cell.tone, cell.text)}{escape(cell.text)}"
        return f'<span class="v">{words}</span>'

    def _field(self, cell: Cell, row: Row, column: Column, table: Table) -> str:
        """Return room to write in, or a box where a column is ticked; kept on the device."""
        name, unit = _name(row), escape(cell.text)
        key = escape(self.keep(f"{table.title} | {name} | {column.title}"))
        about = escape(", ".join(filter(None, (name, column.title, cell.text))))
        kept = f'data-word="{key}" aria-label="{about}"'
        if column.title in TICKED and not unit:
            return f'<input class="box" type="checkbox" {kept}>'
        mode = ' inputmode="decimal"' if unit else ""  # a unit stands behind a number
        behind = f' <span class="unit">{unit}</span>' if unit else ""
        return f'<input class="blank" type="text" autocomplete="off"{mode} {kept}>{behind}'


def _name(row: Row) -> str:
    """Return what a row is about, the same when rows before it come and go: no mere number."""
    texts = [cell.text for cell in row if cell.text and cell.tone != "blank"]
    return next((text for text in texts if not text.isdecimal()), row[0].text)


def form_of(table: Table) -> str:
    """Say how a table is shown on a narrow screen: plain, cards, or rows that scroll."""
    columns = table.columns
    figures = sum(column.figures for column in columns)
    cells = [cell for group in table.groups for row in group.rows for cell in row]
    if any(cell.tone == "blank" for cell in cells):
        return "cards"
    if len(columns) <= FEW and figures < len(columns):
        return "plain"
    return "rows" if 2 * figures > len(columns) else "cards"


def _figure(column: Column) -> list[str]:
    return ["figure"] if column.figures else []


def _tone(cell: Cell) -> list[str]:
    return [name for name in (cell.tone, cell.side) if name]


def _classes(names: list[str]) -> str:
    return f' class="{" ".join(names)}"' if names else ""
