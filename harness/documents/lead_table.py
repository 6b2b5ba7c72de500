"""The lead list as a table for people: what belongs together stands in one cell.

So the list fits a terminal or a printed page; nothing is cut off. Its CSV has every column.
"""

from __future__ import annotations

from itertools import zip_longest

from harness.base.near import capital
from harness.documents.leadlist import LeadList, lead_list
from harness.paper.lines import HARD
from harness.paper.records import CsvRecord
from harness.paper.sheet import Cell, Figures, FigureSheet, Row, Table
from harness.paper.tables import table
from harness.wiring.build import Wiring
from harness.wiring.ratings import THREE_PIN

FIRST = "The makers' instructions and local rules come first."
TITLES = ("label", "lead", "end A", "end B", "wire", "current", "notes")
LEGEND = (
    "A is the plug, towards receiver or pack; B the socket, or the part the lead grows out of. "
    "~ is the usual insulation or gauge, where the plan states none; → is the pale wire, where "
    "a 3-pin plug fits either way round. Currents are continuous / for seconds: what flows, and "
    "of how much the lead bears."
)


def lead_document(wiring: Wiring) -> Figures:
    """Return the lead list of a wiring."""
    return lead_figures(lead_list(wiring))


def lead_figures(leads: LeadList) -> Figures:
    """Return the lead list in all its forms."""
    title = f"{leads.aircraft}: lead list"
    caution = f"{capital(leads.off)} and packs out while you wire. {FIRST}"
    sheet = FigureSheet(title, leads.revision, (), (lead_table(leads),), foot=(LEGEND, caution))
    return Figures(sheet, leads.columns, leads.rows)


def lead_table(leads: LeadList) -> Table:
    """Return one row a lead; a cell that says several things says each on a line."""
    return table("", TITLES, map(_row, leads.rows))


def _row(row: CsvRecord) -> Row:
    label, *others = cells(row)
    return (Cell(label[0], side=row["side"]), *map(_cell, others))


def _cell(lines: list[str]) -> Cell:
    pulled = any(line.startswith("PULLED") for line in lines)
    return Cell("\n".join(lines), "warning" if pulled else "")


def cells(row: CsvRecord) -> list[list[str]]:
    """Return the lines of each cell of a row, in the order of `TITLES`."""
    return [
        [row["label"]],
        [row["lead"], row["kind"]],
        _end(row, "A"),
        _end(row, "B"),
        _wire(row),
        _current(row),
        _notes(row),
    ]


def _end(row: CsvRecord, name: str) -> list[str]:
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


def _wire(row: CsvRecord) -> list[str]:
    usual = "~" if row["colours from"] == "usual" else ""
    by_class = "~" if row["gauge from"] == "class" else ""
    colours = f"{usual}{row['colours']}" if row["colours"] else f"{row['wires']} wires"
    pale = row["arrow"].partition(" (")[0]
    arrow = f" →{HARD}{pale}" if pale else ""
    size = ", ".join(t for t in (f"{by_class}{row['gauge']}", row["length"]) if t)
    return [text for text in (f"{colours}{arrow}", size.replace(" ", HARD)) if text]


def _current(row: CsvRecord) -> list[str]:
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


def _notes(row: CsvRecord) -> list[str]:
    joint = [f"crosses joint {row['crosses joint']}"] if row["crosses joint"] else []
    return joint + ([row["notes"]] if row["notes"] else [])
