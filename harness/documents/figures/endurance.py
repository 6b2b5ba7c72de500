"""How long a flight lasts as figures: phases, packs, time to the reserve, energy on board."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.documents.cautions import CHARGING
from harness.documents.figures import NONE, duration, figure, foot, percent, plainly, stated, whole
from harness.electrics.endurance import Endurance, Flight, PackTime, PhaseResult
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

RECORD = (
    "mode", "phase", "case", "throttle", "start_seconds", "end_seconds", "flown_to_its_end",
    "added", "pack", "milliamp_hours", "watt_hours", "mean_amps", "lowest_volts", "end_volts",
    "end_charge",
)  # fmt: skip
PHASES = headings(
    "phase", *amounts("time"), "pack", *amounts("mAh", "mean A", "lowest V", "end V", "left")
)
PACKS = headings(
    "pack",
    "feeds",
    *amounts("to its reserve", "reserve", "mAh used", "Wh used", "lowest V", "by mean A"),
)
COMBINED = (
    "aged packs and cold cells are known before take-off and told apart; what nobody knows is not"
    " added up but combined as independent uncertainties (JCGM 100:2008); the worst is all at once"
)
ABOUT = (
    "To its reserve: from take-off; a pack that lasts longer is followed on as if the others "
    "were held at theirs. By mean A: usable Ah over the mean current, as it is reckoned by hand."
)


def endurance_figures(plan: Plan, found: Endurance) -> Figures:
    """Return the endurance of a plan, typical and worst, and what its packs hold."""
    tables = [
        table
        for flight in found.flights
        for table in (*([_phases(flight)] if flight.phases else []), _packs(flight))
    ]
    sheet = FigureSheet(
        f"{plan.aircraft}: endurance",
        plan.revision,
        tuple(_points(plan, found)),
        (*tables, *_energies(found)),
        tuple(_notes(found)),
        (*foot(plan), CHARGING),
    )
    records = tuple({"mode": f.mode, **one} for f in found.flights for one in _flown(f))
    return Figures(sheet, RECORD, records, _data(plan, found))


def _points(plan: Plan, found: Endurance) -> Iterator[Cell]:
    if found.untold:
        yield Cell(f"no time is told: {found.untold}", "warning")
    elif not found.flights:
        yield Cell("nothing can be said of the flight: see what is not known", "warning")
    if found.best is not None and all(f.lasts is not None for f in found.flights):
        times = {"best": found.best, **{f.mode: f.lasts for f in found.flights}}
        yield Cell(", ".join(f"{name} {duration(time)}" for name, time in times.items()))
    if found.landing:
        (_, sound), *known = found.landing
        told = [f"with {word} by {duration(time)}" for word, time in known]
        yield Cell("; ".join([f"land by {duration(sound)}", *told]))
        if (planned := sum(phase.time or 0.0 for phase in plan.flight)) > sound:
            yield Cell(
                f"the phases of the plan take {duration(planned)}: more than that", "warning"
            )
    for flight in found.flights:
        yield from _flight_points(flight)
    for energy in found.energies:
        if energy.over and energy.watt_hours is not None:
            limit = plainly(energy.limit.number)
            yield Cell(
                f'pack "{energy.pack}" holds {whole(energy.watt_hours)} Wh: above the {limit} Wh '
                "that airlines usually take in the cabin without approval; ask them before you "
                "travel"
            )


def _flight_points(flight: Flight) -> Iterator[Cell]:
    name = f"{flight.mode} ({flight.about})"
    if flight.stopped is not None:
        yield Cell(f"{name}: nothing can be reckoned: {flight.stopped}", "danger")
    elif flight.lasts is None:
        yield Cell(f"{name}: no pack comes down to its reserve in a day")
    elif flight.cut:
        yield Cell(
            f'{name}: {duration(flight.lasts)} until ESC "{flight.first}" cuts its motors: '
            "the pack is not at its reserve yet",
            "warning",
        )
    else:
        yield Cell(
            f'{name}: {duration(flight.lasts)} until pack "{flight.first}" is at its reserve'
        )
    for one in flight.packs:
        if not one.motor and one.to_reserve is not None:
            yield Cell(f'{flight.mode}: radio pack "{one.pack}" lasts {duration(one.to_reserve)}')
    if flight.missed:
        yield Cell(f"{flight.mode}: not reached: {', '.join(flight.missed)}", "danger")


def _phases(flight: Flight) -> Table:
    rows = []
    for phase in flight.phases:
        for number, pack in enumerate(phase.packs):
            first = number == 0
            rows.append(
                (
                    _phase(phase) if first else "",
                    duration(phase.end - phase.start) if first else "",
                    pack.pack,
                    whole(pack.milliamp_hours),
                    figure(pack.amps),
                    figure(pack.lowest),
                    figure(pack.end),
                    percent(pack.charge),
                )
            )
    return table(f"Phases, {flight.mode}", PHASES, rows)


def _phase(phase: PhaseResult) -> str:
    more = ", goes on" if phase.added else "" if phase.full else ", cut short"
    case = "" if phase.case == phase.name else f" as in {phase.case}"
    return f"{phase.name}{case} at {percent(phase.throttle)} throttle{more}"


def _packs(flight: Flight) -> Table:
    return table(f"Packs, {flight.mode}", PACKS, map(_pack, flight.packs), ABOUT)


def _pack(one: PackTime) -> PlainRow:
    return (
        one.pack,
        "motors" if one.motor else "radio",
        duration(one.to_reserve),
        percent(one.reserve.number),
        whole(one.milliamp_hours),
        figure(one.watt_hours),
        figure(one.lowest),
        duration(one.simple),
    )


def _energies(found: Endurance) -> Iterator[Table]:
    rows = [
        (
            one.pack,
            NONE if one.watt_hours is None else figure(one.watt_hours),
            Cell("above", "warning") if one.over else NONE if one.watt_hours is None else "within",
        )
        for one in found.energies
    ]
    if rows:
        limit = plainly(found.energies[0].limit.number)
        columns = headings("pack", *amounts("Wh"), f"{limit} Wh of air travel")
        yield table(
            "Energy on board",
            columns,
            rows,
            "By nominal volts; the airline and the local rules decide.",
        )


def _notes(found: Endurance) -> Iterator[Note]:
    yield from noted("Not known, so left out", found.unknown)
    less = (f"{what}: {duration(time)} less" for what, time in found.width)
    yield from noted("Where the width comes from, each alone against typical", less)
    if found.width and found.landing:
        yield from noted("How the time to land by comes from it", [COMBINED])
    assumed = (f"{flight.mode}: {text}" for flight in found.flights for text in flight.assumed)
    yield from noted("Assumed", assumed)


def _flown(flight: Flight) -> Iterator[CsvRecord]:
    for phase in flight.phases:
        for pack in phase.packs:
            yield {
                "phase": phase.name,
                "case": phase.case,
                "throttle": phase.throttle,
                "start_seconds": phase.start,
                "end_seconds": phase.end,
                "flown_to_its_end": phase.full,
                "added": phase.added,
                "pack": pack.pack,
                "milliamp_hours": pack.milliamp_hours,
                "watt_hours": pack.watt_hours,
                "mean_amps": pack.amps,
                "lowest_volts": pack.lowest,
                "end_volts": pack.end,
                "end_charge": pack.charge,
            }


def _data(plan: Plan, found: Endurance) -> dict[str, Any]:
    return {
        **stated("endurance", plan),
        "flights": [_flight(flight) for flight in found.flights],
        "energies": [
            {
                "pack": e.pack,
                "watt_hours": e.watt_hours,
                "limit_watt_hours": e.limit.number,
                "limit_origin": e.limit.origin,
                "over": e.over,
            }
            for e in found.energies
        ],
        "not_known": found.unknown,
        "best_seconds": found.best,
        "shorter_by_seconds": dict(found.width),
        "land_by_seconds": {word or "sound packs": time for word, time in found.landing},
        "untold": found.untold,
    }


def _flight(flight: Flight) -> dict[str, Any]:
    return {
        "mode": flight.mode,
        "about": flight.about,
        "lasts_seconds": flight.lasts,
        "first_at_reserve": "" if flight.cut else flight.first,
        "cut_by": flight.first if flight.cut else "",
        "stopped": None if flight.stopped is None else str(flight.stopped),
        "missed": flight.missed,
        "phases": list(_flown(flight)),
        "packs": [
            {
                "pack": p.pack,
                "feeds_motors": p.motor,
                "reserve": p.reserve.number,
                "reserve_origin": p.reserve.origin,
                "to_reserve_seconds": p.to_reserve,
                "by_mean_amps_seconds": p.simple,
                "milliamp_hours": p.milliamp_hours,
                "watt_hours": p.watt_hours,
                "lowest_volts": p.lowest,
            }
            for p in flight.packs
        ],
        "times_seconds": flight.times,
        "charge": flight.charge,
        "amps": flight.amps,
        "volts": flight.volts,
        "assumed": flight.assumed,
    }
