"""A page of figures in Markdown: GitHub tables (GFM specification, section 4.10)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.paper.sheet import Cell, FigureSheet, Table


def as_markdown(sheet: FigureSheet) -> str:
    """Return the page: its title, its sentences, its tables, its notes, its foot."""
    blocks = [f"# {_plain(sheet.title)}", f"Plan revision {_plain(sheet.revision)}"]
    blocks += [_listed(point.text for point in sheet.points)] if sheet.points else []
    for table in sheet.tables:
        blocks += [f"## {_plain(table.title)}"] if table.title else []
        blocks += ["\n".join(_table(table)), *([_plain(table.about)] if table.about else [])]
    for note in sheet.notes:
        blocks += [f"## {_plain(note.title)}", _listed(note.lines)]
    return "\n\n".join([*blocks, *map(_plain, sheet.foot)]) + "\n"


def _listed(lines: Iterable[str]) -> str:
    return "\n".join(f"- {_plain(line)}" for line in lines)


def _table(table: Table) -> Iterator[str]:
    """Yield the lines of a table; the heading of a group stands in its first column."""
    wide = len(table.columns)
    yield _row(_plain(column.title) for column in table.columns)
    yield "|" + "".join(" ---: |" if column.figures else " --- |" for column in table.columns)
    for group in table.groups:
        if group.title:
            yield _row([f"**{_plain(group.title)}**", *[""] * (wide - 1)])
        yield from (_row(map(_cell, row)) for row in group.rows)


def _row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(cells) + " |"


def _cell(cell: Cell) -> str:
    return "<br>".join(map(_plain, cell.text.split("\n")))


def _plain(text: str) -> str:
    """Escape what GitHub would take for markup."""
    plain = " ".join(text.split()).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    for sign in "\\|*_`[]~#":
        plain = plain.replace(sign, f"\\{sign}")
    return plain
