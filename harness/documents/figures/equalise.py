"""Packs that have just been joined as figures: what flows at first, and how it dies away."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

import numpy as np

from harness.base.near import spoken
from harness.documents.cautions import CHARGING
from harness.documents.figures import (
    ESTIMATES,
    NONE,
    duration,
    figure,
    foot,
    percent,
    plainly,
    stated,
)
from harness.electrics.equalise import Equalising, Joined
from harness.paper.records import CsvRecord
from harness.paper.sheet import (
    Cell,
    Figures,
    FigureSheet,
    Note,
    Table,
    amounts,
    headings,
    noted,
    table,
)
from harness.plan.plan import Plan

GRID = (0.0, 1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0,
        7200.0, 14400.0, 28800.0, 57600.0)  # fmt: skip
"""s at which the decay is shown, as far as it goes."""
RECORD = (
    "group", "pack", "time_seconds", "amps", "rest_volts", "volts", "charge",
)  # fmt: skip


def equalise_figures(plan: Plan, groups: tuple[Equalising, ...]) -> Figures:
    """Return every group of packs that equalise; a sentence where no packs are joined."""
    tables = [table for group in groups for table in (_start(group), _decay(group))]
    sheet = FigureSheet(
        f"{plan.aircraft}: packs just joined",
        plan.revision,
        tuple(_points(groups)),
        tuple(tables),
        tuple(_notes(groups)),
        (ESTIMATES, CHARGING, *foot(plan)[1:]),
    )
    return Figures(sheet, RECORD, tuple(_records(groups)), _data(plan, groups))


def _points(groups: tuple[Equalising, ...]) -> Iterator[Cell]:
    if not groups:
        yield Cell("no packs are joined side by side by copper: nothing flows between them", "ok")
    for group in groups:
        first = max(abs(one.amps) for one in group.start)
        yield Cell(
            f"{spoken(group.packs)} joined: {figure(first)} A at first, then less; {_end(group)}"
        )
        for one in group.start:
            yield from _verdicts(one)


def _end(group: Equalising) -> str:
    if group.settled is None:
        return f"they do not settle: {group.ended}"
    moved = f"{figure(group.moved * 1000)} mAh change packs"
    return f"settled to 0.1 C after {duration(group.settled)}; {moved}"


def _verdicts(one: Joined) -> Iterator[Cell]:
    if one.over_limit and one.limit is not None:
        yield Cell(
            f'pack "{one.pack}": {figure(abs(one.amps))} A is more than the '
            f"{plainly(one.limit.number)} A it gives cautiously: do not join them like this",
            "danger",
        )
    if one.charged_fast and one.rate is not None:
        yield Cell(
            f'pack "{one.pack}" is charged at {figure(one.rate)} C when they are joined: more '
            "than 1 C; bring both to the same volts first",
            "warning",
        )


def _start(group: Equalising) -> Table:
    columns = headings("pack", *amounts("rest V", "charge", "gives A", "C", "cautious A"))
    rows = (
        (
            one.pack,
            figure(one.volts),
            percent(one.charge),
            Cell(f"OVER {figure(one.amps)}", "danger") if one.over_limit else figure(one.amps),
            figure(one.rate) if one.rate is not None else NONE,
            plainly(one.limit.number) if one.limit else NONE,
        )
        for one in group.start
    )
    return table(
        f"{spoken(group.packs)} at the moment of joining",
        columns,
        rows,
        "Below 0 A a pack is charged. C: amps as a multiple of its capacity.",
    )


def _decay(group: Equalising) -> Table:
    packs = [amounts(f"{pack} A", "rest V", "charge") for pack in group.packs]
    last = float(group.times[-1])
    rows = []
    for time in [t for t in GRID if t < last] + [last]:
        cells = [duration(time)]
        for pack in group.packs:
            cells += [
                figure(_at(group, group.amps[pack], time)),
                figure(_at(group, group.rest[pack], time)),
                percent(_at(group, group.charge[pack], time)),
            ]
        rows.append(cells)
    return table(f"How it dies away ({group.ended})", ("after", *chain(*packs)), rows)


def _at(group: Equalising, values: Any, time: float) -> float:
    return float(np.interp(time, group.times, values))


def _notes(groups: tuple[Equalising, ...]) -> Iterator[Note]:
    yield from noted("Not known", (text for group in groups for text in group.unknown))
    yield from noted(
        "Assumed, because the plan states no charge or volts of the packs",
        (text for group in groups for text in group.assumed),
    )


def _records(groups: tuple[Equalising, ...]) -> Iterator[CsvRecord]:
    for number, group in enumerate(groups, 1):
        for pack in group.packs:
            for n, time in enumerate(group.times):
                yield {
                    "group": number,
                    "pack": pack,
                    "time_seconds": float(time),
                    "amps": float(group.amps[pack][n]),
                    "rest_volts": float(group.rest[pack][n]),
                    "volts": float(group.volts[pack][n]),
                    "charge": float(group.charge[pack][n]),
                }


def _data(plan: Plan, groups: tuple[Equalising, ...]) -> dict[str, Any]:
    return {**stated("equalise", plan), "groups": [_group(group) for group in groups]}


def _group(group: Equalising) -> dict[str, Any]:
    return {
        "packs": group.packs,
        "start": [
            {
                "pack": one.pack,
                "rest_volts": one.volts,
                "charge": one.charge,
                "amps": one.amps,
                "c_rate": one.rate,
                "cautious_amps": one.limit.number if one.limit else None,
                "over_cautious": one.over_limit,
                "charged_above_1_c": one.charged_fast,
            }
            for one in group.start
        ],
        "settled_seconds": group.settled,
        "ended": group.ended,
        "moved_amp_hours": group.moved,
        "heat_joules": group.joules,
        "times_seconds": group.times,
        "amps": group.amps,
        "rest_volts": group.rest,
        "volts": group.volts,
        "charge": group.charge,
        "assumed": group.assumed,
        "not_known": group.unknown,
    }
