"""The rows of a load sheet: one thing a row, its worst of all cases, or one case."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from harness.documents.figures.rounded import NONE, figure, mark, percent, plainly, whole
from harness.documents.figures.sentences import share_cell
from harness.documents.figures.solved import SHOWN, SolvedPlan
from harness.electrics.rows import HIGHEST, KINDS, LOWEST, LoadRow
from harness.paper.sheet import Cell, Row, Table
from harness.paper.tables import amounts, grouped, table
from harness.wiring.ratings import Limit

KIND_WORDS = {
    "pack": "packs (what they give)",
    "supply": "BECs and regulators (what they give and burn)",
    "part": "parts (what they draw and the volts they get)",
    "lead": "leads (what their copper carries and loses, there and back)",
    "plug": "plugs (what their contacts carry and lose, there and back)",
    "rail": "rails (what passes the box)",
}
COLUMNS = amounts("amps", "volts", "drop mV", "loss W", "continuous", "for seconds", "wire °C")
LETTERS = (
    "Each figure is the worst of all cases, with the letter of its case: volts the lowest, all "
    "else the largest. Shares are of the amps that the thing bears continuously (cases that "
    "last) and for seconds. Wire °C: the conductor's estimated temperature in cases that last."
)
ONE_CASE = (
    "Shares are of the amps that the thing bears continuously (only in a case that lasts) and "
    "for seconds. Wire °C: the conductor's estimated temperature, in a case that lasts."
)


def load_table(solved: SolvedPlan, rows: Iterable[LoadRow]) -> Table:
    """Return one table with a group a kind, most loaded first within each."""
    chosen = list(rows)
    groups = (
        (KIND_WORDS[kind], [load_row(solved, row) for row in solved.ranked(of)])
        for kind in KINDS
        if (of := [row for row in chosen if row.kind == kind])
    )
    one = len(solved.shown) == 1
    title = f"Load in {solved.cases[0][1].name}" if one else "Load, the worst of all cases"
    return grouped(title, ("what", *COLUMNS), groups, ONE_CASE if one else LETTERS)


def way_table(solved: SolvedPlan, rows: Iterable[LoadRow], part: str) -> Table:
    """Return one table of what a part's supply passes, nearest to the part first."""
    about = ONE_CASE if len(solved.shown) == 1 else f"{LETTERS} {letters(solved)}"
    title = f"{part} and what its supply passes, from the part to the source"
    found = (load_row(solved, row, kind=True) for row in rows)
    return table(title, ("what", *COLUMNS), found, about)


def letters(solved: SolvedPlan) -> str:
    """Say which letter stands for which case."""
    return "Cases: " + ", ".join(f"{mark(n)} {case.name}" for n, case in solved.cases) + "."


def named(row: LoadRow) -> str:
    """Name a row within its kind: its label code first."""
    return f"{row.label}: {row.name}" if row.label else row.name


def load_row(solved: SolvedPlan, row: LoadRow, *, kind: bool = False) -> Row:
    """Return a row's worst figures, each with the letter of its case where there are several."""
    found = solved.figures(row)
    several = len(solved.shown) > 1
    word = f"{row.kind} " if kind and row.kind in {"lead", "plug"} else ""
    cells = [Cell(word + named(row))]
    for quantity in SHOWN:
        at = solved.worst(quantity, found[quantity])
        if at is None:
            cells.append(Cell(NONE, "faint"))
            continue
        letter = f" {mark(at)}" if several else ""
        cells.append(quantity_cell(solved, row, quantity, float(found[quantity][at]), letter))
    return tuple(cells)


def case_row(solved: SolvedPlan, row: LoadRow, number: int) -> Row:
    """Return the figures of a thing in one case, the case in the first cell."""
    found, case = solved.figures(row), solved.outcome.cases[number]
    cells = [quantity_cell(solved, row, q, float(found[q][number]), "") for q in SHOWN]
    return (Cell(case.name), *cells)


def quantity_cell(
    solved: SolvedPlan, row: LoadRow, quantity: str, value: float, letter: str
) -> Cell:
    """Write one figure of a row."""
    if not np.isfinite(value):
        return Cell(NONE, "faint")
    if quantity.startswith("share"):
        limit = row.steady if quantity == "share_continuous" else row.burst
        return share_cell(f"{percent(value)}{_of(limit)}{letter}", value)
    if quantity == "volts" and solved.is_beyond(row, LOWEST, value):
        return Cell(f"LOW {figure(value)}{letter}", "danger")
    if quantity == "volts" and solved.is_beyond(row, HIGHEST, value):
        return Cell(f"HIGH {figure(value)}{letter}", "danger")
    if quantity == "drop_volts":
        return Cell(whole(value * 1000) + letter)
    return Cell((whole if quantity == "temperature_celsius" else figure)(value) + letter)


def _of(limit: Limit | None) -> str:
    return "" if limit is None else f" of {plainly(limit.figure.number)}"
