"""What matters in a solved harness, said in sentences: what bears too much, volts, ground loops."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from harness.base.near import spoken
from harness.documents.figures.caveats import not_known
from harness.documents.figures.rounded import NEAR, OVER, figure, lost, percent, plainly, tone_of
from harness.documents.figures.solved import SolvedPlan, blamed
from harness.electrics.rows import LOWEST, LoadRow
from harness.paper.sheet import Cell
from harness.parts.contacts import Form
from harness.parts.figure import rule_figure

STRAY = 0.1
"""A of other parts' current in a signal lead from which on it is worth a sentence."""
WORTH = 0.01
"""A smaller share of what a thing bears is not worth a sentence."""
MOST = 6
"""Sentences of a kind; the table says the rest."""


def points(solved: SolvedPlan) -> Iterator[Cell]:
    """Yield the sentences a load sheet begins with."""
    loaded = [row for row in solved.ranked(solved.rows) if np.isfinite(solved.share(row))]
    over = [row for row in loaded if solved.share(row) > OVER]
    yield from unsolved(solved)
    many = "one thing carries" if len(over) == 1 else f"{len(over)} things carry"
    if over:
        yield Cell(f"{many} more than it bears:" if len(over) == 1 else
                   f"{many} more than they bear:", "danger")  # fmt: skip
    elif loaded:
        rest = " in the other cases" if solved.trouble else ""
        yield Cell(f"nothing carries more than it bears{rest}", "" if rest else "ok")
    much = over or [row for row in loaded[:3] if solved.share(row) >= WORTH]
    yield from (loading(solved, row) for row in much[:MOST])
    if len(over) > MOST:
        yield Cell(f"and {len(over) - MOST} more, marked OVER in the table", "danger")
    yield from volts(solved)
    if left_out := {*solved.outcome.net.unfed, *(part for part, _ in not_known(solved))}:
        yield Cell(f"left out, as no supply reaches it or its draw is not known: "
                   f"{spoken(sorted(left_out))}", "warning")  # fmt: skip
    yield from _lowest(solved)
    yield from strays(solved)


def unsolved(solved: SolvedPlan) -> Iterator[Cell]:
    """Name what keeps cases from a solution, each once, with its cases."""
    cases: dict[str, list[str]] = {}
    for name, why in solved.outcome.trouble.items():
        cases.setdefault(blamed(solved.outcome.plan, why), []).append(name)
    for said, names in cases.items():
        yield Cell(f"no solution in {spoken(names)}: {said}", "danger")


def volts(solved: SolvedPlan) -> Iterator[Cell]:
    """Name the parts that get fewer volts than they need, or more than they bear."""
    found = []
    for row in solved.rows:
        for what, at, limit in solved.beyond(row):
            assert row.volts is not None
            found.append((-abs(float(f"{row.volts[at] - limit:.6g}")), row.name, what, at, limit))
    for _, name, what, at, limit in sorted(found)[:MOST]:
        row = next(row for row in solved.rows if row.name == name and row.kind == "part")
        assert row.volts is not None
        needs = "needs" if what == LOWEST else "bears at most"
        if row.volts[at] < 0:
            yield Cell(
                f"{name} is fed the wrong way round: {figure(float(row.volts[at]))} V", "danger"
            )
            continue
        case = solved.outcome.cases[at].name
        yield Cell(
            f"{name} gets {figure(float(row.volts[at]))} V in {case}; it {needs} "
            f"{plainly(limit)} V",
            "danger",
        )
    if len(found) > MOST:
        yield Cell(f"and {len(found) - MOST} more have volts too low or too high", "danger")


def loading(solved: SolvedPlan, row: LoadRow) -> Cell:
    """Say how much of what it bears flows through a thing, in its worst case."""
    found = solved.figures(row)
    share = {q: solved.worst(q, found[q]) for q in ("share_continuous", "share_seconds")}
    quantity, at = max(
        ((q, n) for q, n in share.items() if n is not None), key=lambda o: found[o[0]][o[1]]
    )
    limit = row.steady if quantity == "share_continuous" else row.burst
    assert limit is not None
    word = "continuously" if quantity == "share_continuous" else "for seconds"
    amps, value = abs(float(row.amps[at])), float(found[quantity][at])
    case = solved.outcome.cases[at].name
    text = (
        f"{title(row)}: {figure(amps)} A of {plainly(limit.figure.number)} A {word} "
        f"({percent(value)}) in {case}{_besides(row, at)}"
    )
    return Cell(text, tone_of(value))


def title(row: LoadRow) -> str:
    """Name a row so that it stands alone: plug aileron-y in rx.1."""
    if row.kind == "lead":
        return f"lead {row.label} ({row.name})"
    return f"plug {row.name}" if row.kind == "plug" else row.name


def _besides(row: LoadRow, at: int) -> str:
    if row.kind in {"plug", "lead"} and row.drop is not None:
        what = "its contacts lose" if row.kind == "plug" else "its wires lose"
        return f"; {what} {lost(float(row.drop[at]))} there and back"
    if row.kind == "supply" and row.loss is not None:
        return f"; it burns {figure(float(row.loss[at]))} W"
    if row.volts is not None:
        return f"; it has {figure(float(row.volts[at]))} V"
    return ""


def _lowest(solved: SolvedPlan) -> Iterator[Cell]:
    """Name the servo with the lowest volts."""
    found = []
    for row in solved.rows:
        if row.kind == "part" and solved.outcome.plan.parts[row.part].swings:
            at = solved.worst("volts", solved.figures(row)["volts"])
            if at is not None and row.volts is not None:
                found.append((float(f"{row.volts[at]:.6g}"), row.name, at))
    if found:
        volts, name, at = min(found)
        case = solved.outcome.cases[at].name
        yield Cell(f"the lowest volts at a servo: {name} gets {figure(volts)} V in {case}")


def strays(solved: SolvedPlan) -> Iterator[Cell]:
    """Name the signal leads through which other parts' current returns: ground loops."""
    found = []
    for row in solved.rows:
        if row.kind != "plug":
            continue
        at, amps = stray(solved, row)
        if at is not None and amps >= STRAY:
            found.append((-float(f"{amps:.6g}"), row.name, at))
    for amps, name, at in sorted(found)[:MOST]:
        case = solved.outcome.cases[at].name
        yield Cell(
            f"ground loop: {figure(-amps)} A of other parts' current goes through plug {name} "
            f"in {case}",
            _loop_tone(solved, -amps),
        )
    if len(found) > MOST:
        yield Cell(f"and through {len(found) - MOST} more plugs of 3-pin leads")


def _loop_tone(solved: SolvedPlan, amps: float) -> str:
    """By the limits that the rule ground-loop-share goes by."""
    limits = {word: rule_figure(solved.outcome.plan.catalogue, "ground-loop", key).number
              for word, key in (("danger", "error"), ("warning", "warning"))}  # fmt: skip
    return next((word for word, limit in limits.items() if amps >= limit), "")


def stray(solved: SolvedPlan, row: LoadRow) -> tuple[int | None, float]:
    """Return the worst shown case of other parts' current in a 3-pin plug, and the current."""
    port = solved.outcome.wiring.ports.get((row.part, row.port))
    if port is None or port.form is not Form.THREE_PIN:
        return None, 0.0
    amps = solved.outcome.stray(row.part, row.port)
    at = solved.worst("amps", amps)
    return at, 0.0 if at is None else abs(float(amps[at]))


def share_cell(text: str, share: float) -> Cell:
    """Mark a share: in words where it is over, so that colour is never alone."""
    if np.isfinite(share) and share > OVER:
        return Cell(f"OVER {text}", "danger")
    return Cell(text, "warning" if np.isfinite(share) and share >= NEAR else "")
