"""One question has one answer: every figure that two documents both make, of every example.

The lead list, the traces, the pictures and the findings are held against the load table, what flows
between packs against the load in the case `joined` and against the finding about them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
from kept import FOLDER, report_at

from harness.base.refusal import Refusal
from harness.base.units import CURRENT, format_quantity, parse_quantity
from harness.diagram.currents import WORST, Currents
from harness.documents import reckoning
from harness.documents.figures.load import solved_of
from harness.documents.figures.solved import SolvedPlan
from harness.documents.leads import lead_list
from harness.documents.trace import trace_text
from harness.electrics.equalise import equalise
from harness.electrics.rows import LoadRow
from harness.electrics.solver.circuit import NotSolved
from harness.rules.run import Report

EXAMPLES = sorted(
    path for path in FOLDER.rglob("*.yaml") if "." not in path.stem and "results" not in path.name
)
SAID = re.compile(r"gives (\S+ m?A) continuously, (\S+ m?A) for seconds")


class Pair(NamedTuple):
    """One figure as two documents have it; texts as they print it, or numbers."""

    what: str
    one: object
    other: object


def worst(solved: SolvedPlan, row: LoadRow) -> tuple[str, str]:
    """What the load table has of a row: the most that lasts, and the most of all."""
    size = np.abs(np.nan_to_num(row.amps))
    counts = [c.name != "joined" or c.name in solved.outcome.plan.cases
              for c in solved.outcome.cases]  # fmt: skip
    lasting, every = size * solved.outcome.lasting * counts, size * counts
    return amps(float(lasting.max())), amps(float(every.max()))


def amps(number: float) -> str:
    return format_quantity(round(number, 6), CURRENT)


@cache
def all_figures(path: Path) -> tuple[Pair, ...]:
    return tuple(figures(report_at(path)))


def figures(report: Report) -> Iterator[Pair]:
    try:
        solved = solved_of(report.wiring)
    except (Refusal, NotSolved):
        return
    if solved.outcome.trouble:
        return
    yield from of_leads(report, solved)
    yield from of_sources(report, solved)
    yield from of_pictures(report, solved)
    yield from of_packs(report, solved)


def of_leads(report: Report, solved: SolvedPlan) -> Iterator[Pair]:
    rows = {row.label: row for row in solved.rows if row.kind == "lead"}
    for lead in lead_list(report.wiring).rows:
        if lead["load"] and lead["label"] in rows:
            steady, burst = worst(solved, rows[lead["label"]])
            yield Pair(f"lead {lead['label']} lasting", lead["load"], steady)
            yield Pair(f"lead {lead['label']} seconds", lead["load short"], burst)


def of_sources(report: Report, solved: SolvedPlan) -> Iterator[Pair]:
    for row in solved.rows:
        told = SAID.search(trace_text(report.wiring, row.part))
        if row.kind in {"pack", "supply"} and told:
            steady, burst = worst(solved, row)
            yield Pair(f"{row.kind} {row.part} lasting", told[1], steady)
            yield Pair(f"{row.kind} {row.part} seconds", told[2], burst)


def of_pictures(report: Report, solved: SolvedPlan) -> Iterator[Pair]:
    drawn = Currents(report.wiring, WORST)
    for row, again in zip(solved.rows, drawn.rows, strict=True):
        yield Pair(f"picture {row.kind} {row.name}", amps(float(np.nanmax(np.abs(row.amps)))),
                   amps(float(np.nanmax(np.abs(again.amps)))))  # fmt: skip


def of_packs(report: Report, solved: SolvedPlan) -> Iterator[Pair]:
    """The emptier pack as they are joined: time line of it, load table, and finding."""
    joined = next(n for n, c in enumerate(solved.outcome.cases) if c.name == "joined")
    for group in equalise(report.wiring):
        into = -min(one.amps for one in group.start)
        if into < 0.05:
            continue
        rows = [r for r in solved.rows if r.kind == "pack" and r.part in group.packs]
        yield Pair(f"packs {group.packs}, load", near(into), near(-min(
            float(r.amps[joined]) for r in rows)))  # fmt: skip
        for finding in report.findings:
            said = re.search(r"about (\S+ m?A) flow", finding.message)
            if finding.rule == "unlike-parallel-packs" and said:
                much = parse_quantity(said[1], CURRENT)
                yield Pair(f"packs {group.packs}, check", near(into), near(much))


def near(number: float) -> str:
    return f"{number:.3g}"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_documents_agree(path: Path) -> None:
    pairs = all_figures(path)
    assert [pair for pair in pairs if pair.one != pair.other] == []


def test_enough_is_compared() -> None:
    pairs = [pair for path in EXAMPLES for pair in all_figures(path)]
    assert len(pairs) > 1000
    assert {"lead", "pack", "supply", "picture", "packs"} <= {p.what.split()[0] for p in pairs}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_nothing_is_over_in_the_load_table_without_a_word_from_check(path: Path) -> None:
    report = report_at(path)
    try:
        text = reckoning.load(report.wiring).figures().sheet.points
    except (Refusal, NotSolved):
        return
    fine = any("nothing carries more than it bears" in point.text for point in text)
    found = [*report.findings, *(a.finding for a in report.accepted)]
    loads = [f for f in found if f.rule in {"bec-load", "pack-load", "lead-load", "plug-load",
             "switch-load", "socket-rail-load", "one-supply-plug"}]  # fmt: skip
    assert not (fine and loads), [f.message for f in loads]
