"""The time line of a function as figures: every run, who moves when, amps and lowest volts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import numpy as np

from harness.base.near import hint, spoken
from harness.base.refusal import Refusal
from harness.documents.figures import NONE, figure, foot, plainly, stated
from harness.electrics.gear.moments import Lowest
from harness.electrics.gear.timeline import GearRun, TimeLine
from harness.paper.records import CsvRecord
from harness.paper.sheet import (
    Cell,
    Figures,
    FigureSheet,
    Note,
    PlainRow,
    Table,
    amounts,
    headings,
    noted,
    table,
)
from harness.plan.plan import Plan

SHOWN = ("down", "up")
"""The runs that are shown step by step where none is asked for."""
ABOUT = (
    "Lowest volts: of the device that comes nearest to the least it needs, or falls furthest "
    "below it. Amps: the most that a pack, BEC or regulator gives."
)


def only(line: TimeLine, run: str) -> TimeLine:
    """Return a time line with one run of it, or with all. Raises Refusal where there is none."""
    names = [one.name for one in line.runs]
    if run and run not in names:
        near = hint(run, names, most=99)
        raise Refusal(f'the time line of {line.function} has no run "{run}"; {near}')
    return replace(line, runs=tuple(one for one in line.runs if run in {"", one.name}))


def timeline_figures(plan: Plan, line: TimeLine, run: str = "") -> Figures:
    """Return a time line, or one run of it. Raises Refusal for a run that is not there."""
    runs = list(only(line, run).runs)
    stepwise = [one for one in runs if run or one.name in SHOWN] or runs[:1]
    tables = [] if run else [_runs_table(line, runs)]
    tables += [_steps_table(line, one) for one in stepwise]
    sheet = FigureSheet(
        f"{plan.aircraft}: time line of {line.function}{f', {run}' if run else ''}",
        plan.revision,
        tuple(_points(runs)),
        tuple(tables),
        tuple(_notes(line, runs)),
        foot(plan),
    )
    columns = tuple(_columns(line, runs))
    return Figures(sheet, columns, tuple(_records(runs, columns)), _data(plan, line, runs))


def tightest(run: GearRun) -> Lowest | None:
    """Return the device that comes nearest to the least volts it needs, or falls furthest below."""
    return min(
        run.lowest,
        key=lambda low: (round(low.volts - low.limit.number, 6), low.device),
        default=None,
    )


def _points(runs: list[GearRun]) -> Iterator[Cell]:
    """Yield brown-outs and clashes, worst first, each once with the runs it is in."""
    found: dict[str, list[str]] = {}
    for run in runs:
        for low in run.brown_outs:
            found.setdefault(_brown_out(low), []).append(run.name)
        for clash in run.clashes:
            found.setdefault(clash.about, []).append(run.name)
        for supply in run.limited:
            found.setdefault(f"{supply} gives all it can and its volts fall", []).append(run.name)
    if not found:
        yield Cell(
            "no device gets less volts than it needs, and nothing moves at a wrong time", "ok"
        )
    for text, names in found.items():
        yield Cell(f"{text} (in {spoken(dict.fromkeys(names))})", "danger")


def _brown_out(low: Lowest) -> str:
    needs = "its rail should keep" if low.rail else "it needs"
    volts, least = figure(low.volts), plainly(low.limit.number)
    return f"{low.device} gets {volts} V where {needs} {least} V"


def _runs_table(line: TimeLine, runs: list[GearRun]) -> Table:
    numbers = amounts("takes s", *(f"{name} A" for name in line.feeding), "lowest V", "needs V")
    columns = headings("run", "what happens", *numbers, "of", "what goes wrong")
    return table("Runs", columns, (_run_row(line, run) for run in runs), ABOUT)


def _run_row(line: TimeLine, run: GearRun) -> PlainRow:
    low = tightest(run)
    wrong = [clash.about for clash in run.clashes] + [_brown_out(b) for b in run.brown_outs]
    short = low is not None and low.short
    lowest = NONE if low is None else f"{'LOW ' if short else ''}{figure(low.volts)}"
    return (
        run.name,
        run.about,
        figure(float(run.times[-1])),
        *(_most(run, name) for name in line.feeding),
        Cell(lowest, "danger" if short else ""),
        NONE if low is None else plainly(low.limit.number),
        NONE if low is None else f"{low.device} at {low.time:g} s",
        Cell("; ".join(wrong) or "nothing", "danger" if wrong else "ok"),
    )


def _most(run: GearRun, name: str) -> str:
    return figure(float(np.max(run.amps[name]))) if name in run.amps else NONE


def _steps_table(line: TimeLine, run: GearRun) -> Table:
    """Return one row for each stretch of time in which the same things move."""
    numbers = amounts(*(f"{name} A" for name in line.feeding), "lowest V")
    rows = []
    for start, stop in _stretches(run):
        begin, end = float(run.times[start]), float(run.times[min(stop, len(run.times) - 1)])
        device, volts = _lowest(run, start, stop)
        rows.append(
            (
                f"{begin:g} to {end:g}",
                _begins(run, begin, end),
                _work(run, start),
                *(_peak(run, name, start, stop) for name in line.feeding),
                figure(volts),
                device,
            )
        )
    title = f"{run.name}, step by step: {run.about}"
    return table(title, headings("from s", "what begins", "at work", *numbers, "at"), rows)


def _begins(run: GearRun, begin: float, end: float) -> str:
    """Say what begins or ends between two moments, alike things together."""
    found: dict[str, list[str]] = {}
    for event in run.events:
        if begin <= event.time < end:
            found.setdefault(event.what, []).append(event.part)
    return "; ".join(f"{spoken(parts)}: {what}" for what, parts in found.items()) or NONE


def _work(run: GearRun, at: int) -> str:
    moving, pushing = _in_state(run, "moving", at), _in_state(run, "stalled", at)
    found = [", ".join(moving)] if moving else []
    found += [f"pushing: {', '.join(pushing)}"] if pushing else []
    return "; ".join(found) or "nothing"


def _stretches(run: GearRun) -> list[tuple[int, int]]:
    """Return from which moment to which, the end left out, nothing changes its state."""
    now = [tuple(states[n] for states in run.states.values()) for n in range(len(run.times))]
    starts = [n for n in range(len(now)) if n == 0 or now[n] != now[n - 1]]
    return list(zip(starts, [*starts[1:], len(now)], strict=True))


def _in_state(run: GearRun, state: str, at: int) -> list[str]:
    return [part for part, states in run.states.items() if states[at] == state]


def _peak(run: GearRun, name: str, start: int, stop: int) -> str:
    return figure(float(np.max(run.amps[name][start:stop]))) if name in run.amps else NONE


def _lowest(run: GearRun, start: int, stop: int) -> tuple[str, float]:
    """Return the device with the lowest volts between two moments."""
    found = [(float(f"{np.min(v[start:stop]):.6g}"), device) for device, v in run.volts.items()]
    volts, device = min(found, default=(float("nan"), NONE))
    return device, volts


def _notes(line: TimeLine, runs: list[GearRun]) -> Iterator[Note]:
    yield from noted("Not known", line.unknown)
    yield from noted("Assumed", (*line.assumed, *(text for run in runs for text in run.assumed)))


def _columns(line: TimeLine, runs: list[GearRun]) -> Iterator[str]:
    yield from ("run", "time_seconds")
    yield from (f"{name} amps" for name in _union([run.amps for run in runs]))
    yield from (f"{name} volts" for name in _union([run.volts for run in runs]))
    yield from (f"{name} {what}" for name in line.movers for what in ("position", "state"))


def _union(found: list[Any]) -> list[str]:
    return sorted({name for one in found for name in one})


def _records(runs: list[GearRun], columns: tuple[str, ...]) -> Iterator[CsvRecord]:
    for run in runs:
        tracks: dict[str, Any] = {
            **{f"{k} amps": v for k, v in run.amps.items()},
            **{f"{k} volts": v for k, v in run.volts.items()},
            **{f"{k} position": v for k, v in run.positions.items()},
        }
        for n, time in enumerate(run.times):
            record: dict[str, Any] = dict.fromkeys(columns)
            record |= {"run": run.name, "time_seconds": float(time)}
            record |= {key: float(values[n]) for key, values in tracks.items()}
            record |= {f"{part} state": states[n] for part, states in run.states.items()}
            yield record


def _data(plan: Plan, line: TimeLine, runs: list[GearRun]) -> dict[str, Any]:
    return {
        **stated("timeline", plan),
        "function": line.function,
        "movers": line.movers,
        "sequencers": line.boxes,
        "runs": [_run(run) for run in runs],
        "assumed": line.assumed,
        "not_known": line.unknown,
    }


def _run(run: GearRun) -> dict[str, Any]:
    return {
        "name": run.name,
        "about": run.about,
        "direction": run.direction,
        "times_seconds": run.times,
        "positions": run.positions,
        "states": run.states,
        "amps": run.amps,
        "volts": run.volts,
        "events": [{"time_seconds": e.time, "part": e.part, "what": e.what} for e in run.events],
        "clashes": [
            {
                "kind": c.kind,
                "about": c.about,
                "start_seconds": c.start,
                "end_seconds": c.end,
                "parts": c.parts,
            }
            for c in run.clashes
        ],
        "lowest": [
            {
                "device": low.device,
                "volts": low.volts,
                "time_seconds": low.time,
                "needs_volts": low.limit.number,
                "origin": low.limit.origin,
                "of_the_rail": low.rail,
                "short": low.short,
            }
            for low in run.lowest
        ],
        "limited": run.limited,
        "assumed": run.assumed,
    }
