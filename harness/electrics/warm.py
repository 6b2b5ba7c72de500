"""A network solved with its copper as warm as its own current makes it.

In cases that last every wire is in balance with the air (`heat`): solve, warm, solve again, until
no wire's warmth moves. In the others copper is as warm as the air: seconds warm it little, and cold
copper lets most flow. A case that has a solution only while its wires are cold keeps that one.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import fields

import numpy as np

from harness.base.units import WireSize
from harness.base.wire import COEFFICIENT_20C
from harness.electrics.derating import derating
from harness.electrics.heat import Cord, conductor_temperature
from harness.electrics.network import Network
from harness.electrics.solver.circuit import Array, Index, Raw, Resistor, sure
from harness.electrics.solver.layout import Layout
from harness.electrics.solver.newton import Solver
from harness.electrics.solver.solution import Solution
from harness.parts.figure import rule_figure
from harness.plan.plan import Plan
from harness.wiring.ratings import outer_of

SETTLED = 1e-3
"""K by which no wire's warmth moves any more."""

ROUNDS = 40


def solved(net: Network) -> Solution:
    """Solve a network; its circuit then has the warm resistances. Raises NotSolved as `solve`."""
    layout = Layout.of(net.circuit)
    solver = Solver(layout)
    cold = Solution(layout, solver.solve())
    wires = [number for number, ohms in net.ohms.items() if ohms.copper]
    airs = net.by_case([case.temperature for case in net.cases])
    warmth = np.repeat(airs[:, None], len(wires), axis=1)
    lasting = net.by_case([float(case.lasting) for case in net.cases])
    draws = [n for n in np.flatnonzero(lasting) if n not in cold.trouble]
    raw = _Warming(net, wires, solver, cold).raw(np.array(draws, dtype=int), warmth)
    net.warmth = dict(zip(wires, sure(warmth.T), strict=True))
    resistors = net.circuit.resistors
    for number, at in zip(wires, map(net.resistor.__getitem__, wires), strict=True):
        old, ohms = resistors[at], net.ohms[number]
        now = ohms.copper * (1 + COEFFICIENT_20C * (net.warmth[number] - 20)) + ohms.fixed
        resistors[at] = Resistor(old.a, old.b, now, old.name)
    return Solution(Layout(net.circuit, layout.condensed, layout.index), raw)


class _Warming:
    """The wires of a network and the chains they lie in."""

    def __init__(self, net: Network, wires: list[int], solver: Solver, cold: Solution) -> None:
        self.net, self.solver, self.cold = net, solver, cold
        chains, index = cold.layout.condensed.chains, cold.layout.index
        chain_of = {step: n for n, chain in enumerate(chains) for step, _ in chain.steps}
        each = [chain_of.get(net.resistor[number], -1) for number in wires]
        self.live = np.flatnonzero(np.array(each) >= 0)
        self.chain = np.array(each, dtype=int)[self.live]
        self.wires = [wires[n] for n in self.live]
        self.copper = np.array([net.ohms[number].copper for number in self.wires])
        self.ends = [
            np.array([index[node] for node in nodes], dtype=int)
            for nodes in ([c.start for c in chains], [c.end for c in chains])
        ]
        self.groups = _groups(net, self.wires)

    def raw(self, draws: Index, warmth: Array) -> Raw:
        """Return the solution with some of its draws warm; `warmth` is changed in place.

        Draws that have no solution then are left as they are.
        """
        cold = self.cold.raw
        while len(draws) and self.wires:
            found, now = self._settled(draws, warmth[np.ix_(draws, self.live)])
            if not found.trouble:
                warmth[np.ix_(draws, self.live)] = now
                return _laid_over(cold, found, draws)
            draws = np.delete(draws, list(found.trouble))
        return cold

    def _settled(self, draws: Index, airs: Array) -> tuple[Raw, Array]:
        """Solve and warm in turn until nothing moves; `airs` of shape (draws, wires)."""
        layout, warmth = self.cold.layout, airs
        full = np.broadcast_to(1.0, (self.solver.draws,))
        ohms = first = np.array([(full * chain)[draws] for chain in layout.ohms]).T
        raw = _some(self.cold.raw, draws)
        start, end = self.ends
        for _ in range(ROUNDS):
            amps = ((raw.volts[:, start] - raw.volts[:, end]) / ohms)[:, self.chain]
            now = _temperatures(amps, self.groups, airs[:, 0])
            moved = np.any(np.abs(now - warmth) > SETTLED, axis=1, keepdims=True)
            if not moved.any():
                break
            warmth = np.where(moved, now, warmth)
            more, ohms = self.copper * COEFFICIENT_20C * (warmth - airs), first.copy()
            np.add.at(ohms.T, self.chain, more.T)
            raw = self.solver.again(draws, ohms).solve(raw.unknowns)
            if raw.trouble:
                break
        return raw, warmth


def _groups(net: Network, wires: list[int]) -> dict[Cord, Index]:
    """Return the wires, by their place in the list, that get as warm by the same current."""
    plan, found = net.wiring.plan, defaultdict[Cord, list[int]](list)
    shares: dict[str, float] = {}
    cords: dict[tuple[WireSize, float], Cord] = {}
    for place, number in enumerate(wires):
        part, size = plan.parts[net.wiring.links[number].owner], net.ohms[number].size
        assert size is not None
        if part.place not in shares:
            shares[part.place] = derating(plan, part).number
        kind = (size, shares[part.place])
        if kind not in cords:
            cords[kind] = cord_of(plan, *kind)
        found[cords[kind]].append(place)
    return {cord: np.array(places) for cord, places in found.items()}


def cord_of(plan: Plan, size: WireSize, share: float) -> Cord:
    """Return what decides how warm a wire of some gauge gets that bears `share` where it lies."""
    shines, conducts = (
        rule_figure(plan.catalogue, "heat", key).number for key in ("emissivity", "conductivity")
    )
    return Cord(size.area_mm2, outer_of(plan, size), share, shines, conducts)


def _temperatures(amps: Array, groups: dict[Cord, Index], airs: Array) -> Array:
    """Return what the copper of each wire comes to, degC, shape (draws, wires)."""
    found = np.empty_like(amps)
    for air in set(airs.tolist()):
        rows = np.flatnonzero(airs == air)
        for cord, places in groups.items():
            block = np.ix_(rows, places)
            found[block] = conductor_temperature(amps[block], cord, air)
    return found


def _some(raw: Raw, draws: Index) -> Raw:
    cut = {f.name: getattr(raw, f.name)[draws] for f in fields(raw) if f.name != "trouble"}
    return Raw(**cut, trouble={})


def _laid_over(cold: Raw, warm: Raw, draws: Index) -> Raw:
    """Return the cold solution with some of its draws in their warm one."""
    laid = {f.name: getattr(cold, f.name).copy() for f in fields(cold) if f.name != "trouble"}
    for name, values in laid.items():
        values[draws] = getattr(warm, name)
    return Raw(**laid, trouble=cold.trouble)
