"""How long a flight lasts: charge, volts and energy of every pack through its phases.

The phases are operating cases, flown in two modes, typical and worst.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from harness.electrics.cases import Activity, OperatingCase, cases_of, demands_of, meant
from harness.electrics.discharge import Drain, Point, Spell
from harness.electrics.packs import (
    Energy,
    energies,
    joined_groups,
    motor_packs,
    packs_of,
    reserve_of,
    start_charge,
)
from harness.electrics.solver.circuit import Array, NotSolved
from harness.parts.figure import Figure, rule_figure
from harness.parts.pack import Pack
from harness.plan.plan import Plan
from harness.wiring.build import Wiring


@dataclass(frozen=True, slots=True)
class PackPhase:
    """What one pack does in a phase.

    `milliamp_hours` and `watt_hours` given by its cells, `amps` in the mean, `lowest` volts at its
    poles and `end` those at the end of the phase, `charge` left at the end (0 to 1).
    """

    pack: str
    milliamp_hours: float
    watt_hours: float
    amps: float
    lowest: float
    end: float
    charge: float


@dataclass(frozen=True, slots=True)
class PhaseResult:
    """One phase from `start` to `end` (s from take-off). `full`: flown to its end; `added`: not a
    phase of the plan, but its longest one gone on with."""

    name: str
    case: str
    throttle: float
    start: float
    end: float
    full: bool
    added: bool
    packs: tuple[PackPhase, ...]


@dataclass(frozen=True, slots=True)
class PackTime:
    """One pack over the whole flight. `to_reserve`: s until it is at its `reserve`, None when it
    never is, or nobody knows. `motor`: it feeds a motor; else it is a radio supply. `simple`: the
    s by Ah x (charge above the reserve) / mean A, as builders reckon."""

    pack: str
    motor: bool
    reserve: Figure
    to_reserve: float | None
    simple: float | None
    milliamp_hours: float
    watt_hours: float
    lowest: float


@dataclass(frozen=True, slots=True, eq=False)
class Flight:
    """A flight in one mode, typical or worst.

    `lasts`: s from take-off until the first pack is at its reserve; `first`: that pack. `missed`:
    phases of the plan that are not begun before. `stopped`: why the flight ends before: the
    volts break down (numbers until then). Arrays over `times` (s): `charge`, `amps`, `volts` at
    the poles, by pack.
    """

    mode: str
    about: str
    lasts: float | None
    first: str
    phases: tuple[PhaseResult, ...]
    missed: tuple[str, ...]
    packs: tuple[PackTime, ...]
    times: Array
    charge: dict[str, Array]
    amps: dict[str, Array]
    volts: dict[str, Array]
    stopped: NotSolved | None
    assumed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Endurance:
    """Flights by mode, what each pack holds against the limit of air travel, unknown facts."""

    flights: tuple[Flight, ...]
    energies: tuple[Energy, ...]
    unknown: tuple[str, ...]

    def flight(self, mode: str) -> Flight:
        """Return the flight of a mode."""
        return next(flight for flight in self.flights if flight.mode == mode)


AGED = Figure(0.8, "our own assumption: what an aged pack still holds of its capacity")
USUAL = "cruise"
"""The case that holds where a phase names none, and all the time where the plan has no flight."""

MODES: Mapping[str, str] = {
    "typical": "as stated",
    "worst": "aged packs, cold cells, flight surfaces always working",
}


@dataclass(frozen=True, slots=True)
class FlightLeg:
    """One phase: its name, how long it lasts (s; None: as long as it goes on), its case."""

    name: str
    time: float | None
    case: OperatingCase


def legs_of(plan: Plan, mode: str) -> tuple[tuple[FlightLeg, ...], tuple[str, ...]]:
    """Return the phases of a plan in one mode, and what was assumed.

    Without phases: the cruise case for as long as it lasts.
    """
    cases = {case.name: case for case in cases_of(plan)}
    legs = [
        FlightLeg(p.phase, p.time, _throttled(cases[p.case or USUAL], p.throttle))
        for p in plan.flight
    ]
    assumed = []
    if not legs:
        legs = [FlightLeg(USUAL, None, cases[USUAL])]
        about = f"{cases[USUAL].throttle:.0%} throttle"
        assumed.append(f"the plan has no flight: the case {USUAL} ({about}) from full to reserve")
    if mode == "worst":
        share = rule_figure(plan.catalogue, "sizing", "continuous-share")
        cold = cases["cold"].temperature
        legs = [replace(leg, case=_worked(plan, leg.case, cold, share.number)) for leg in legs]
        assumed += [
            f"packs hold {AGED.number:.0%} of their capacity ({AGED.origin})",
            f"air of {cold:g} degC: the cells resist more",
            f"flight surfaces work at {share.number:.0%} of their stall ({share.origin})",
        ]
    return tuple(legs), tuple(assumed)


def _throttled(case: OperatingCase, throttle: float | None) -> OperatingCase:
    return case if throttle is None else replace(case, throttle=throttle, throttles={})


def _worked(plan: Plan, case: OperatingCase, cold: float, share: float) -> OperatingCase:
    """Lay work of the flight surfaces and the cold over a case; what draws more stays."""
    working = {
        part: Activity("stalled", share)
        for part in meant(plan, ["flight"])
        if case.doing(part).state != "stalled" or case.doing(part).share < share
    }
    activity = {**case.activity, **working}
    return replace(case, activity=activity, temperature=min(case.temperature, cold))


SLICE, SLICES = 30.0, 8
"""A phase is gone through in at least this many slices, none longer than so many s."""

LONG_SLICE = 600.0
"""s: the slices where no pack that feeds a motor is followed, or none any more."""

SAME = 1e-9
"""Of a full pack: packs that differ less come to their reserve together."""

LEAST = 1e-6
"""A: a smaller mean current is the solver's leaks and rounding, which no time follows from."""

LONGEST = 24 * 3600.0
"""s after which a pack that still lasts is no longer followed."""


def endurance(wiring: Wiring) -> Endurance:
    """Fly the phases of a plan, typical and worst.

    A pack of which a fact is missing is left out, and the packs beside it too. A flight that
    breaks off says so in `stopped`, and holds nothing after that moment.
    """
    unknown, left_out = _unknown(wiring)
    packs = packs_of(wiring.plan)
    told = {pack.id for pack in packs} - left_out
    flights = tuple(Tour(wiring, packs, told, mode).flight() for mode in MODES) if told else ()
    return Endurance(flights, energies(wiring.plan), tuple(unknown))


def _unknown(wiring: Wiring) -> tuple[list[str], set[str]]:
    """List missing facts, and the packs about which nothing can be said without them."""
    teams = motor_packs(wiring)
    found, left_out = [], set()
    for demand in demands_of(wiring):
        name, missing = demand.part.id, demand.draw.missing
        if missing and (name in teams or not demand.part.drives):
            found.append(f"{name}: {missing}")
            left_out |= set(teams.get(name, ()))
    for pack in packs_of(wiring.plan):
        if not pack.capacity:
            found.append(f"{pack.id}: its capacity (capacity)")
            left_out.add(pack.id)
    together = [set(team) for team in teams.values()]
    together += [{pack.id for pack in group} for group in joined_groups(wiring)]
    for _ in together:  # one team may share a pack with the next
        left_out |= {p for team in together if team & left_out for p in team}
    return found, left_out


class Tour:
    """One flight on the way: what has been flown, and what is left in the packs.

    `told`: the ids of the packs that are followed; the others keep their charge.
    """

    def __init__(self, wiring: Wiring, packs: list[Pack], told: set[str], mode: str) -> None:
        plan, aged = wiring.plan, AGED.number if mode == "worst" else 1.0
        self.wiring, self.packs, self.mode = wiring, packs, mode
        self.legs, self.assumed = legs_of(plan, mode)
        self.held = [(p.capacity or 0.0) * aged if p.id in told else None for p in packs]
        self.floor = np.array([reserve_of(plan, p).number for p in packs])
        self.start = np.array([start_charge(plan, p) for p in packs])
        for pack, charge in zip(packs, self.start, strict=True):
            if charge < 1.0:
                self.assumed = (*self.assumed, f"{pack.id} starts {charge:.0%} full, as stated")
        self.charge, self.clock = self.start, 0.0
        self.frozen = np.array([p.id not in told for p in packs])
        self.kept = [n for n, p in enumerate(packs) if p.id in told]
        self.motors = {p for team in motor_packs(wiring).values() for p in team}
        self.reached: dict[str, float] = {}
        self.phases: list[PhaseResult] = []
        self.points: list[Point] = []
        self.watt_hours: Array = np.zeros(len(packs))
        self.stopped: NotSolved | None = None

    def flight(self) -> Flight:
        """Fly the phases, go on with the longest until a pack is at its reserve, then sum up."""
        missed = []
        for leg in self.legs:
            if self.reached or self.stopped:
                missed.append(leg.name)
            else:
                self._phase(leg, added=False)
        on = max(self.legs, key=lambda leg: float("inf") if leg.time is None else leg.time)
        if not self.reached and not self.stopped and LONGEST - self.clock > 1.0:
            self.assumed = (*self.assumed, f"after the last phase {on.name} goes on")
            self._phase(on, added=True)
        charge, end = self.charge, self.clock
        if not self.stopped:
            self._others(on)
        return self._summary(tuple(missed), charge, end)

    def _run(self, leg: FlightLeg, time: float, slice_: float) -> Spell:
        drain = Drain(self.wiring, leg.case, self.packs, self.held)
        spell = drain.run(self.charge, self.floor, time, slice_, self.frozen)
        if spell.points:
            self.charge = spell.points[-1].charge
            self.clock += spell.points[-1].time
        if spell.reached is not None:
            empty = ~self.frozen & (self.charge - self.floor < SAME)
            self.frozen = self.frozen | empty
            self.reached |= {self.packs[n].id: self.clock for n in np.nonzero(empty)[0]}
        return spell

    def _phase(self, leg: FlightLeg, *, added: bool) -> None:
        time = LONGEST - self.clock if leg.time is None or added else leg.time
        start = self.clock
        followed = {self.packs[n].id for n in self.kept}
        most = SLICE if self.motors & followed else LONG_SLICE
        spell = self._run(leg, time, min(most, time / SLICES))
        if spell.stopped:
            why = f"{spell.stopped.why}, {self.clock:.0f} s into the flight, in {leg.name}"
            self.stopped = NotSolved(spell.stopped.element, why)
        if spell.points:
            full = spell.stopped is None and (spell.reached is None or leg.time is None)
            self.phases.append(
                PhaseResult(leg.name, leg.case.name, leg.case.throttle, start, self.clock,
                            full and not added, added, self._packs(spell))
            )  # fmt: skip
            self.points += [replace(point, time=point.time + start) for point in spell.points]
            self.watt_hours = self.watt_hours + spell.watt_hours

    def _packs(self, spell: Spell) -> tuple[PackPhase, ...]:
        first, last = spell.points[0], spell.points[-1]
        return tuple(
            PackPhase(
                self.packs[n].id,
                float(spell.amp_hours[n] * 1000),
                float(spell.watt_hours[n]),
                float(spell.amp_hours[n] * 3600 / last.time if last.time else first.amps[n]),
                float(min(point.volts[n] for point in spell.points)),
                float(last.volts[n]),
                float(last.charge[n]),
            )
            for n in self.kept
        )

    def _others(self, leg: FlightLeg) -> None:
        """Follow what lasts longer, as if every pack at its reserve were held there."""
        while not self.frozen.all() and LONGEST - self.clock > 1.0:
            spell = self._run(leg, LONGEST - self.clock, LONG_SLICE)
            if spell.reached is None:
                return

    def _summary(self, missed: tuple[str, ...], charge: Array, end: float) -> Flight:
        first = min(self.reached, key=lambda pack: (self.reached[pack], pack), default="")
        times = np.array([point.time for point in self.points])
        rows = {
            key: {
                self.packs[n].id: np.array([getattr(point, key)[n] for point in self.points])
                for n in self.kept
            }
            for key in ("charge", "amps", "volts")
        }
        return Flight(
            self.mode, MODES[self.mode], self.reached.get(first) if first else None, first,
            tuple(self.phases), missed, tuple(self._pack(n, end) for n in self.kept), times,
            rows["charge"], rows["amps"], rows["volts"], self.stopped, self.assumed,
        )  # fmt: skip

    def _pack(self, n: int, end: float) -> PackTime:
        pack, plan = self.packs[n], self.wiring.plan
        mine = [p for phase in self.phases for p in phase.packs if p.pack == pack.id]
        milliamp_hours = sum(p.milliamp_hours for p in mine)
        reserve = reserve_of(plan, pack)
        usable = (self.held[n] or 0.0) * (self.start[n] - reserve.number)
        amps = milliamp_hours * 3.6 / end if end else 0.0
        simple = float(usable * 3600 / amps) if amps > LEAST else None
        lowest = min((p.lowest for p in mine), default=float("nan"))
        return PackTime(
            pack.id, pack.id in self.motors, reserve, self.reached.get(pack.id), simple,
            milliamp_hours, float(self.watt_hours[n]), lowest,
        )  # fmt: skip
