"""Figures as one HTML page that needs nothing else, to read on a screen or to print."""

from __future__ import annotations

from html import escape

from harness.base.colours import INK, STATUS, to_hex
from harness.paper.forms import html_page
from harness.paper.sheet import Cell, Column, Figures, Group, Note, Row, Table

STYLE = f"""
@page {{ size: landscape; margin: 12mm; }}
body {{ font: 14px/1.4 "DejaVu Sans", Verdana, sans-serif; color: {to_hex(INK)};
  background: #FFFFFF; margin: 1rem; }}
h1 {{ font-size: 1.4rem; margin: 0; }}
h2 {{ font-size: 1.1rem; margin: 1.5rem 0 0.3rem; }}
ul {{ padding-left: 1.2rem; }}
.wide {{ overflow-x: auto; }}
table {{ border-collapse: collapse; margin: 0.3rem 0 0.6rem; }}
th, td {{ border-bottom: 1px solid #767676; padding: 0.3rem 0.5rem; text-align: left;
  vertical-align: top; }}
thead th, th.group {{ background: #E8ECEF; }}
tbody th {{ font-weight: normal; min-width: 11rem; }}
tbody th.group {{ font-weight: bold; }}
.figure {{ text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }}
.danger {{ color: {to_hex(STATUS["danger"].text)}; font-weight: bold; }}
.warning {{ color: {to_hex(STATUS["warning"].text)}; font-weight: bold; }}
.ok {{ color: {to_hex(STATUS["ok"].text)}; }}
.faint {{ color: {to_hex(STATUS["unknown"].text)}; }}
td.danger, td.warning {{ background: #FFF4EC; }}
@media print {{ body {{ font-size: 8.5pt; margin: 0; }} .wide {{ overflow: visible; }}
  thead {{ display: table-header-group; }} tr {{ break-inside: avoid; }} }}
"""


def as_html(figures: Figures) -> str:
    """Return the page."""
    sheet = figures.sheet
    points = "".join(f"<li{_tone(point)}>{escape(point.text)}</li>\n" for point in sheet.points)
    body = [
        f"<h1>{escape(sheet.title)}</h1>\n<p>Plan revision {escape(sheet.revision)}</p>",
        f"<ul>\n{points}</ul>" if points else "",
        *map(_table, sheet.tables),
        *map(_note, sheet.notes),
        *(f"<p>{escape(text)}</p>" for text in sheet.foot),
    ]
    return html_page(sheet.title, STYLE, "\n".join(text for text in body if text))


def _tone(cell: Cell, *more: str) -> str:
    classes = " ".join([*more, *([cell.tone] if cell.tone else [])])
    return f' class="{classes}"' if classes else ""


def _table(table: Table) -> str:
    """A wide table scrolls in a frame of its own, which the keyboard can reach too."""
    head = "".join(
        f'<th scope="col"{_tone(Cell(""), *_figure(column))}>{escape(column.title)}</th>'
        for column in table.columns
    )
    title = escape(table.title)
    about = f"<p>{escape(table.about)}</p>\n" if table.about else ""
    bodies = "\n".join(_group(group, table.columns) for group in table.groups)
    return (
        f"<h2>{title}</h2>\n"
        f'<div class="wide" role="region" aria-label="{title}" tabindex="0">\n'
        f"<table>\n<thead>\n<tr>{head}</tr>\n</thead>\n{bodies}\n</table>\n</div>\n{about}"
    ).rstrip("\n")


def _group(group: Group, columns: tuple[Column, ...]) -> str:
    span = len(columns)
    rows = [f'<tr><th scope="rowgroup" class="group" colspan="{span}">{escape(group.title)}'
            "</th></tr>"] if group.title else []  # fmt: skip
    rows += [_row(row, columns) for row in group.rows]
    return "<tbody>\n" + "\n".join(rows) + "\n</tbody>"


def _row(row: Row, columns: tuple[Column, ...]) -> str:
    first, *rest = row
    cells = "".join(
        f"<td{_tone(cell, *_figure(column))}>{escape(cell.text)}</td>"
        for cell, column in zip(rest, columns[1:], strict=True)
    )
    return f'<tr><th scope="row"{_tone(first)}>{escape(first.text)}</th>{cells}</tr>'


def _figure(column: Column) -> list[str]:
    return ["figure"] if column.figures else []


def _note(note: Note) -> str:
    lines = "".join(f"<li>{escape(line)}</li>\n" for line in note.lines)
    return f"<h2>{escape(note.title)}</h2>\n<ul>\n{lines}</ul>"
