"""What matters in a solved harness, in sentences; and what its figures rest on."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from harness.base.near import counted, spoken
from harness.documents.figures import NEAR, OVER, figure, lost, percent, plainly, tone_of
from harness.documents.figures.solved import SolvedPlan
from harness.electrics.flows import flows_of
from harness.electrics.margins import LOWEST
from harness.electrics.network import blamed
from harness.electrics.ohms import Assumed
from harness.electrics.rows import LoadRow
from harness.electrics.supplies import barred
from harness.paper.sheet import Cell, Note, noted
from harness.parts.contacts import Form
from harness.parts.figure import rule_figure

FLOWS = 1e-3
"""A from which on a link carries current: what it resists then counts."""


def assumed(solved: SolvedPlan) -> list[Assumed]:
    """Return what nobody stated of the links that carry current in the shown cases."""
    found: set[tuple[str, str, str]] = set()
    for number, ohms in solved.outcome.net.ohms.items():
        if ohms.assumed and _carries(solved, number):
            found |= {(one.part, one.key, one.what) for one in ohms.assumed}
    return [Assumed(part, what, key) for part, key, what in sorted(found)]


def _carries(solved: SolvedPlan, number: int) -> bool:
    amps = np.abs(solved.outcome.link(number))[list(solved.shown)]
    return bool(np.nanmax(amps, initial=0.0) > FLOWS)


def not_known(solved: SolvedPlan) -> list[tuple[str, str]]:
    """Return the parts whose draw nobody knows, and what is missing; they draw nothing here."""
    demands = solved.outcome.net.demands
    return sorted((d.part.id, d.draw.missing) for d in demands if d.draw.missing)


def notes(solved: SolvedPlan) -> Iterator[Note]:
    """Yield what a reader of the figures has to know."""
    yield from noted("Without a solution", solved.trouble)
    unfed = solved.outcome.net.unfed
    yield from noted("No supply reaches, so counted as drawing nothing", unfed)
    missing = (f"{part}: {what}" for part, what in not_known(solved))
    yield from noted("Not known, so counted as drawing nothing", missing)
    by_part: dict[str, list[Assumed]] = {}
    for one in assumed(solved):
        by_part.setdefault(one.part, []).append(one)
    told = (_assumed(part, found) for part, found in by_part.items())
    yield from noted("Assumed, because the plan does not say", told)


def _assumed(part: str, found: list[Assumed]) -> str:
    keys = spoken([one.key for one in found if one.key])
    told = f"{part}: {spoken([one.what for one in found])}"
    return f"{told}; state it as {keys}" if keys else told


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
        yield Cell(
            f"{many} more than it bears:" if len(over) == 1 else f"{many} more than they bear:",
            "danger",
        )
    strained_, wrong = [*strained(solved), *too_hot(solved)], list(volts(solved))
    yield from strained_
    if loaded and not (over or strained_ or wrong):
        rest = " in the other cases" if solved.trouble else ""
        yield Cell(f"nothing carries more than it bears{rest}", "" if rest else "ok")
    much = over or [row for row in loaded[:3] if solved.share(row) >= WORTH]
    yield from (loading(solved, row) for row in much[:MOST])
    if len(over) > MOST:
        yield Cell(f"and {len(over) - MOST} more, marked OVER in the table", "danger")
    yield from wrong
    if left_out := {*solved.outcome.net.unfed, *(part for part, _ in not_known(solved))}:
        yield Cell(
            f"left out, as no supply reaches it or its draw is not known: "
            f"{spoken(sorted(left_out))}",
            "warning",
        )
    yield from _lowest(solved)
    yield from strays(solved)


def strained(solved: SolvedPlan) -> Iterator[Cell]:
    """Name the supplies that give all they can and are asked for more, or that get too hot."""
    asked = flows_of(solved.outcome.wiring).outcome
    for row in solved.rows:
        if row.kind != "supply" or row.volts is None:
            continue
        part = solved.outcome.plan.parts[row.part]
        more = np.where(solved.outcome.at_limit(part.id) > 0, asked.given(part.id), np.nan)
        at = solved.worst("amps", more)
        if at is not None:
            yield Cell(
                f"{row.name} is asked for {figure(float(more[at]))} A in"
                f" {solved.outcome.cases[at].name} and gives {figure(float(row.amps[at]))} A: its"
                f" volts fall to {figure(float(row.volts[at]))} V",
                "danger",
            )
        if barred(solved.outcome.wiring, part) and np.abs(row.amps).max() > FLOWS:
            yield Cell(f"{row.name} is linear and not to be used on so many cells", "danger")


def too_hot(solved: SolvedPlan) -> Iterator[Cell]:
    """Name the leads whose copper gets warmer than their insulation bears."""
    found = []
    for row in (row for row in solved.rows if row.insulation and row.hot.any()):
        warm = np.where(row.hot, solved.figures(row)["temperature_celsius"], np.nan)
        if (at := solved.worst("temperature_celsius", warm)) is not None and row.insulation:
            words = f"°C in {solved.outcome.cases[at].name}; its insulation bears"
            found.append(
                f"{title(row)} gets to {warm[at]:.0f} {words} {row.insulation.number:g} °C"
            )
    yield from (Cell(words, "danger") for words in found)


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
            got = float(row.volts[at])
            found.append((-abs(float(f"{got - limit:.6g}")), row.name, what, at, limit, got))
    for _, name, what, at, limit, got in sorted(found)[:MOST]:
        needs = "needs" if what == LOWEST else "bears at most"
        said = f"{figure(got)} V in {solved.outcome.cases[at].name}; it {needs} {plainly(limit)} V"
        wrong = f"{name} is fed the wrong way round: {figure(got)} V"
        yield Cell(wrong if got < 0 else f"{name} gets {said}", "danger")
    if len(found) > MOST:
        have = "1 more has" if len(found) == MOST + 1 else f"{len(found) - MOST} more have"
        yield Cell(f"and {have} volts too low or too high", "danger")


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
        yield Cell(f"and through {counted(len(found) - MOST, 'more plug')} of 3-pin leads")


def _loop_tone(solved: SolvedPlan, amps: float) -> str:
    """By the limits that the rule ground-loop-share goes by."""
    limits = {
        word: rule_figure(solved.outcome.plan.catalogue, "ground-loop", key).number
        for word, key in (("danger", "error"), ("warning", "warning"))
    }
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
