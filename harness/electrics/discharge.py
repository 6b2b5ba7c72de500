"""Packs run down in one operating case: the network solved again and again at falling charge.

Heun's method (explicit, second order) with Euler's as its error estimate: a step is halved until
the two agree to `ERROR` of a full pack, which also keeps it shorter than the time in which packs
side by side even out.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from harness.base.data import dataclass
from harness.electrics.cases import OperatingCase
from harness.electrics.network import Network, network_of
from harness.electrics.packs import cut_off, pack_ohms, rest_volts
from harness.electrics.solver.circuit import Array, NotSolved
from harness.electrics.solver.layout import Layout
from harness.electrics.solver.newton import Raw, Solver
from harness.electrics.warm import solved
from harness.parts.esc import Esc
from harness.parts.pack import Pack
from harness.wiring.build import Wiring
from harness.wiring.fact import fact

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


@fact
def _warmed(_: Wiring) -> list[tuple[OperatingCase, Network, Layout]]:
    """The cases met so far, with their networks at the warmth they come to."""
    return []


def _warm_network(wiring: Wiring, case: OperatingCase) -> tuple[Network, Layout]:
    """Return a case's network, wires as warm as in it: flights by other causes share most cases."""
    met = _warmed(wiring)
    for known, net, layout in met:
        if known == case:
            return net, layout
    net = network_of(wiring, [case])
    met.append((case, net, solved(net).layout))
    return met[-1][1:]


class Drain:
    """One wiring in one operating case, solved at any charge of its packs; wires as warm as in it.

    `held`: Ah by pack; a pack with None keeps its charge (it is `frozen`). `watched`: ESCs cut at
    their cut-off. `power`: as the volts fall the pilot gives more throttle, up to all of it, so
    that a motor keeps the volts it has with full packs. `error`: of a step, as `ERROR`.
    """

    def __init__(
        self, wiring: Wiring, case: OperatingCase, packs: list[Pack], held: list[float | None],
        *, watched: bool = True, power: bool = False, error: float = ERROR,
    ) -> None:  # fmt: skip
        plan, (net, layout) = wiring.plan, _warm_network(wiring, case)
        self.plan, self.packs = plan, packs
        self.numbers = [net.sources[pack.id] for pack in packs]
        self.ohms = np.array([pack_ohms(plan, pack, case.temperature) for pack in packs])
        self.held = np.array([np.inf if h is None else h for h in held])
        self.solver = Solver(layout)
        self.last: Raw | None = None
        self.escs = {net.consumers[d.part.id]: d for d in net.demands if d.laws}
        cuts = {esc.id: cut_off(wiring, esc) for esc in plan.of(Esc)} if watched else {}
        self.cuts = {n: cuts.get(d.part.id) for n, d in self.escs.items()}
        self.duty, self.error = self.solver.consumers.duty.copy(), error
        self.asked, self.full = power, np.zeros(0)

    def rest(self, charge: Array) -> Array:
        """Return the volts at rest."""
        pairs = zip(self.packs, charge, strict=True)
        return np.array([rest_volts(self.plan, pack, float(q)) for pack, q in pairs])

    def at(self, time: float, charge: Array) -> Point:
        """Solve one moment. Raises NotSolved."""
        if self.asked:
            self.asked = False
            self.at(0.0, np.ones(len(self.packs)))
            assert self.last is not None
            self.full = self.solver.controls(self.last.volts)[0][0]
        rest = self.rest(charge)
        self.solver.emf[0, self.numbers] = rest
        for _ in range(HELD if len(self.full) else 1):
            raw = self.solver.solve(self.last)
            if raw.trouble:
                raise raw.trouble[0]
            self.last = raw
            fed = self.solver.controls(raw.volts)[0][0]
            self._hold(fed)
        amps = raw.source[0, self.numbers]
        return Point(time, charge, amps, rest - self.ohms * amps, *self._above(fed))

    def _hold(self, fed: Array) -> None:
        """Give the throttle that keeps the power; what was all of it stays that."""
        if len(self.full):
            more = self.duty[0] * self.full / np.maximum(fed, 1.0)
            held = np.where(self.duty[0] < 1, np.clip(more, self.duty[0], 1.0), self.duty[0])
            self.solver.consumers.duty[0] = held

    def _above(self, fed: Array) -> tuple[float, str]:
        """Return how far the ESCs that run are above their cut-off, and which is nearest to it."""
        found = [
            (float(fed[number]) - cut.number, self.escs[number].part.id)
            for number, cut in self.cuts.items()
            if cut is not None and self.duty[0, number] > 0
        ]
        return min(found, default=(np.inf, ""))

    def run(
        self, start: Array, floor: Array, time: float, slice_: float, frozen: NDArray[np.bool_]
    ) -> Spell:
        """Run down for `time` s, or until a pack is at its floor.

        In steps of at most `slice_` s, or a hundredth of the time gone by.
        """
        held = np.where(frozen, np.inf, self.held)
        given, now, step = np.zeros((2, len(self.packs))), 0.0, slice_
        points: list[Point] = []
        why, reached = None, None
        try:
            points.append(self.at(0.0, start))
            while now < time - 1e-9 and reached is None and points[-1].above >= 0:
                step = min(step, max(slice_, now / FINE), time - now)
                step, ahead = self._step(points[-1], step, held)
                share, reached = _crossing(points[-1], ahead, floor, held)
                after = self._at_share(points[-1], ahead, share, held)
                if after.above < 0:
                    share, reached = self._cutting(points[-1], ahead, share, held), None
                    after = self._at_share(points[-1], ahead, share, held)
                given += share * step / 3600 * self._given(points[-1], ahead, after, share)
                now += share * step
                points.append(after)
                step *= GROWTH
        except NotSolved as trouble:
            why, reached = trouble, None
        cut = points[-1].near if points and points[-1].above < 0 else ""
        return Spell(tuple(points), given[0], given[1], reached, why, cut)

    def _at_share(self, here: Point, ahead: Point, share: float, held: Array) -> Point:
        now = here.time + share * (ahead.time - here.time)
        return self.at(now, _between(here, ahead, share, held))

    def _cutting(self, here: Point, ahead: Point, share: float, held: Array) -> float:
        """Return the share of a step after which an ESC has just cut, by halving."""
        low, high = 0.0, share
        while high - low > CLOSE:
            middle = (low + high) / 2
            cut = self._at_share(here, ahead, middle, held).above < 0
            low, high = (low, middle) if cut else (middle, high)
        return high

    def _given(self, here: Point, ahead: Point, after: Point, share: float) -> Array:
        """Return the mean current (A) and power of the cells (W) over a step's first share."""
        amps = here.amps + (ahead.amps - here.amps) * share / 2
        power = (self.rest(here.charge) * here.amps + self.rest(after.charge) * after.amps) / 2
        return np.stack([amps, power])

    def _step(self, here: Point, step: float, held: Array) -> tuple[float, Point]:
        """Return the step that is short enough, and the point Euler's method puts at its end."""
        while True:
            charge = here.charge - here.amps * step / (3600 * held)
            try:
                ahead = self.at(here.time + step, charge)
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
        roots = np.roots([bend, here.amps[n], -left]) if left > 0 else np.zeros(1)
        real = [float(r.real) for r in roots if abs(r.imag) < 1e-12 and -1e-12 <= r.real <= 1]
        if real and (here.amps[n] > 0 or ahead.amps[n] > 0):
            found.append((max(min(real), 0.0), int(n)))
    return min(found) if found else (1.0, None)
