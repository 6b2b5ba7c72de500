"""The load of a plan: amps, volts, drop, heat and share of what it bears, of every thing."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np

from harness.base.near import hint
from harness.base.refusal import Refusal
from harness.documents.figures import stated
from harness.documents.figures.case_list import Extreme, case_line, case_table
from harness.documents.figures.caveats import assumed, not_known, notes
from harness.documents.figures.load_rows import COLUMNS, case_row, load_table, way_table
from harness.documents.figures.rounded import foot
from harness.documents.figures.sentences import points, stray, title
from harness.documents.figures.solved import QUANTITIES, SolvedPlan, blamed
from harness.documents.figures.way import held_rows, way_rows
from harness.electrics.outcome import outcome_of
from harness.electrics.rows import HIGHEST, LOWEST, LoadRow, rows_of
from harness.paper.records import CsvRecord
from harness.paper.sheet import Figures, FigureSheet, Table
from harness.paper.tables import grouped
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.ratings import Limit

RECORD = (
    "case", "lasts", "kind", "part", "port", "label", "name", *QUANTITIES,
    "bears_continuous_amps", "bears_seconds_amps", "worst",
)  # fmt: skip
"""The columns of the CSV; `worst`: whether the thing is loaded most in this case."""


def solved_of(wiring: Wiring, case: str = "") -> SolvedPlan:
    """Solve a plan in all its cases, to show one or all. Raises Refusal, NotSolved."""
    outcome = outcome_of(wiring)
    return SolvedPlan(outcome, rows_of(outcome), case)


def part_named(plan: Plan, name: str) -> Part:
    """Return a part by its id. Raises Refusal with the nearest name."""
    if name in plan.parts:
        return plan.parts[name]
    near = hint(name, plan.parts)
    raise Refusal(f'there is no part "{name}" in this plan; {near}'.rstrip("; "))


def load(solved: SolvedPlan, at: str = "") -> Figures:
    """Return the load of all things, or of one part and what its supply passes. Raises Refusal."""
    part = part_named(solved.outcome.plan, at) if at else None
    if part is None:
        rows, tables = list(solved.rows), _all_tables(solved)
    else:
        way = way_rows(solved, part)
        held = held_rows(solved, part, way)
        rows, tables = [*way, *held], _at_tables(solved, part, way, held)
    if not rows and part is not None:
        raise Refusal(f'no current reaches "{part.id}", so it has no figures')
    plan = solved.outcome.plan
    chosen = SolvedPlan(solved.outcome, tuple(rows), solved.case)
    sheet = FigureSheet(
        f"{plan.aircraft}: load{f' at {at}' if at else ''}{_in_case(solved)}",
        plan.revision, tuple(points(chosen)), tables, tuple(notes(chosen)), foot(plan),
    )  # fmt: skip
    return Figures(sheet, RECORD, tuple(_records(chosen)), _data(chosen))


def _in_case(solved: SolvedPlan) -> str:
    return f", {solved.case}" if solved.case else ""


def _all_tables(solved: SolvedPlan) -> tuple[Table, ...]:
    return (case_table(solved), load_table(solved, solved.rows))


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
                "case": case.name, "lasts": "continuous" if case.lasting else "seconds",
                "kind": row.kind, "part": row.part, "port": row.port, "label": row.label,
                "name": row.name,
                **{quantity: float(found[quantity][number]) for quantity in QUANTITIES},
                "bears_continuous_amps": _amps(row.steady), "bears_seconds_amps": _amps(row.burst),
                "worst": row.worst == number,
            }  # fmt: skip


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
        "most_from_a_pack": _extreme(line.pack, "amps"),
        "lowest_rail_volts": line.rail,
        "lowest_servo": _extreme(line.servo, "volts"),
        "most_loaded": _extreme(line.share, "share"),
    }


def _extreme(extreme: Extreme, key: str) -> dict[str, Any] | None:
    row = extreme.row
    if row is None:
        return None
    return {"kind": row.kind, "part": row.part, "port": row.port, key: extreme.value}


def _row(solved: SolvedPlan, row: LoadRow) -> dict[str, Any]:
    found = solved.figures(row)
    strays = solved.outcome.stray(row.part, row.port) if row.kind == "plug" else None
    worst = {quantity: solved.worst(quantity, found[quantity]) for quantity in QUANTITIES}
    cases = solved.outcome.cases
    return {
        "kind": row.kind, "part": row.part, "port": row.port, "label": row.label, "name": row.name,
        "bears": {"continuous": _limit(row.steady), "seconds": _limit(row.burst)},
        "needs": {"lowest_volts": solved.volts_limit(row, LOWEST),
                  "highest_volts": solved.volts_limit(row, HIGHEST)},
        "worst": {
            quantity: None if at is None else {"case": cases[at].name, "value": found[quantity][at]}
            for quantity, at in worst.items()
        },
        "stray_amps": None if strays is None else _largest_stray(solved, row),
        "cases": {
            case.name: {q: found[q][n] for q in QUANTITIES} for n, case in solved.cases
        },
    }  # fmt: skip


def _largest_stray(solved: SolvedPlan, row: LoadRow) -> dict[str, Any] | None:
    """Other parts' current through a 3-pin plug where it is largest: a ground loop."""
    at, amps = stray(solved, row)
    tiny = at is None or not np.isfinite(amps)
    return None if tiny or at is None else {"case": solved.outcome.cases[at].name, "value": amps}


def _limit(limit: Limit | None) -> dict[str, Any] | None:
    if limit is None:
        return None
    return {"amps": limit.figure.number, "what": limit.what, "origin": limit.figure.origin}
