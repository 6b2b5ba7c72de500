"""A lead list as text table, CSV (RFC 4180), Markdown (GitHub tables) and HTML.

CSV has every column. The others put what belongs together into one cell, so that the list
fits a terminal or a printed page; nothing is cut off.
"""

from __future__ import annotations

import textwrap
from html import escape
from itertools import zip_longest

from harness.base.colours import INK, SIDES, STATUS, to_hex
from harness.documents.leadlist import LeadList, Row
from harness.paper.forms import csv_text, harmless, html_page, wrapped
from harness.wiring.ratings import THREE_PIN

Cell = list[str]
"""The lines of one cell."""

WIDTH = 110
TITLES = ("label", "lead", "end A", "end B", "wire", "current", "notes")
SHARES = (0.08, 0.16, 0.22, 0.24, 0.17, 0.13, 0.1)
HARD = "\u00a0"
"""A space at which no line is broken."""
TYPED = str.maketrans({HARD: " ", "→": "->"})
"""For a terminal, which may know neither sign."""
CAUTION = (
    "Propellers off and packs out while you wire. The makers' instructions and local rules "
    "come first."
)
LEGEND = (
    "A is the plug, towards receiver or pack; B the socket, or the part the lead grows out of. "
    "~ is the usual insulation or gauge, where the plan states none; → is the pale wire, where "
    "a 3-pin plug fits either way round. Currents are continuous / for seconds: what flows, and "
    "of how much the lead bears."
)


def render(leads: LeadList, to: str) -> str:
    """Return a lead list as `table`, `csv`, `markdown` or `html`. Raises ValueError otherwise."""
    writers = {"table": as_table, "csv": as_csv, "markdown": as_markdown, "html": as_html}
    if to not in writers:
        raise ValueError(f'a lead list can be written as {", ".join(writers)}, not as "{to}"')
    return writers[to](leads)


def as_csv(leads: LeadList) -> str:
    """Return RFC 4180 text: a heading, one record a lead, lines ending in CR LF."""
    records = ([harmless(row[column]) for column in leads.columns] for row in leads.rows)
    return csv_text(leads.columns, records)


def cells(row: Row) -> list[Cell]:
    """Return one row as the cells of `TITLES`."""
    return [
        [row["label"]],
        [row["lead"], row["kind"].replace(" ", HARD)],
        _end(row, "A"),
        _end(row, "B"),
        _wire(row),
        _current(row),
        _notes(row),
    ]


def _end(row: Row, name: str) -> Cell:
    """One line an end: `3-pin plug in rx 1 (fuselage)`, `3-pin socket 2: aileron-right`."""
    columns = ("end", "connector", "part", "socket", "place")
    texts = [row[f"{name} {column}"].split("; ") for column in columns]
    found = [_joined(*values) for values in zip_longest(*texts, fillvalue="")]
    pulled = row["A pulled"] if name == "A" else ""
    return [*found, *([f"PULLED: {pulled}"] if pulled else [])]


def _joined(end: str, connector: str, part: str, socket: str, place: str) -> str:
    where = f" ({place})" if place else ""
    if end == "fixed":
        return f"at {part}{where}"
    kind = connector.rpartition(" ")[0].replace(THREE_PIN, "3-pin")
    if part == "nothing":
        return f"{kind} {end}: nothing{where}"
    if end.startswith("socket"):
        return f"{kind} {end}: {part}{_named(socket, {'plug', 'main', 'in-1'})}{where}"
    return f"{kind} {end} in {part}{_named(socket, {'main', 'motor'})}{where}"


def _named(socket: str, plain: set[str]) -> str:
    return "" if socket in plain or not socket else f"{HARD}{socket}"


def _wire(row: Row) -> Cell:
    usual = "~" if row["colours from"] == "usual" else ""
    by_class = "~" if row["gauge from"] == "class" else ""
    colours = f"{usual}{row['colours']}" if row["colours"] else f"{row['wires']} wires"
    pale = row["arrow"].partition(" (")[0]
    arrow = f" →{HARD}{pale}" if pale else ""
    size = ", ".join(t for t in (f"{by_class}{row['gauge']}", row["length"]) if t)
    size = size.replace(" ", HARD).replace(f",{HARD}", ", ")
    return [text for text in (f"{colours}{arrow}", size) if text]


def _current(row: Row) -> Cell:
    found = []
    if row["load"]:
        found.append(_pair(row["load"], row["load short"]))
    if row["load not known"]:
        found.append(f"+ {row['load not known']}, not known")
    if row["rating"] or row["rating short"]:
        word = "of" if row["load"] else "bears"
        found.append(f"{word}{HARD}" + _pair(row["rating"] or "?", row["rating short"] or "?"))
    return found or ["not known"]


def _pair(good: str, short: str) -> str:
    """Two currents on one line; the unit once where they share it."""
    unit = good.rpartition(" ")[2]
    first = good.removesuffix(f" {unit}") if short.endswith(f" {unit}") else good
    return f"{first} / {short}".replace(" ", HARD)


def _notes(row: Row) -> Cell:
    joint = [f"crosses joint {row['crosses joint']}"] if row["crosses joint"] else []
    return joint + ([row["notes"]] if row["notes"] else [])


def as_table(leads: LeadList, width: int = WIDTH) -> str:
    """Return a text table of at most `width` columns where its longest words allow."""
    body = [cells(row) for row in leads.rows]
    widths = _widths(body, width)
    rule = "  ".join("-" * w for w in widths)
    title = f"{leads.aircraft}: lead list, plan revision {leads.revision}"
    lines = [title, "", *_text_row([[word] for word in TITLES], widths), rule]
    for row in body:
        lines += _text_row(row, widths)
    foot = [*textwrap.wrap(LEGEND, width), *textwrap.wrap(CAUTION, width)]
    return "\n".join([*lines, rule, "", *foot]).translate(TYPED) + "\n"


def _widths(body: list[list[Cell]], width: int) -> list[int]:
    """Share the width out: no column narrower than its longest word or wider than it needs."""
    room = width - 2 * (len(TITLES) - 1)
    found = []
    for number, title in enumerate(TITLES):
        texts = [title, *(line for row in body for line in row[number])]
        word = max(len(w) for text in texts for w in text.split(" "))
        need = max(map(len, texts))
        found.append(min(need, max(word, round(room * SHARES[number]))))
    return found


def _text_row(row: list[Cell], widths: list[int]) -> list[str]:
    pieces = [
        [piece for line in cell for piece in wrapped(line, width)]
        for cell, width in zip(row, widths, strict=True)
    ]
    return [
        "  ".join(text.ljust(width) for text, width in zip(line, widths, strict=True)).rstrip()
        for line in zip_longest(*pieces, fillvalue="")
    ]


def as_markdown(leads: LeadList) -> str:
    """Return a GitHub table; a cell's lines are parted by <br>, its pipes escaped."""
    head = ["| " + " | ".join(TITLES) + " |", "|" + " --- |" * len(TITLES)]
    rows = [_md_row(cells(row)) for row in leads.rows]
    title = f"# {_md(leads.aircraft)}: lead list"
    foot = [_md(LEGEND), "", _md(CAUTION)]
    revision = f"Plan revision {leads.revision}"
    return "\n".join([title, "", revision, "", *head, *rows, "", *foot]) + "\n"


def _md_row(row: list[Cell]) -> str:
    return "| " + " | ".join("<br>".join(map(_md, cell)) for cell in row) + " |"


def _md(text: str) -> str:
    """Escape what GitHub would take for markup inside a table cell."""
    plain = " ".join(text.split()).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    for sign in "\\|*_`[]~#":
        plain = plain.replace(sign, f"\\{sign}")
    return plain


STYLE = f"""
@page {{ size: landscape; margin: 12mm; }}
body {{ font: 14px/1.4 "DejaVu Sans", Verdana, sans-serif; color: {to_hex(INK)};
  background: #FFFFFF; margin: 1rem; }}
h1 {{ font-size: 1.4rem; margin: 0; }}
table {{ border-collapse: collapse; width: 100%; margin: 1rem 0; }}
th, td {{ border-bottom: 1px solid #767676; padding: 0.3rem 0.5rem; text-align: left;
  vertical-align: top; }}
thead th {{ background: #E8ECEF; }}
tbody th {{ white-space: nowrap; font-size: 1.05rem; border-left: 5px solid #FFFFFF; }}
tr.left th {{ border-left-color: {to_hex(SIDES["left"])}; }}
tr.right th {{ border-left-color: {to_hex(SIDES["right"])}; }}
strong {{ color: {to_hex(STATUS["danger"].text)}; }}
@media print {{ body {{ font-size: 8.5pt; margin: 0; }} thead {{ display: table-header-group; }}
  tr {{ break-inside: avoid; }} }}
"""


def as_html(leads: LeadList) -> str:
    """Return one page that needs nothing else, to read on a screen or to print."""
    head = "".join(f'<th scope="col">{escape(title)}</th>' for title in TITLES)
    rows = "\n".join(_html_row(row) for row in leads.rows)
    title = f"{leads.aircraft}: lead list"
    body = (
        f"<h1>{escape(title)}</h1>\n<p>Plan revision {escape(leads.revision)}</p>\n"
        f"<table>\n<thead>\n<tr>{head}</tr>\n</thead>\n<tbody>\n{rows}\n</tbody>\n</table>\n"
        f"<p>{escape(LEGEND)}</p>\n<p>{escape(CAUTION)}</p>"
    )
    return html_page(title, STYLE, body)


def _html_row(row: Row) -> str:
    label, *rest = cells(row)
    side = f' class="{row["side"]}"' if row["side"] else ""
    cells_ = "".join(f"<td>{'<br>'.join(map(_html_line, cell))}</td>" for cell in rest)
    return f'<tr{side}><th scope="row">{escape(label[0])}</th>{cells_}</tr>'


def _html_line(line: str) -> str:
    text = escape(line)
    return f"<strong>{text}</strong>" if line.startswith("PULLED") else text
