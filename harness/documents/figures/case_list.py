"""The operating cases of a plan, a line each: what each does, and what is worst in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from harness.documents.figures.rounded import NONE, figure, mark, percent, tone_of
from harness.documents.figures.solved import SolvedPlan
from harness.electrics.rows import LoadRow
from harness.paper.sheet import Cell, Table
from harness.paper.tables import amounts, headings, table

COLUMNS = headings("case", "what happens", "most from a pack", *amounts("rail V"), "lowest servo",
           "most loaded")  # fmt: skip
ABOUT = (
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
    """What is worst in one case: A from a pack, V at a rail and at a servo, share of what it bears.

    `share` is a part of 1.
    """

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
        rows.append((
            f"{mark(number)} {case.name}", about, _with(line.pack, "A"),
            figure(line.rail), _with(line.servo, "V"),
            Cell(share if line.share.row else NONE, tone_of(line.share.value)),
        ))  # fmt: skip
    return table("Cases", COLUMNS, rows, ABOUT)


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
