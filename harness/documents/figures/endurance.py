"""How long a flight lasts as figures: phases, packs, time to the reserve, energy on board."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.documents.cautions import CHARGING
from harness.documents.figures.rounded import NONE, duration, figure, foot, percent, plainly, whole
from harness.electrics.flight.results import Endurance, Flight, PackTime, PhaseResult
from harness.paper.sheet import Cell, Column, Figures, Group, Note, Record, Sheet, Table
from harness.plan.plan import Plan

RECORD = (
    "mode", "phase", "case", "throttle", "start_seconds", "end_seconds", "flown_to_its_end",
    "added", "pack", "milliamp_hours", "watt_hours", "mean_amps", "lowest_volts", "end_volts",
    "end_charge",
)  # fmt: skip
PHASES = (
    Column("phase"), Column("time", True), Column("pack"), Column("mAh", True),
    Column("mean A", True), Column("lowest V", True), Column("end V", True), Column("left", True),
)  # fmt: skip
PACKS = (
    Column("pack"), Column("feeds"), Column("to its reserve", True), Column("reserve", True),
    Column("mAh used", True), Column("Wh used", True), Column("lowest V", True),
    Column("by mean A", True),
)  # fmt: skip
ABOUT = (
    "To its reserve: from take-off; a pack that lasts longer is followed on as if the others "
    "were held at theirs. By mean A: usable Ah over the mean current, as it is reckoned by hand."
)


def endurance_figures(plan: Plan, found: Endurance) -> Figures:
    """Return the endurance of a plan, typical and worst, and what its packs hold."""
    tables = [table for flight in found.flights for table in (_phases(flight), _packs(flight))]
    sheet = Sheet(
        f"{plan.aircraft}: endurance", plan.revision, tuple(_points(found)),
        (*tables, *_energies(found)), tuple(_notes(found)), (*foot(plan), CHARGING),
    )  # fmt: skip
    return Figures(sheet, RECORD, tuple(_records(found)), _data(plan, found))


def _points(found: Endurance) -> Iterator[Cell]:
    if not found.flights:
        yield Cell("nothing can be said of the flight: see what is not known", "warning")
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
        yield Cell(f"{name}: the volts break down: {flight.stopped}", "danger")
    elif flight.lasts is None:
        yield Cell(f"{name}: no pack comes down to its reserve in a day")
    else:
        yield Cell(f'{name}: {duration(flight.lasts)} until pack "{flight.first}" is at its '
                   "reserve")  # fmt: skip
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
            rows.append((
                Cell(_phase(phase) if first else ""),
                Cell(duration(phase.end - phase.start) if first else ""), Cell(pack.pack),
                Cell(whole(pack.milliamp_hours)), Cell(figure(pack.amps)),
                Cell(figure(pack.lowest)), Cell(figure(pack.end)), Cell(percent(pack.charge)),
            ))  # fmt: skip
    return Table(f"Phases, {flight.mode}: {flight.about}", PHASES, (Group("", tuple(rows)),))


def _phase(phase: PhaseResult) -> str:
    more = ", goes on" if phase.added else "" if phase.full else ", cut short"
    case = "" if phase.case == phase.name else f" as in {phase.case}"
    return f"{phase.name}{case} at {percent(phase.throttle)} throttle{more}"


def _packs(flight: Flight) -> Table:
    rows = tuple(_pack(one) for one in flight.packs)
    return Table(f"Packs, {flight.mode}", PACKS, (Group("", rows),), ABOUT)


def _pack(one: PackTime) -> tuple[Cell, ...]:
    return (
        Cell(one.pack), Cell("motors" if one.motor else "radio"),
        Cell(duration(one.to_reserve)), Cell(percent(one.reserve.number)),
        Cell(whole(one.milliamp_hours)), Cell(figure(one.watt_hours)), Cell(figure(one.lowest)),
        Cell(duration(one.simple)),
    )  # fmt: skip


def _energies(found: Endurance) -> Iterator[Table]:
    rows = tuple(
        (
            Cell(one.pack),
            Cell(NONE if one.watt_hours is None else figure(one.watt_hours)),
            Cell("above" if one.over else NONE if one.watt_hours is None else "within",
                 "warning" if one.over else ""),
        )
        for one in found.energies
    )  # fmt: skip
    if rows:
        limit = plainly(found.energies[0].limit.number)
        columns = (Column("pack"), Column("Wh", True), Column(f"{limit} Wh of air travel"))
        yield Table("Energy on board", columns, (Group("", rows),),
                    "By nominal volts; the airline and the local rules decide.")  # fmt: skip


def _notes(found: Endurance) -> Iterator[Note]:
    if found.unknown:
        yield Note("Not known, so left out", found.unknown)
    assumed = dict.fromkeys(
        f"{flight.mode}: {text}" for flight in found.flights for text in flight.assumed
    )
    if assumed:
        yield Note("Assumed", tuple(assumed))


def _records(found: Endurance) -> Iterator[Record]:
    for flight in found.flights:
        for phase in flight.phases:
            for pack in phase.packs:
                yield {
                    "mode": flight.mode, "phase": phase.name, "case": phase.case,
                    "throttle": phase.throttle, "start_seconds": phase.start,
                    "end_seconds": phase.end, "flown_to_its_end": phase.full,
                    "added": phase.added, "pack": pack.pack,
                    "milliamp_hours": pack.milliamp_hours, "watt_hours": pack.watt_hours,
                    "mean_amps": pack.amps, "lowest_volts": pack.lowest, "end_volts": pack.end,
                    "end_charge": pack.charge,
                }  # fmt: skip


def _data(plan: Plan, found: Endurance) -> dict[str, Any]:
    return {
        "document": "endurance",
        "format": 1,
        "aircraft": plan.aircraft,
        "revision": plan.revision,
        "flights": [_flight(flight) for flight in found.flights],
        "energies": [
            {"pack": e.pack, "watt_hours": e.watt_hours, "limit_watt_hours": e.limit.number,
             "limit_origin": e.limit.origin, "over": e.over} for e in found.energies
        ],
        "not_known": list(found.unknown),
    }  # fmt: skip


def _flight(flight: Flight) -> dict[str, Any]:
    records = [dict(r) for r in _records(Endurance((flight,), (), ()))]
    return {
        "mode": flight.mode,
        "about": flight.about,
        "lasts_seconds": flight.lasts,
        "first_at_reserve": flight.first,
        "stopped": None if flight.stopped is None else str(flight.stopped),
        "missed": list(flight.missed),
        "phases": [{k: v for k, v in record.items() if k != "mode"} for record in records],
        "packs": [
            {"pack": p.pack, "feeds_motors": p.motor, "reserve": p.reserve.number,
             "reserve_origin": p.reserve.origin, "to_reserve_seconds": p.to_reserve,
             "by_mean_amps_seconds": p.simple, "milliamp_hours": p.milliamp_hours,
             "watt_hours": p.watt_hours, "lowest_volts": p.lowest} for p in flight.packs
        ],
        "times_seconds": [float(t) for t in flight.times],
        "charge": {k: [float(x) for x in v] for k, v in flight.charge.items()},
        "amps": {k: [float(x) for x in v] for k, v in flight.amps.items()},
        "volts": {k: [float(x) for x in v] for k, v in flight.volts.items()},
        "assumed": list(flight.assumed),
    }  # fmt: skip
