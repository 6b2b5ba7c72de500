"""Packs run down in one operating case: the network solved again and again at falling charge.

Heun's method (explicit, second order) with Euler's as its error estimate: a step is halved until
the two agree to `ERROR` of a full pack, which also keeps it shorter than the time in which packs
side by side even out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from harness.electrics.cases import OperatingCase
from harness.electrics.network import network_of
from harness.electrics.packs import pack_ohms, rest_volts
from harness.electrics.solver.circuit import Array, NotSolved
from harness.electrics.solver.newton import Raw, Solver
from harness.electrics.warm import solved
from harness.parts.pack import Pack
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
    """A moment: s from the start, charge (0 to 1), current (A) and volts at the poles by pack."""

    time: float
    charge: Array
    amps: Array
    volts: Array


@dataclass(frozen=True, slots=True)
class Spell:
    """Packs run down from the first point to the last.

    `amp_hours`, `watt_hours`: what each pack's cells have given; `reached`: the number of the pack
    that came down to its reserve at the end, or None; `stopped`: why it could not go on.
    """

    points: tuple[Point, ...]
    amp_hours: Array
    watt_hours: Array
    reached: int | None = None
    stopped: NotSolved | None = None


class Drain:
    """One wiring in one operating case, solved at any charge of its packs; wires as warm as in it.

    `held`: Ah by pack; a pack with None keeps its charge (it is `frozen`).
    """

    def __init__(
        self, wiring: Wiring, case: OperatingCase, packs: list[Pack], held: list[float | None]
    ) -> None:
        plan, net = wiring.plan, network_of(wiring, [case])
        self.plan, self.packs = plan, packs
        self.numbers = [net.sources[pack.id] for pack in packs]
        self.ohms = np.array([pack_ohms(plan, pack, case.temperature) for pack in packs])
        self.held = np.array([np.inf if h is None else h for h in held])
        self.solver = Solver(solved(net).layout)
        self.last: Raw | None = None

    def rest(self, charge: Array) -> Array:
        """Return the volts at rest."""
        pairs = zip(self.packs, charge, strict=True)
        return np.array([rest_volts(self.plan, pack, float(q)) for pack, q in pairs])

    def at(self, time: float, charge: Array) -> Point:
        """Solve one moment. Raises NotSolved."""
        rest = self.rest(charge)
        self.solver.emf[0, self.numbers] = rest
        raw = self.solver.solve(self.last)
        if raw.trouble:
            raise raw.trouble[0]
        self.last = raw
        amps = raw.source[0, self.numbers]
        return Point(time, charge, amps, rest - self.ohms * amps)

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
            while now < time - 1e-9 and reached is None:
                step = min(step, max(slice_, now / FINE), time - now)
                step, ahead = self._step(points[-1], step, held)
                share, reached = _crossing(points[-1], ahead, floor, held)
                end = _between(points[-1], ahead, share, held)
                after = self.at(now + share * step, end)
                given += share * step / 3600 * self._given(points[-1], ahead, after, share)
                now += share * step
                points.append(after)
                step *= GROWTH
        except NotSolved as trouble:
            why, reached = trouble, None
        return Spell(tuple(points), given[0], given[1], reached, why)

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
                if error <= ERROR or step <= SHORTEST:
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
