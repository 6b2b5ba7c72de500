"""The harness at every moment of a run: currents of the supplies, volts at the devices."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from harness.base.data import dataclass, replace
from harness.electrics.cases import Activity, OperatingCase, built_in
from harness.electrics.gear.motion import Track
from harness.electrics.margins import least_volts
from harness.electrics.network import Network, network_of, part_of
from harness.electrics.outcome import Outcome
from harness.electrics.packs import reserve_of
from harness.electrics.solver.circuit import Array, NotSolved
from harness.electrics.solver.solution import solve
from harness.parts.figure import Figure, rule_figure
from harness.parts.pack import Pack
from harness.plan.plan import Plan
from harness.wiring.build import Wiring


@dataclass(frozen=True, slots=True)
class Lowest:
    """The lowest volts of a device over a run, when, and what it needs at least.

    `rail`: what a rail should keep under load by common practice, not the device's own limit.
    """

    device: str
    volts: float
    time: float
    limit: Figure
    rail: bool = False

    @property
    def short(self) -> bool:
        """Whether it gets less than it needs."""
        return self.volts < self.limit.number


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """A run, solved; see Run for the fields."""

    times: Array
    states: Mapping[str, tuple[str, ...]]
    amps: Mapping[str, Array]
    volts: Mapping[str, Array]
    lowest: tuple[Lowest, ...]
    limited: tuple[str, ...]


MOST = 2000
"""Moments between edges at which a run is looked at; a long one is looked at less often."""


class Observer:
    """Solves the moments of runs on one wiring.

    In the air as in the built-in cruise case, on the ground with the motors off; the packs are
    down to their reserve, which is the worst for the volts.
    """

    def __init__(self, wiring: Wiring, step: float) -> None:
        plan = wiring.plan
        self.wiring, self.step = wiring, step
        charges = {p.id: reserve_of(plan, p).number for p in plan.of(Pack)}
        cruise = next(case for case in built_in(plan) if case.name == "cruise")
        self.air = replace(cruise, charges=charges, lasting=False)
        self.ground = replace(self.air, throttle=0.0)
        self.unknown: list[str] = []
        self.assumed = [
            f"in the air every motor at {cruise.throttle:.0%} throttle, on the ground off;"
            " flight surfaces move now and then"
        ]
        if charges:
            left = ", ".join(f"{pack} {charge:.0%}" for pack, charge in sorted(charges.items()))
            self.assumed.append(f"packs are down to their reserve: {left}")

    def see(
        self, name: str, tracks: Sequence[Track], edges: Iterable[float], tail: float, ground: bool
    ) -> Moments:
        """Solve a run at every edge and every step. Raises NotSolved, with the moment."""
        times = self._times(list(edges), tail)
        rows = [tuple(track.state(float(t)) for track in tracks) for t in times]
        kinds = list(dict.fromkeys(rows))
        at = np.array([kinds.index(row) for row in rows])
        base = self.ground if ground else self.air
        net = network_of(self.wiring, [_case(base, name, tracks, kind) for kind in kinds])
        solution = solve(net.circuit)
        if solution.trouble:
            draw = min(solution.trouble, key=lambda n: int(np.argmax(at == n)))
            raise _at(net, solution.trouble[draw], name, float(times[np.argmax(at == draw)]))
        self._note(net)
        outcome = Outcome(net, solution)
        volts = {device: outcome.fed(device)[at] for device in _devices(net)}
        plan = self.wiring.plan
        return Moments(
            times,
            {t.id: tuple(row[n] for row in rows) for n, t in enumerate(tracks)},
            {s: outcome.given(s)[at] for s in sorted([*net.sources, *net.converters])},
            volts,
            tuple(low for d, v in volts.items() for low in _lowest(plan, d, v, times)),
            tuple(s for s in sorted(net.converters) if outcome.at_limit(s).any()),
        )

    def _times(self, edges: list[float], tail: float) -> Array:
        end = max(edges, default=0.0) + tail
        step = max(self.step, end / MOST)
        count = int(np.floor(end / step + 1e-9))
        every = np.concatenate([np.arange(count + 1) * step, edges, [end]])
        return np.unique(np.round(every, 9))

    def _note(self, net: Network) -> None:
        """List once what draws nobody knows, and what hangs on no supply."""
        found = []
        for demand in net.demands:
            if demand.draw.missing:
                counted = "its motor is left out" if demand.part.drives else "left out"
                found.append(f"{demand.part.id}: {demand.draw.missing}; {counted}")
        found += [f"{name}: what feeds it; left out" for name in net.unfed]
        self.unknown += [words for words in found if words not in self.unknown]


def _case(
    base: OperatingCase, name: str, tracks: Sequence[Track], states: tuple[str, ...]
) -> OperatingCase:
    doing = {t.id: Activity(state) for t, state in zip(tracks, states, strict=True)}
    return replace(base, name=name, activity={**base.activity, **doing})


def _at(net: Network, trouble: NotSolved, name: str, time: float) -> NotSolved:
    part = part_of(net.wiring.plan, trouble.element)
    line = f" (plan line {part.span.line})" if part else ""
    why = f"{trouble.why}, at {time:g} s of {name}{line}"
    return NotSolved(trouble.element, why, trouble.draw)


def _devices(net: Network) -> list[str]:
    """Return the consumers that hang on a supply, but for motors, by id."""
    every = (d.part for d in net.demands if not d.part.drives)
    return [part.id for part in every if part.id not in net.unfed]


def _lowest(plan: Plan, device: str, volts: Array, times: Array) -> list[Lowest]:
    part = plan.parts[device]
    at = int(np.argmin(volts))
    low, when = float(volts[at]), float(times[at])
    own = least_volts(plan, part)[1].figure
    found = [Lowest(device, low, when, own)] if own.number else []
    if part.is_radio:
        rail = rule_figure(plan.catalogue, "rail", "minimum")
        found.append(Lowest(device, low, when, rail, True))
    return found
