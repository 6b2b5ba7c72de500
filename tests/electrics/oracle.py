"""A second solver, apart from ours: every node kept, scipy's factors, power asked step by step.

Written from the words of `solver/circuit.py` alone. Nothing is condensed, one draw at a time; the
way is another one too: what asks for constant power asks for nothing at first and then for more
and more (a load-flow continuation), so that where it ends short of the whole there is no answer
that a builder could meet: the volts have broken down.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu

from harness.electrics.solver.circuit import LEAK, Array, Circuit, Node

Slopes = list[tuple[int, int, float]]
STEEP = 80.0
"""Where a diode's exponential goes on straight: 1e34 times its saturation current."""


@dataclass
class Alone:
    """One draw of a circuit, uncondensed: volts of nodes, then currents of sources."""

    circuit: Circuit
    draw: int

    def __post_init__(self) -> None:
        c = self.circuit
        pairs = [(r.a, r.b) for r in c.resistors] + c.ports()
        self.at: dict[Node, int] = {}
        for pair in pairs:
            for node in pair:
                self.at.setdefault(node, len(self.at))
        self.size = len(self.at) + len(c.sources)
        self.zeros = self._zeros(pairs)

    def _zeros(self, pairs: list[tuple[Node, Node]]) -> set[int]:
        """One node of each piece of network, held at 0 V."""
        piece = {node: {node} for node in self.at}
        for a, b in pairs:
            if piece[a] is not piece[b]:
                piece[a] |= piece[b]
                for node in piece[b]:
                    piece[node] = piece[a]
        return {min(self.at[node] for node in group) for group in piece.values()}

    def of(self, amount: float | Array) -> float:
        """The figure of this draw."""
        return float(
            np.broadcast_to(np.asarray(amount, dtype=float), (self.circuit.draws,))[self.draw]
        )

    def currents(self, x: Array, share: float) -> tuple[Array, Slopes, Array]:
        """What is left over at each node, its slopes, and the largest current there."""
        left, most, slopes = np.zeros(self.size), np.zeros(self.size), Slopes()

        def flow(a: int, b: int, amps: float, by: Iterable[tuple[int, float]]) -> None:
            left[a] += amps
            left[b] -= amps
            most[a], most[b] = max(most[a], abs(amps)), max(most[b], abs(amps))
            for n, s in by:
                slopes.extend(((a, n, s), (b, n, -s)))

        c, at, of = self.circuit, self.at, self.of
        for r in c.resistors:
            a, b, g = at[r.a], at[r.b], 1 / of(r.ohms)
            flow(a, b, g * (x[a] - x[b]), ((a, g), (b, -g)))
        for n, s in enumerate(c.sources, len(at)):
            low, high = at[s.low], at[s.high]
            flow(low, high, x[n], ((n, 1.0),))
            left[n] = x[high] - x[low] - of(s.volts) + of(s.ohms) * x[n]
            slopes.extend(((n, high, 1.0), (n, low, -1.0), (n, n, of(s.ohms))))
        for d in c.consumers:
            a, b = at[d.plus], at[d.minus]
            amps, g = self.consumer(d, x[a] - x[b], share)
            flow(a, b, amps, ((a, g), (b, -g)))
        for j in c.diodes:
            a, b = at[j.a], at[j.b]
            z, i0 = (x[a] - x[b]) / j.slope, of(j.saturation)
            e = np.exp(min(z, STEEP))
            amps = i0 * (e * (1 + max(z - STEEP, 0.0)) - 1) + LEAK * (x[a] - x[b])
            g = i0 * e / j.slope + LEAK
            flow(a, b, float(amps), ((a, g), (b, -g)))
        for v in c.converters:
            self.converter(v, x, flow)
        for n in self.zeros:
            left[n], slopes = x[n], [*(s for s in slopes if s[0] != n), (n, n, 1.0)]
        return left, slopes, most

    def consumer(self, d: object, u: float, share: float) -> tuple[float, float]:
        """Current and slope: constant current, conductance, constant power."""
        amps, siemens, watts = (self.of(getattr(d, k)) for k in ("amps", "siemens", "watts"))
        knee, stall = d.knee, d.stall  # type: ignore[attr-defined]
        watts *= share
        total, slope = (siemens + LEAK) * u, siemens + LEAK
        total, slope = (
            (total + amps, slope) if u >= knee else (total + amps * u / knee, slope + amps / knee)
        )
        if u >= stall:
            return total + watts / u, slope - watts / u**2
        return total + watts * u / stall**2, slope + watts / stall**2

    def converter(self, v: object, x: Array, flow: object) -> None:
        """Gives at its volts behind its resistance up to its limit; takes what that costs."""
        get = lambda key: self.of(getattr(v, key))  # noqa: E731
        ip, im, op, om = (
            self.at[getattr(v, k)] for k in ("in_plus", "in_minus", "out_plus", "out_minus")
        )
        fed, out, ohms = x[ip] - x[im], x[op] - x[om], get("ohms")
        short = fed - get("drop_out") < get("volts")
        target = max(fed - get("drop_out") if short else get("volts"), 0.0)
        amps = (target - out) / ohms
        live, by_in, by_out = 0 < amps <= get("limit"), 0.0, 0.0
        if live:
            by_out, by_in = -1 / ohms, (1 / ohms if short and target > 0 else 0.0)
        amps = min(max(amps, 0.0), get("limit"))
        given = amps - LEAK * out
        flow(om, op, given, ((ip, by_in), (im, -by_in), (op, by_out - LEAK), (om, LEAK - by_out)))  # type: ignore[operator]
        eff, idle, held = get("efficiency"), get("quiescent"), max(fed, 1.0)
        taken, t_in, t_out = amps, by_in, by_out
        if eff > 0:
            bend = -amps * out / (eff * held**2) if fed > 1 else 0.0
            taken = amps * out / (eff * held)
            t_in = by_in * out / (eff * held) + bend
            t_out = by_out * out / (eff * held) + amps / (eff * held)
        taken += (idle if fed > 1 else idle * fed) + LEAK * fed
        t_in += (0.0 if fed > 1 else idle) + LEAK
        flow(ip, im, taken, ((ip, t_in), (im, -t_in), (op, t_out), (om, -t_out)))  # type: ignore[operator]

    def rest(self, x: Array, share: float) -> Array | None:
        """Come to rest straight, or by conductances to 0 V at every node, less and less of them."""
        straight = self.steps(x, share, 0.0)
        if straight is not None:
            return straight
        for ground in (1.0, 1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 0.0):
            found = self.steps(x, share, ground)
            x = x if found is None else found
        return found

    def steps(self, x: Array, share: float, ground: float) -> Array | None:
        """Newton's steps, each cut back until less is left over; None where none leads to rest."""
        grounds = [(n, n, ground) for n in range(len(self.at))] if ground else []

        def at(x: Array) -> tuple[Array, Slopes, Array]:
            left, slopes, most = self.currents(x, share)
            left[: len(self.at)] += ground * x[: len(self.at)]
            return left, slopes + grounds, most

        now, more = at(x), 3
        for _ in range(60):
            more -= self.balances(now[0], now[2])
            if not more:
                return x
            rows, cols, data = zip(*now[1], strict=True)
            try:
                step = splu(csc_matrix((data, (rows, cols)), (self.size, self.size))).solve(-now[0])
            except RuntimeError:
                return None
            cut, size = 1.0, np.linalg.norm(now[0])
            new = at(x + step)
            while np.linalg.norm(new[0]) >= size and more == 3 and cut > 1e-6:
                cut /= 2
                new = at(x + cut * step)
            if cut <= 1e-6:
                return None
            x, now = x + cut * step, new
        return None

    def balances(self, left: Array, most: Array) -> bool:
        """1e-8 of the largest current at every node, with the floor of `circuits.unbalance`."""
        nodes = len(self.at)
        return bool(np.all(np.abs(left[:nodes]) <= 1e-8 * most[:nodes] + 1e-11)
                    and np.all(np.abs(left[nodes:]) <= 1e-9))  # fmt: skip

    def solve(self) -> Array | None:
        """The answer with all power given, or None where the volts break down before."""
        x, share, step = self.rest(np.zeros(self.size), 0.0), 0.0, 1.0
        while x is not None and share < 1:
            aim = min(share + step, 1.0)
            found = self.steps(x, aim, 0.0)
            if found is not None and self.working(found):
                x, share, step = found, aim, 2 * step
            elif step < 1e-3:
                return None
            else:
                step /= 4
        return x if x is not None and self.working(x) else None

    def working(self, x: Array) -> bool:
        """Whether everything that asks for power has the volts it stalls at."""
        return all(
            self.of(d.watts) <= 0 or x[self.at[d.plus]] - x[self.at[d.minus]] >= d.stall
            for d in self.circuit.consumers
        )


def solved(circuit: Circuit, draw: int) -> Array | None:
    """Volts of every node, then currents of the sources; None without an answer."""
    return Alone(circuit, draw).solve()
