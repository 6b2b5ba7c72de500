"""How long a flight lasts: charge, volts and energy of every pack through its phases.

The phases are operating cases, flown in three modes, best, typical and worst; and each of what
makes the worst worse alone, so that it is known where the width of that band comes from.
"""

from __future__ import annotations

import numpy as np

from harness.base.data import dataclass, replace
from harness.electrics import flight_modes as fly
from harness.electrics.cases import cases_of, demands_of, meant
from harness.electrics.discharge import ERROR, Abreast, Drain, Point, Spell, Steps
from harness.electrics.motors import LOSSES
from harness.electrics.packs import (
    Energy,
    cold_share,
    energies,
    joined_groups,
    motor_packs,
    packs_of,
    reserve_of,
    start_charge,
)
from harness.electrics.solver.circuit import Array, NotSolved
from harness.parts.figure import Figure
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
    """A flight in one mode.

    `lasts`: s from take-off until the first pack is at its reserve, or an ESC cuts its motors;
    `first`: that pack or ESC, `cut` whether it is an ESC. `missed`: phases of the plan that are not
    begun before. `stopped`: why nothing can be reckoned any further (numbers until then). Arrays
    over `times` (s): `charge`, `amps`, `volts` at the poles, by pack.
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
    cut: bool = False


@dataclass(frozen=True, slots=True)
class Endurance:
    """Flights by mode, what each pack holds against the limit of air travel, unknown facts.

    `best`: s of the best flight, None where there is none or it does not end; `width`: what makes
    the typical flight shorter, in words, each alone, and by how many s. `landing`: s by which to
    be down, by what is known beforehand. `untold`: what to write into a plan that does not say
    how it is flown.
    """

    flights: tuple[Flight, ...]
    energies: tuple[Energy, ...]
    unknown: tuple[str, ...]
    best: float | None = None
    width: tuple[tuple[str, float], ...] = ()
    landing: tuple[tuple[str, float], ...] = ()
    untold: str = ""

    def flight(self, mode: str) -> Flight:
        """Return the flight of a mode."""
        return next(flight for flight in self.flights if flight.mode == mode)


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
    """Fly the phases of a plan: typical, with what makes it shorter or longer alone, and worst.

    A pack of which a fact is missing is left out, and the packs beside it too. A flight that
    breaks off says so in `stopped`, and holds nothing after that moment.
    """
    plan, packs = wiring.plan, packs_of(wiring.plan)
    held = energies(plan)
    if not plan.flight:
        return _by_mean(wiring, held)
    unknown, left_out = _unknown(wiring)
    told = {pack.id for pack in packs} - left_out
    if not told:
        return Endurance((), held, tuple(unknown))

    motors = any(told.intersection(team) for team in motor_packs(wiring).values())
    causes = [word for word in fly.WORSE if motors or word not in fly.OF_MOTORS]
    if not meant(plan, ["flight"]):
        causes.remove(fly.BUSY)
    lossy = {end: fly.Mode(end, end, (fly.LOSSY,), end) for end in LOSSES[1:] if motors}
    each = {word: fly.Mode(word, word, (word,)) for word in causes if word != fly.LOSSY}
    worsts = {end: fly.worst_mode(tuple(causes), end) for end in lossy or ("",)}
    known = fly.Mode("known", "", fly.BEFOREHAND)
    # both worst flights, of which one is asked for: abreast of the others it costs less than alone
    modes = (fly.TYPICAL, *lossy.values(), *each.values(), *worsts.values(), known)
    tours = [Tour(wiring, packs, told, mode) for mode in modes]
    abreast = Abreast(wiring, [leg.case for tour in tours for leg in tour.legs])
    flown = dict(zip(modes, abreast.follow(tour.flight(abreast) for tour in tours), strict=True))
    ends = {end: flown[mode].lasts for end, mode in lossy.items()}
    end = min(ends, key=lambda end: ends[end] or np.inf, default="")
    alone = {w: flown[each[w]].lasts if w in each else ends[end] for w in causes}
    typical, worst = flown[fly.TYPICAL], flown[worsts[end]]
    usual, least = typical.lasts, worst.lasts
    times = [time for time in (usual, *ends.values()) if time is not None]
    if usual is None or least is None or len(times) <= len(ends):
        return Endurance((typical, worst), held, tuple(unknown))
    shorter = {w: time for w, time in alone.items() if time is not None and usual - time >= 1}
    both = flown[known].lasts or least
    down = fly.landing(usual, shorter, both, least, cut=worst.cut and not typical.cut)
    width = tuple((word, usual - time) for word, time in shorter.items())
    return Endurance((typical, worst), held, tuple(unknown), max(times), width, tuple(down.items()))


def _by_mean(wiring: Wiring, held: tuple[Energy, ...]) -> Endurance:
    """Without phases: usable charge over the mean current that is stated; nothing without one."""
    plan = wiring.plan
    packs = [p for p in packs_of(plan) if p.mean_current and p.capacity]
    if not packs:
        return Endurance((), held, (), untold=fly.UNTOLD if any(plan.of(Pack)) else "")
    motors = {name for team in motor_packs(wiring).values() for name in team}
    airs, flown = {case.name: case.temperature for case in cases_of(plan)}, dict[str, Flight]()
    for worse in ((), fly.BEFOREHAND[:1], fly.BEFOREHAND[1:], fly.BEFOREHAND):
        air, aged = airs["cold" if fly.COLD in worse else fly.USUAL], fly.AGED.number
        shares = {p.id: cold_share(plan, p, air) * aged ** (fly.AGING in worse) for p in packs}
        mode = "worst" if worse == fly.BEFOREHAND else "typical"
        flown[" and ".join(worse)] = _mean_flight(plan, packs, mode, shares, motors)
    typical, *_, worst = flown.values()
    down = tuple((word, flight.lasts or 0.0) for word, flight in flown.items())
    return Endurance((typical, worst), held, (), typical.lasts, landing=down)


def _mean_flight(
    plan: Plan, packs: list[Pack], mode: str, shares: dict[str, float], motors: set[str]
) -> Flight:
    rows = []
    for pack in packs:
        reserve, start = reserve_of(plan, pack), start_charge(plan, pack)
        usable = max((pack.capacity or 0.0) * shares[pack.id] * (start - reserve.number), 0.0)
        lasts = usable * 3600 / (pack.mean_current or 1.0)
        hours = lasts * (pack.mean_current or 0.0) / 3600
        nominal = pack.known(plan.catalogue, "nominal")
        wh = hours * pack.cells * (nominal.number if nominal else 0.0)
        nan = float("nan")
        rows.append(
            PackTime(pack.id, pack.id in motors, reserve, lasts, lasts, hours * 1000, wh, nan)
        )
    first = min(rows, key=lambda row: (row.to_reserve or 0.0, row.pack))
    about = "by the stated mean current" + (", aged and cold packs" if mode == "worst" else "")
    none: dict[str, Array] = {}
    return Flight(
        mode,
        about,
        first.to_reserve,
        first.pack,
        (),
        (),
        tuple(rows),
        np.zeros(0),
        none,
        none,
        none,
        None,
        (),
    )


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

    def __init__(self, wiring: Wiring, packs: list[Pack], told: set[str], mode: fly.Mode) -> None:
        plan, aged = wiring.plan, fly.AGED.number if fly.AGING in mode.worse else 1.0
        self.wiring, self.packs, self.mode = wiring, packs, mode
        self.legs, self.assumed = fly.legs_of(plan, mode)
        air = min(leg.case.temperature for leg in self.legs)
        colder = {p.id: cold_share(plan, p, air) for p in packs}
        self.held = [
            (p.capacity or 0.0) * aged * colder[p.id] if p.id in told else None for p in packs
        ]
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
        self.cut = ""

    @property
    def over(self) -> bool:
        """Whether the flight has come to its end."""
        return bool(self.reached or self.stopped or self.cut)

    def flight(self, abreast: Abreast) -> Steps[Flight]:
        """Fly the phases, go on with the longest until a pack is at its reserve, then sum up."""
        missed = []
        for leg in self.legs:
            if self.over:
                missed.append(leg.name)
            else:
                yield from self._phase(abreast, leg, added=False)
        on = max(self.legs, key=lambda leg: float("inf") if leg.time is None else leg.time)
        if not self.over and LONGEST - self.clock > 1.0:
            self.assumed = (*self.assumed, f"after the last phase {on.name} goes on")
            yield from self._phase(abreast, on, added=True)
        charge, end = self.charge, self.clock
        if not self.stopped:
            yield from self._others(abreast, on)
        return self._summary(tuple(missed), charge, end)

    def _run(
        self, abreast: Abreast, leg: fly.FlightLeg, time: float, slice_: float
    ) -> Steps[Spell]:
        error, power = ERROR * self.mode.slice_**2, fly.HAND in self.mode.worse
        drain = Drain(abreast, leg.case, self.held, watched=not self.cut, power=power, error=error)
        spell = yield from drain.run(self.charge, self.floor, time, slice_, self.frozen)
        if spell.points:
            self.charge = spell.points[-1].charge
            self.clock += spell.points[-1].time
        if spell.reached is not None:
            empty = ~self.frozen & (self.charge - self.floor < SAME)
            self.frozen = self.frozen | empty
            self.reached |= {self.packs[n].id: self.clock for n in np.nonzero(empty)[0]}
        return spell

    def _phase(self, abreast: Abreast, leg: fly.FlightLeg, *, added: bool) -> Steps[None]:
        time = LONGEST - self.clock if leg.time is None or added else leg.time
        start = self.clock
        followed = {self.packs[n].id for n in self.kept}
        most = SLICE if self.motors & followed else LONG_SLICE
        slice_ = self.mode.slice_ * min(most, time / SLICES)
        spell = yield from self._run(abreast, leg, time, slice_)
        if spell.stopped:
            why = f"{spell.stopped.why}, {self.clock:.0f} s into the flight, in {leg.name}"
            self.stopped = NotSolved(spell.stopped.element, why)
        self.cut = spell.cut
        if spell.points:
            ended = spell.reached is not None or bool(spell.cut)
            full = spell.stopped is None and (not ended or leg.time is None)
            self.phases.append(
                PhaseResult(
                    leg.name,
                    leg.case.name,
                    leg.case.throttle,
                    start,
                    self.clock,
                    full and not added,
                    added,
                    self._packs(spell),
                )
            )
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

    def _others(self, abreast: Abreast, leg: fly.FlightLeg) -> Steps[None]:
        """Follow what lasts longer, as if every pack at its reserve were held there."""
        while not self.frozen.all() and LONGEST - self.clock > 1.0:
            spell = yield from self._run(abreast, leg, LONGEST - self.clock, LONG_SLICE)
            if spell.reached is None:
                return

    def _summary(self, missed: tuple[str, ...], charge: Array, end: float) -> Flight:
        first = min(self.reached, key=lambda pack: (self.reached[pack], pack), default="")
        lasts, first = (end, self.cut) if self.cut else (self.reached.get(first), first)
        times = np.array([point.time for point in self.points])
        charges, amps, volts = (
            {
                self.packs[n].id: np.array([getattr(point, key)[n] for point in self.points])
                for n in self.kept
            }
            for key in ("charge", "amps", "volts")
        )
        return Flight(
            self.mode.name,
            self.mode.about,
            lasts,
            first,
            tuple(self.phases),
            missed,
            tuple(self._pack(n, end) for n in self.kept),
            times,
            charges,
            amps,
            volts,
            self.stopped,
            self.assumed,
            bool(self.cut),
        )

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
            pack.id,
            pack.id in self.motors,
            reserve,
            self.reached.get(pack.id),
            simple,
            milliamp_hours,
            float(self.watt_hours[n]),
            lowest,
        )
