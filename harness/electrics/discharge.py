"""Packs run down in one operating case: the network solved again and again at falling charge.

Heun's method (explicit, second order) with Euler's as its error estimate: a step is halved until
the two agree to `ERROR` of a full pack, which also keeps it shorter than the time in which packs
side by side even out. Flights go on side by side: what each asks next is solved as one batch.
"""

from __future__ import annotations

from collections.abc import Generator, Iterable
from math import copysign, sqrt
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from harness.base.data import dataclass
from harness.electrics.cases import OperatingCase
from harness.electrics.network import network_of
from harness.electrics.packs import along, curve_of, cut_off, pack_ohms, packs_of
from harness.electrics.solver.circuit import Array, NotSolved, sure
from harness.electrics.solver.newton import Solver
from harness.electrics.warm import solved
from harness.parts.esc import Esc
from harness.wiring.build import Wiring

ERROR = 2e-5
"""Of a full pack: the most by which Heun's and Euler's step may differ."""

SHORTEST = 0.05
"""s: a step that must be shorter has met something that cannot go on."""

GROWTH = 2.0

FINE = 100
"""Slices after which they get longer with the time gone by: a day in 30 s slices helps nobody."""


@dataclass(frozen=True, slots=True)
class Point:
    """A moment: s from the start, charge (0 to 1), current (A) and volts at the poles by pack.

    `above`: by how many volts the ESC nearest to its cut-off is above it; `near`: that ESC.
    """

    time: float
    charge: Array
    amps: Array
    volts: Array
    above: float = np.inf
    near: str = ""


@dataclass(frozen=True, slots=True)
class Spell:
    """Packs run down from the first point to the last.

    `amp_hours`, `watt_hours`: what each pack's cells have given; `reached`: the number of the pack
    that came down to its reserve at the end, or None; `stopped`: why it could not go on; `cut`:
    the ESC that cuts its motors at the end.
    """

    points: tuple[Point, ...]
    amp_hours: Array
    watt_hours: Array
    reached: int | None = None
    stopped: NotSolved | None = None
    cut: str = ""


HELD = 3
"""How often it is asked what throttle keeps the power: settled to a thousandth."""

CLOSE = 1e-3
"""Of a step: how near the moment is found at which an ESC cuts."""


@dataclass(frozen=True, slots=True)
class AskedMoment:
    """A moment to be solved: a case by its number, volts of the packs at rest, duty by consumer.

    `near`: the unknowns (nan where none are known) of a moment that is not far.
    """

    case: int
    rest: Array
    duty: Array
    near: Array


@dataclass(frozen=True, slots=True)
class Found:
    """Its answer: all unknowns, A from each source, V over each consumer; why there is none."""

    near: Array
    source: Array
    fed: Array
    trouble: NotSolved | None


T = TypeVar("T")
Steps = Generator[AskedMoment, Found, T]


class Abreast:
    """The cases of one wiring, wires as warm as in each, in which flights are followed abreast."""

    def __init__(self, wiring: Wiring, cases: Iterable[OperatingCase]) -> None:
        self.wiring, self.cases = wiring, list[OperatingCase]()
        self.cases += (case for case in cases if case not in self.cases)
        self.net = network_of(wiring, self.cases)
        self.solver = Solver(solved(self.net).layout)
        self.unknown = np.full(self.solver.size, np.nan)
        self.packs = [self.net.sources[pack.id] for pack in packs_of(wiring.plan)]
        self._drawn: tuple[list[int], Solver] = [], self.solver

    def follow(self, flights: Iterable[Steps[T]]) -> list[T]:
        """Return what each comes to. Raises NotSolved where the network is none."""
        every = list(flights)
        ends: dict[int, T] = {}
        answers: dict[int, Found | None] = dict.fromkeys(range(len(every)))
        while answers:
            asked: dict[int, AskedMoment] = {}
            for n, answer in answers.items():
                try:
                    asked[n] = next(every[n]) if answer is None else every[n].send(answer)
                except StopIteration as end:
                    ends[n] = end.value
            answers = dict(zip(asked, self._found(list(asked.values())), strict=True))
        return [ends[n] for n in range(len(every))]

    def _found(self, asked: list[AskedMoment]) -> list[Found]:
        if not asked:
            return []
        if (draws := [one.case for one in asked]) != self._drawn[0]:
            self._drawn = draws, self.solver.again(np.array(draws))
        solver = self._drawn[1]
        solver.emf[:, self.packs] = [one.rest for one in asked]
        solver.consumers.duty[:] = [one.duty for one in asked]
        raw = solver.solve(np.stack([one.near for one in asked]))
        read = sure(raw.source), sure(solver.controls(raw.volts)[0])
        rows = zip(raw.unknowns, *read, strict=True)
        return [Found(*row, raw.trouble.get(n)) for n, row in enumerate(rows)]


class Drain:
    """One operating case, solved at any charge of the packs.

    `held`: Ah by pack; a pack with None keeps its charge (it is `frozen`). `watched`: ESCs cut at
    their cut-off. `power`: as the volts fall the pilot gives more throttle, up to all of it, so
    that a motor keeps the volts it has with full packs. `error`: of a step, as `ERROR`.
    """

    def __init__(
        self,
        abreast: Abreast,
        case: OperatingCase,
        held: list[float | None],
        *,
        watched: bool = True,
        power: bool = False,
        error: float = ERROR,
    ) -> None:
        plan, net = abreast.wiring.plan, abreast.net
        self.packs, self.from_packs = packs_of(plan), abreast.packs
        self.number = abreast.cases.index(case)
        self.ohms = np.array([pack_ohms(plan, pack, case.temperature) for pack in self.packs])
        self.curves = [curve_of(plan, pack) for pack in self.packs]
        self.held = np.array([np.inf if h is None else h for h in held])
        self.near = abreast.unknown
        self.escs = {net.consumers[d.part.id]: d for d in net.demands if d.laws}
        cuts = {esc.id: cut_off(abreast.wiring, esc) for esc in plan.of(Esc)} if watched else {}
        self.cuts = {n: cuts.get(d.part.id) for n, d in self.escs.items()}
        self.duty, self.error = abreast.solver.consumers.duty[self.number], error
        self.asked, self.full, self.given = power, np.zeros(0), self.duty

    def rest(self, charge: Array) -> Array:
        """Return the volts at rest."""
        every = zip(self.packs, self.curves, charge, strict=True)
        return np.array([along(curve, pack, float(q)) for pack, curve, q in every])

    def at(self, time: float, charge: Array) -> Steps[Point]:
        """Solve one moment. Raises NotSolved."""
        if self.asked:
            self.asked = False
            self.full = (yield from self._asked(self.rest(np.ones(len(self.packs))))).fed
        rest = self.rest(charge)
        for _ in range(HELD if len(self.full) else 1):
            found = yield from self._asked(rest)
            self._hold(found.fed)
        amps = found.source[self.from_packs]
        return Point(time, charge, amps, rest - self.ohms * amps, *self._above(found.fed))

    def _asked(self, rest: Array) -> Steps[Found]:
        found = yield AskedMoment(self.number, rest, self.given, self.near)
        if found.trouble:
            raise found.trouble
        self.near = found.near
        return found

    def _hold(self, fed: Array) -> None:
        """Give the throttle that keeps the power; what was all of it stays that."""
        if len(self.full):
            more = self.duty * self.full / np.maximum(fed, 1.0)
            self.given = np.where(self.duty < 1, np.clip(more, self.duty, 1.0), self.duty)

    def _above(self, fed: Array) -> tuple[float, str]:
        """Return how far the ESCs that run are above their cut-off, and which is nearest to it."""
        found = [
            (float(fed[number]) - cut.number, self.escs[number].part.id)
            for number, cut in self.cuts.items()
            if cut is not None and self.duty[number] > 0
        ]
        return min(found, default=(np.inf, ""))

    def run(
        self, start: Array, floor: Array, time: float, slice_: float, frozen: NDArray[np.bool_]
    ) -> Steps[Spell]:
        """Run down for `time` s, or until a pack is at its floor.

        In steps of at most `slice_` s, or a hundredth of the time gone by.
        """
        held = np.where(frozen, np.inf, self.held)
        given, now, step = np.zeros((2, len(self.packs))), 0.0, slice_
        points: list[Point] = []
        why, reached = None, None
        try:
            points.append((yield from self.at(0.0, start)))
            while now < time - 1e-9 and reached is None and points[-1].above >= 0:
                step = min(step, max(slice_, now / FINE), time - now)
                step, ahead = yield from self._step(points[-1], step, held)
                share, reached = _crossing(points[-1], ahead, floor, held)
                after = yield from self._at_share(points[-1], ahead, share, held)
                if after.above < 0:
                    share = yield from self._cutting(points[-1], ahead, share, held)
                    reached = None
                    after = yield from self._at_share(points[-1], ahead, share, held)
                given += share * step / 3600 * self._given(points[-1], ahead, after, share)
                now += share * step
                points.append(after)
                step *= GROWTH
        except NotSolved as trouble:
            why, reached = trouble, None
        cut = points[-1].near if points and points[-1].above < 0 else ""
        return Spell(tuple(points), given[0], given[1], reached, why, cut)

    def _at_share(self, here: Point, ahead: Point, share: float, held: Array) -> Steps[Point]:
        now = here.time + share * (ahead.time - here.time)
        return self.at(now, _between(here, ahead, share, held))

    def _cutting(self, here: Point, ahead: Point, share: float, held: Array) -> Steps[float]:
        """Return the share of a step after which an ESC has just cut, by halving."""
        low, high = 0.0, share
        while high - low > CLOSE:
            middle = (low + high) / 2
            cut = (yield from self._at_share(here, ahead, middle, held)).above < 0
            low, high = (low, middle) if cut else (middle, high)
        return high

    def _given(self, here: Point, ahead: Point, after: Point, share: float) -> Array:
        """Return the mean current (A) and power of the cells (W) over a step's first share."""
        amps = here.amps + (ahead.amps - here.amps) * share / 2
        cells = [(end.volts + self.ohms * end.amps) * end.amps for end in (here, after)]
        power = (cells[0] + cells[1]) / 2
        return np.stack([amps, power])

    def _step(self, here: Point, step: float, held: Array) -> Steps[tuple[float, Point]]:
        """Return the step that is short enough, and the point Euler's method puts at its end."""
        while True:
            charge = here.charge - here.amps * step / (3600 * held)
            try:
                ahead = yield from self.at(here.time + step, charge)
            except NotSolved:
                if step <= SHORTEST:
                    raise
            else:
                error = np.max(np.abs(ahead.amps - here.amps) * step / (2 * 3600 * held))
                if error <= self.error or step <= SHORTEST:
                    return step, ahead
            step /= 2


def _between(here: Point, ahead: Point, share: float, held: Array) -> Array:
    """Return the charge after a share of a step: the current changes in a straight line."""
    step = (ahead.time - here.time) * share
    mean = here.amps + (ahead.amps - here.amps) * share / 2
    return np.asarray(here.charge - mean * step / (3600 * held))


def _crossing(here: Point, ahead: Point, floor: Array, held: Array) -> tuple[float, int | None]:
    """Return the share of the step after which the first pack is at its floor, and which."""
    found: list[tuple[float, int]] = []
    step = ahead.time - here.time
    for n in np.nonzero(np.isfinite(held))[0]:
        bend = (ahead.amps[n] - here.amps[n]) / 2
        left = (here.charge[n] - floor[n]) * 3600 * held[n] / step
        roots = real_roots(float(bend), float(here.amps[n]), -float(left)) if left > 0 else [0.0]
        real = [root for root in roots if -1e-12 <= root <= 1]
        if real and (here.amps[n] > 0 or ahead.amps[n] > 0):
            found.append((max(min(real), 0.0), int(n)))
    return min(found) if found else (1.0, None)


def real_roots(a: float, b: float, c: float) -> list[float]:
    """Return the real x with a x^2 + b x + c = 0, without loss of digits where a is small."""
    if (inside := b * b - 4 * a * c) < 0:
        return []
    sum_ = -(b + copysign(sqrt(inside), b)) / 2
    return [*([sum_ / a] if a else ()), *([c / sum_] if sum_ else ())]
