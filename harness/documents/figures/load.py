"""The load of a plan: amps, volts, drop, heat and share of what it bears, of every thing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from harness.base.data import dataclass
from harness.base.near import hint
from harness.base.refusal import Refusal
from harness.documents.figures import (
    NONE,
    figure,
    foot,
    mark,
    percent,
    plainly,
    stated,
    tone_of,
    whole,
)
from harness.documents.figures.sentences import (
    assumed,
    not_known,
    notes,
    points,
    share_cell,
    stray,
    title,
)
from harness.documents.figures.solved import QUANTITIES, SHOWN, SolvedPlan
from harness.documents.figures.way import held_rows, way_rows
from harness.electrics.flows import held
from harness.electrics.margins import HIGHEST, LOWEST, LOWEST_SECONDS
from harness.electrics.network import blamed
from harness.electrics.rows import KINDS, LoadRow, rows_of
from harness.facts.currents import currents
from harness.facts.mend_first import refuse_before
from harness.paper.records import CsvRecord
from harness.paper.sheet import (
    Cell,
    Figures,
    FigureSheet,
    Row,
    Table,
    amounts,
    grouped,
    headings,
    table,
)
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.ratings import Limit

CASE_COLUMNS = headings(
    "case", "what happens", "most from a pack", *amounts("rail V"), "lowest servo", "most loaded"
)
CASES_ABOUT = (
    "Rail V: the lowest at a receiver or autopilot. Cases that do not last are judged by what "
    "things bear for seconds."
)


@dataclass(frozen=True, slots=True)
class Extreme:
    """The largest or lowest figure of one case, and the row it is of; None where there is none."""

    value: float = float("nan")
    row: LoadRow | None = None


@dataclass(frozen=True, slots=True)
class CaseLine:
    """What is worst in one case: A from a pack, V at a rail and a servo, share (1 is all)."""

    pack: Extreme
    rail: float
    servo: Extreme
    share: Extreme


def case_line(solved: SolvedPlan, number: int) -> CaseLine:
    """Return what is worst in one case."""
    packs = [row for row in solved.rows if row.kind == "pack"]
    parts = solved.outcome.plan.parts
    servos = [r for r in solved.rows if r.kind == "part" and parts[r.part].swings]
    return CaseLine(
        pack=_extreme([(abs(float(row.amps[number])), row) for row in packs]),
        rail=_rail(solved, number),
        servo=_extreme([(float(r.volts[number]), r) for r in servos if r.volts is not None], -1.0),
        share=_extreme([(float(row.share[number]), row) for row in solved.rows]),
    )


def _rail(solved: SolvedPlan, number: int) -> float:
    """Return the lowest volts inside a receiver or autopilot that is fed."""
    outcome = solved.outcome
    boxes = [p for p in outcome.plan.parts.values() if p.has_channels]
    volts = [
        float(outcome.volts_in(box.id, "rail")[number])
        for box in boxes
        if box.id not in outcome.net.unfed
    ]
    return min((v for v in volts if v > 1e-3), default=float("nan"))


def _extreme(found: list[tuple[float, LoadRow]], sign: float = 1.0) -> Extreme:
    """Return the largest figure, or with a sign of -1 the lowest; the first of several alike."""
    known = [(float(f"{v:.9g}"), row) for v, row in found if np.isfinite(v)]
    return Extreme(*max(known, key=lambda one: sign * one[0])) if known else Extreme()


def case_table(solved: SolvedPlan) -> Table:
    """Return the list of the cases."""
    rows = []
    for number, case in solved.cases:
        line = case_line(solved, number)
        about = case.about + ("" if case.lasting else " (for seconds)")
        share = f"{percent(line.share.value)} {_named(line.share)}"
        rows.append(
            (
                f"{mark(number)} {case.name}",
                about,
                _with(line.pack, "A"),
                figure(line.rail),
                _with(line.servo, "V"),
                Cell(share if line.share.row else NONE, tone_of(line.share.value)),
            )
        )
    return table("Cases", CASE_COLUMNS, rows, CASES_ABOUT)


def _with(extreme: Extreme, unit: str) -> str:
    return f"{figure(extreme.value)} {unit} {_named(extreme)}" if extreme.row else NONE


def _named(extreme: Extreme) -> str:
    """Name a row in few words: the label of a lead, the plug, the part."""
    row = extreme.row
    if row is None:
        return ""
    if row.kind == "lead":
        return row.label
    return f"plug {row.name}" if row.kind == "plug" else row.part


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
    "Each figure is the worst of all cases, with the letter of its case: volts the lowest, or "
    "farthest below what is needed, all else the largest. Shares are of the amps that the thing "
    "bears continuously (cases that last) and for seconds. Wire °C: of the copper of a long wire "
    "in still air, in cases that last."
)
ONE_CASE = (
    "Shares are of the amps that the thing bears continuously (only in a case that lasts) and "
    "for seconds. Wire °C: of the copper of a long wire in still air, in a case that lasts."
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
        at = (
            solved.worst_volts(row)
            if quantity == "volts"
            else solved.worst(quantity, found[quantity])
        )
        if at is None:
            cells.append(Cell(NONE, "faint"))
            continue
        letter = f" {mark(at)}" if several else ""
        cells.append(quantity_cell(solved, row, quantity, at, letter))
    return tuple(cells)


def case_row(solved: SolvedPlan, row: LoadRow, number: int) -> Row:
    """Return the figures of a thing in one case, the case in the first cell."""
    case = solved.outcome.cases[number]
    cells = [quantity_cell(solved, row, q, number, "") for q in SHOWN]
    return (Cell(case.name), *cells)


def quantity_cell(solved: SolvedPlan, row: LoadRow, quantity: str, at: int, letter: str) -> Cell:
    """Write one figure of a row in a case."""
    value = float(solved.figures(row)[quantity][at])
    if not np.isfinite(value):
        return Cell(NONE, "faint")
    if quantity.startswith("share"):
        limit = row.steady if quantity == "share_continuous" else row.burst
        return share_cell(f"{percent(value)}{_of(limit)}{letter}", value)
    if quantity == "volts":
        high = "HIGH" if solved.is_high(row, value) else ""
        return _marked("LOW" if row.low[at] else high, figure(value) + letter)
    if quantity == "temperature_celsius":
        return _marked("OVER" if row.hot[at] else "", whole(value) + letter)
    return Cell((whole(value * 1000) if quantity == "drop_volts" else figure(value)) + letter)


def _marked(word: str, text: str) -> Cell:
    return Cell(f"{word} {text}", "danger") if word else Cell(text)


def _of(limit: Limit | None) -> str:
    return "" if limit is None else f" of {plainly(limit.figure.number)}"


RECORD = (
    "case", "lasts", "kind", "part", "port", "label", "name", *QUANTITIES,
    "bears_continuous_amps", "bears_seconds_amps", "worst",
)  # fmt: skip
"""The columns of the CSV; `worst`: whether the thing is loaded most in this case."""


def solved_of(wiring: Wiring, case: str = "") -> SolvedPlan:
    """Solve a plan in all its cases, to show one or all. Raises Refusal, NotSolved."""
    refuse_before(wiring)
    outcome = held(currents(wiring).wiring)
    return SolvedPlan(outcome, rows_of(outcome), case)


def part_named(plan: Plan, name: str) -> Part:
    """Return a part by its id. Raises Refusal with the nearest name."""
    if name in plan.parts:
        return plan.parts[name]
    near = hint(name, plan.parts)
    raise Refusal(f'there is no part "{name}" in this plan; {near}'.rstrip("; "))


def load(solved: SolvedPlan, at: str = "") -> Figures:
    """Return the load of all things, or of one part and what its supply passes. Raises Refusal."""
    tables: tuple[Table, ...] = (case_table(solved), load_table(solved, solved.rows))
    rows = list(solved.rows)
    if at:
        part = part_named(solved.outcome.plan, at)
        way = way_rows(solved, part)
        held = held_rows(solved, part, way)
        rows, tables = [*way, *held], _at_tables(solved, part, way, held)
        if not rows:
            raise Refusal(f'no current reaches "{part.id}", so it has no figures')
    plan, case = solved.outcome.plan, solved.case
    chosen = SolvedPlan(solved.outcome, tuple(rows), solved.case)
    sheet = FigureSheet(
        f"{plan.aircraft}: load{f' at {at}' if at else ''}{', ' * bool(case)}{case}",
        plan.revision,
        tuple(points(chosen)),
        tables,
        tuple(notes(chosen)),
        foot(plan),
    )
    return Figures(sheet, RECORD, tuple(_records(chosen)), _data(chosen))


def _at_tables(
    solved: SolvedPlan, part: Part, way: list[LoadRow], held: list[LoadRow]
) -> tuple[Table, ...]:
    """Show what a part's supply passes, what hangs on it, and each of its own rows in all cases."""
    found = [way_table(solved, way, part.named())] if way else []
    if held:
        found.append(load_table(solved, held))
    own = [row for row in way if row.part == part.id]
    if own and not solved.case:
        groups = ((title(row), [case_row(solved, row, n) for n in solved.shown]) for row in own)
        found.append(grouped(f"{part.named()} in every case", ("case", *COLUMNS), groups))
    return tuple(found)


def _records(solved: SolvedPlan) -> Iterable[CsvRecord]:
    for number, case in solved.cases:
        for row in solved.rows:
            found = solved.figures(row)
            yield {
                "case": case.name,
                "lasts": "continuous" if case.lasting else "seconds",
                "kind": row.kind,
                "part": row.part,
                "port": row.port,
                "label": row.label,
                "name": row.name,
                **{quantity: float(found[quantity][number]) for quantity in QUANTITIES},
                "bears_continuous_amps": _amps(row.steady),
                "bears_seconds_amps": _amps(row.burst),
                "worst": row.worst == number,
            }


def _amps(limit: Limit | None) -> float | None:
    return None if limit is None else limit.figure.number


def _data(solved: SolvedPlan) -> dict[str, Any]:
    """Return everything for other programs; the units are in the names of the keys."""
    plan = solved.outcome.plan
    return {
        **stated("load", plan),
        "cases": [_case(solved, number) for number in solved.shown],
        "not_solved": [
            {"case": name, "blamed": why.element, "because": blamed(plan, why)}
            for name, why in solved.outcome.trouble.items()
            if solved.case in {"", name}
        ],
        "rows": [_row(solved, row) for row in solved.rows],
        "assumed": [{"part": a.part, "what": a.what, "key": a.key} for a in assumed(solved)],
        "not_known": [{"part": part, "missing": what} for part, what in not_known(solved)],
        "unfed": solved.outcome.net.unfed,
    }


def _case(solved: SolvedPlan, number: int) -> dict[str, Any]:
    case, line = solved.outcome.cases[number], case_line(solved, number)
    return {
        "name": case.name,
        "about": case.about,
        "lasts": "continuous" if case.lasting else "seconds",
        "throttle": case.throttle,
        "charge": case.charge,
        "air_celsius": case.temperature,
        "most_from_a_pack": _extreme_data(line.pack, "amps"),
        "lowest_rail_volts": line.rail,
        "lowest_servo": _extreme_data(line.servo, "volts"),
        "most_loaded": _extreme_data(line.share, "share"),
    }


def _extreme_data(extreme: Extreme, key: str) -> dict[str, Any] | None:
    row = extreme.row
    if row is None:
        return None
    return {"kind": row.kind, "part": row.part, "port": row.port, key: extreme.value}


def _row(solved: SolvedPlan, row: LoadRow) -> dict[str, Any]:
    found = solved.figures(row)
    worst = {quantity: solved.worst(quantity, found[quantity]) for quantity in QUANTITIES}
    cases = solved.outcome.cases
    return {
        "kind": row.kind,
        "part": row.part,
        "port": row.port,
        "label": row.label,
        "name": row.name,
        "bears": {
            "continuous": _limit(row.steady),
            "seconds": _limit(row.burst),
            "celsius": row.insulation.number if row.insulation else None,
        },
        "needs": {
            "lowest_volts": solved.volts_limit(row, LOWEST),
            "lowest_volts_for_seconds": solved.volts_limit(row, LOWEST_SECONDS),
            "highest_volts": solved.volts_limit(row, HIGHEST),
        },
        "worst": {
            quantity: None if at is None else {"case": cases[at].name, "value": found[quantity][at]}
            for quantity, at in worst.items()
        },
        "stray_amps": _largest_stray(solved, row) if row.kind == "plug" else None,
        "cases": {case.name: {q: found[q][n] for q in QUANTITIES} for n, case in solved.cases},
    }


def _largest_stray(solved: SolvedPlan, row: LoadRow) -> dict[str, Any] | None:
    """Other parts' current through a 3-pin plug where it is largest: a ground loop."""
    at, amps = stray(solved, row)
    if at is None or not np.isfinite(amps):
        return None
    return {"case": solved.outcome.cases[at].name, "value": amps}


def _limit(limit: Limit | None) -> dict[str, Any] | None:
    if limit is None:
        return None
    return {"amps": limit.figure.number, "what": limit.what, "origin": limit.figure.origin}
