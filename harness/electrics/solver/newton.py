"""Solve a network: modified nodal analysis with Newton's iteration, for a batch of draws at once.

Unknown are the volts of the nodes that `condense` keeps and the currents of the sources (C.-W. Ho,
A. Ruehli, P. Brennan, The modified nodal approach to network analysis, 1975; from memory). Every
device is replaced by its tangent at the volts of the last round, until the volts no longer move.
Small networks are solved as dense stacks, large ones by a sparse factorisation each.
"""

from __future__ import annotations

from copy import copy

import numpy as np
from numpy.typing import NDArray

from harness.base.data import replace
from harness.electrics.solver.circuit import Array, Index, NotSolved, Raw
from harness.electrics.solver.devices import (
    Consumers,
    Converters,
    diode_current,
    falling,
    limited_junction,
    within,
)
from harness.electrics.solver.layout import Layout
from harness.electrics.solver.matrix import dense, eliminated, sparse

DENSE = 150
"""Unknowns up to which a dense solver is the faster one; measured."""

PLAIN = 25
"""Rounds of whole steps; two devices may hand a corner to and fro for ever."""

EASES = ((1e-1, 1e-3, 1e-6, 0.0), (1.0, 1e-1, 1e-2, 1e-3, 1e-4, 1e-6, 1e-8, 0.0))
"""S laid beside every device, less and less, where plain steps run in a circle."""

SHARES = (0.0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.0)
"""Of the constant powers, more and more, where that does not help either."""

ROUNDS = 80
"""Rounds of careful steps with each of them."""

HALVINGS = 14
"""Shares of a step that are looked at then."""

STILL = 1e-10
"""Relative change of volts at which the iteration has come to rest."""

BACKWARDS = -1.0  # V below which a device is fed the wrong way round

BALANCED, DUST = 1e-8, 1e-11
"""What may be left over at a node, of the largest current there and in A: one on leaks quivers."""

SHORT = "sources without any resistance are joined in a loop"


class Solver:
    """One layout with its amounts, ready to be solved.

    `by_hand`: not by a library, whose last bits hang on the processor.
    """

    def __init__(self, layout: Layout, *, by_hand: bool = False) -> None:
        circuit = layout.circuit
        self.layout, self.draws = layout, circuit.draws
        self.size, self.nodes, self.share = layout.size, len(layout.index), 1.0
        self.by_hand = by_hand
        at = layout.at
        self.c_plus = at([c.plus for c in circuit.consumers])
        self.c_minus = at([c.minus for c in circuit.consumers])
        self.d_a, self.d_b = at([d.a for d in circuit.diodes]), at([d.b for d in circuit.diodes])
        self.v_ip = at([c.in_plus for c in circuit.converters])
        self.v_im = at([c.in_minus for c in circuit.converters])
        self.v_op = at([c.out_plus for c in circuit.converters])
        self.v_om = at([c.out_minus for c in circuit.converters])
        self.consumers, self.converters = Consumers.of(circuit), Converters.of(circuit)
        self.saturation = circuit.amounts([d.saturation for d in circuit.diodes])
        self.slope = circuit.amounts([d.slope for d in circuit.diodes])
        self.emf = circuit.amounts([s.volts for s in circuit.sources])
        chains = layout.condensed.chains
        self.chain_a, self.chain_b = at([c.start for c in chains]), at([c.end for c in chains])
        self.siemens = circuit.amounts([1.0 / ohms for ohms in layout.ohms])
        low, high = at([s.low for s in circuit.sources]), at([s.high for s in circuit.sources])
        plus, minus = (self.c_plus, self.d_a), (self.c_minus, self.d_b)
        self.leaving = np.concatenate([self.chain_a, low, *plus, self.v_om, self.v_ip])
        self.arriving = np.concatenate([self.chain_b, high, *minus, self.v_op, self.v_im])
        steering = (*plus, self.v_ip, self.v_op)
        self.steers = [np.concatenate(e) for e in (steering, (*minus, self.v_im, self.v_om))]
        self.cuts = np.cumsum([len(part) for part in steering[:3]]).tolist()
        self.critical = self.slope * np.log(self.slope / (np.sqrt(2) * self.saturation))
        self._linear()

    def _linear(self) -> None:
        """Lay out what stays the same: chains, sources, the pins to 0 V; and where devices go."""
        a, b = self.chain_a, self.chain_b
        self.kept = np.flatnonzero(a != b)
        rows, cols = ([*np.stack(e)[:, self.kept].T.flat] for e in ((a, b, a, b), (a, b, b, a)))
        values: list[Array] = [*self._in_cells(self.siemens).T]

        def put(row: int, col: int, value: Array | float) -> None:
            rows.append(row)
            cols.append(col)
            values.append(np.broadcast_to(np.asarray(value, dtype=float), (self.draws,)))

        index = self.layout.index
        for number, source in enumerate(self.layout.circuit.sources):
            row, low, high = self.nodes + number, index[source.low], index[source.high]
            put(high, row, -1.0)
            put(low, row, 1.0)
            put(row, high, 1.0)
            put(row, low, -1.0)
            put(row, row, np.asarray(source.ohms, dtype=float))
        for node in self.layout.references:
            put(node, node, 1.0)
        self.base = np.stack(values, axis=1) if values else np.zeros((self.draws, 0))
        ports = (
            (self.c_plus, self.c_minus, self.c_plus, self.c_minus),
            (self.d_a, self.d_b, self.d_a, self.d_b),
            (self.v_om, self.v_op, self.v_ip, self.v_im),
            (self.v_om, self.v_op, self.v_op, self.v_om),
            (self.v_ip, self.v_im, self.v_ip, self.v_im),
            (self.v_ip, self.v_im, self.v_op, self.v_om),
        )
        device_rows = [[*p, *p, *m, *m] for p, m, _, _ in ports]
        device_cols = [[*u, *w, *u, *w] for _, _, u, w in ports]
        self.rows = np.array([*rows, *(r for part in device_rows for r in part)], dtype=int)
        self.cols = np.array([*cols, *(c for part in device_cols for c in part)], dtype=int)
        cell = self.rows * self.size + self.cols
        self.order = np.argsort(cell, kind="stable")
        self.cells, self.firsts = np.unique(cell[self.order], return_index=True)
        inject = [[*p, *m] for p, m, _, _ in (ports[0], ports[1], ports[2], ports[4])]
        self.inject = np.array([r for part in inject for r in part], dtype=int)

    def again(self, draws: Index, ohms: Array | None = None) -> Solver:
        """Return a solver of some draws, any of them also twice; `ohms`: shape (draws, chains)."""
        some = copy(self)
        some.draws, some.emf, some.base = len(draws), self.emf[draws], self.base[draws]
        some.consumers, some.converters = self.consumers.some(draws), self.converters.some(draws)
        some.saturation, some.slope = self.saturation[draws], self.slope[draws]
        some.critical, some.siemens = self.critical[draws], self.siemens[draws]
        if ohms is not None:
            some.siemens = 1.0 / ohms
            some.base[:, : 4 * len(self.kept)] = self._in_cells(some.siemens)
        return some

    def _in_cells(self, siemens: Array) -> Array:
        """Return the four cells of each chain between two nodes, shape (draws, 4 chains)."""
        each = np.repeat(siemens[:, self.kept], 4, axis=1)
        return np.asarray(each * np.tile([1.0, 1.0, -1.0, -1.0], len(self.kept)))

    def controls(self, volts: Array) -> tuple[Array, Array, Array, Array]:
        """Return the volts that steer the devices: consumers, diodes, converters in and out."""
        across = volts[:, self.steers[0]] - volts[:, self.steers[1]]
        first, second, third = self.cuts
        diodes, ins = across[:, first:second], across[:, second:third]
        return across[:, :first], diodes, ins, across[:, third:]

    def solve(self, near: Array | None = None) -> Raw:
        """Iterate until every draw has come to rest or is known to have no solution.

        `near`: the unknowns at nearly the same amounts, from which few rounds lead; nan where none
        are known. Raises NotSolved where bare sources are joined in a loop.
        """
        if self.layout.bare_loop:
            raise NotSolved("the network", SHORT, unknown=True)
        left, x = np.arange(self.draws), None if near is None else near.copy()
        if x is not None and (known := np.isfinite(x).all(axis=1)).any():
            at = list(self.controls(x[:, : self.nodes]))
            lost = self._rounds(left[known], x, at)
            if not len(left := np.sort(np.concatenate([left[~known], lost]))):
                return self._raw(x, at, left)
        begun = self._start()
        x = begun.copy() if x is None else x
        x[left] = begun[left]
        at = list(self.controls(x[:, : self.nodes]))
        left = self._unsettled(self._rounds(left, x, at), x)
        ways = [*([(ease, 1.0) for ease in eases] for eases in EASES), [(0.0, s) for s in SHARES]]
        for way in ways:
            todo, x[left] = left, begun[left]
            for ease, self.share in way if len(todo) else ():
                left = self._damped(todo, x, at, ease)
            left = self._unsettled(left, x)
        return self._raw(x, at, left)

    def _unsettled(self, todo: Index, x: Array) -> Index:
        """Return those of the draws whose currents do not balance at every node."""
        over, most = self._left_over(todo, x[todo])
        return todo[~(np.abs(over) <= BALANCED * most + DUST).all(axis=1)]  # nan neither

    def _damped(self, todo: Index, x: Array, at: list[Array], ease: float) -> Index:
        """Iterate by steps that bring the currents nearer to balance, in place, as `_rounds`."""
        for _ in range(ROUNDS):
            old = list(self.controls(x[todo][:, : self.nodes]))
            for part, now in zip(at, old, strict=True):
                part[todo] = now
            new, lost = self._moved(todo, x, old, ease)
            far = lost | self._far(todo, old, self.controls(new[:, : self.nodes]))
            x[todo[~far]] = new[~far]
            todo, new = todo[far], new[far]
            if not len(todo):
                break
            x[todo] = self._nearer(todo, x[todo], new, ease)
        return todo

    def _nearer(self, todo: Index, old: Array, new: Array, ease: float) -> Array:
        """Go from `old` towards `new` by the share, a power of a half, that balances best."""
        best, least = new, self._unbalance(todo, new, ease)
        for halvings in range(1, HALVINGS):
            tried = old + 0.5**halvings * (new - old)
            miss = self._unbalance(todo, tried, ease)
            better = miss < least
            best, least = np.where(better[:, None], tried, best), np.where(better, miss, least)
        return best

    def _unbalance(self, todo: Index, x: Array, ease: float) -> Array:
        """Return the root of the summed squares of what is left over at the nodes, A."""
        with np.errstate(over="ignore"):
            return np.asarray(np.sqrt((self._left_over(todo, x, ease)[0] ** 2).sum(axis=1)))

    def _left_over(self, todo: Index, x: Array, ease: float = 0.0) -> tuple[Array, Array]:
        """Return the sum of the currents at each node, A, and the largest of them."""
        consumers, converters, saturation, slope = self._pick(todo)
        u, w, fed, out = self.controls(x[:, : self.nodes])
        g = converters.given(fed, out)
        flows = (
            (x[:, self.chain_a] - x[:, self.chain_b]) * self.siemens[todo],
            x[:, self.nodes :],
            consumers.current(u)[0] + ease * u,
            diode_current(saturation, slope, w)[0] + ease * w,
            g.out - ease * out,
            g.taken + ease * fed,
        )
        amps = np.concatenate(flows, axis=1).T
        over, most = np.zeros((2, self.nodes, len(todo)))
        for ends, sign in ((self.leaving, 1.0), (self.arriving, -1.0)):
            np.add.at(over, ends, sign * amps)
            np.maximum.at(most, ends, np.abs(amps))
        return over.T, most.T

    def _rounds(self, todo: Index, x: Array, at: list[Array]) -> Index:
        """Iterate in place; return the draws that have not come to rest."""
        for turn in range(PLAIN if len(todo) else 0):
            here = [part[todo] for part in at]
            new, lost = self._moved(todo, x, here)
            x[todo] = new
            moved = self.controls(new[:, : self.nodes])
            far = lost | self._far(todo, here, moved)
            for part, wanted in zip(at, self._held(todo, at, moved, turn), strict=True):
                part[todo] = wanted
            todo = todo[far]
            if not len(todo):
                break
        return todo

    def _start(self) -> Array:
        """Begin with the volts of the network at no load: consumers open, supplies on."""
        rest = [np.zeros((self.draws, n)) for n in (len(self.c_plus), len(self.d_a))]
        fed = np.full((self.draws, len(self.v_ip)), 1e3)
        kept, self.consumers = self.consumers, self.consumers.idle()
        conducting = self.slope * np.log(1.0 + 1.0 / self.saturation)
        out = self.converters.volts - 1e-3 * self.converters.ohms
        try:
            return self._step(np.arange(self.draws), [rest[0], conducting, fed, out])
        finally:
            self.consumers = kept

    def _pick(self, todo: Index) -> tuple[Consumers, Converters, Array, Array]:
        c, v, saturation, slope = self.consumers, self.converters, self.saturation, self.slope
        if len(todo) < self.draws:  # else they are all, in order, and need no copies
            c, v, saturation, slope = c.some(todo), v.some(todo), saturation[todo], slope[todo]
        if self.share != 1.0:
            c = replace(c, watts=self.share * c.watts)
        return c, v, saturation, slope

    def _moved(
        self, todo: Index, x: Array, at: list[Array], ease: float = 0.0
    ) -> tuple[Array, NDArray[np.bool_]]:
        """Return where a step leads, and which draws have none: they stay where they are."""
        new = self._step(todo, at, ease)
        lost: NDArray[np.bool_] = ~np.asarray(np.isfinite(new).all(axis=1))
        new[lost] = x[todo[lost]]
        return new, lost

    def _step(self, todo: Index, at: list[Array], ease: float = 0.0) -> Array:
        """Solve with every device replaced by its tangent at the volts `at`.

        `ease`: siemens laid beside every device, which are no part of the network.
        """
        consumers, converters, saturation, slope = self._pick(todo)
        u, w, fed, out = at
        drawn, by = consumers.current(u)
        through, bend = diode_current(saturation, slope, w)
        g = converters.given(fed, out)
        values = [self.base[todo]]
        eased = (by + ease, bend + ease, g.out_by_in, g.out_by_out - ease)
        for s in (*eased, g.taken_by_in + ease, g.taken_by_out):
            values += [s, -s, -s, s]
        given = g.out - g.out_by_in * fed - g.out_by_out * out
        taken = g.taken - g.taken_by_in * fed - g.taken_by_out * out
        rest = [drawn - by * u, through - bend * w, given, taken]
        right = np.zeros((len(todo), self.size))
        flows = np.concatenate([part for r in rest for part in (-r, r)], axis=1)
        np.add.at(right.T, self.inject, flows.T)
        right[:, self.nodes :] = self.emf[todo]
        return self._linear_solve(np.concatenate(values, axis=1), right)

    def _linear_solve(self, values: Array, right: Array) -> Array:
        if self.size > DENSE and not self.by_hand:
            return sparse(values, self.rows, self.cols, right, self.nodes)
        matrix = np.zeros((len(values), self.size, self.size))
        summed = np.add.reduceat(values[:, self.order], self.firsts, axis=1)
        matrix.reshape(len(values), -1)[:, self.cells] = summed
        if self.by_hand:
            return np.stack([eliminated(*one) for one in zip(matrix, right, strict=True)])
        return dense(matrix, right, self.nodes)

    def _far(self, todo: Index, old: list[Array], new: tuple[Array, ...]) -> NDArray[np.bool_]:
        """Return which draws still move."""
        far = np.zeros(len(todo), dtype=bool)
        # a consumer that is a mere resistor is straight: one that hangs loose may quiver
        amps, watts, duty = self.consumers.bending
        bent = ((amps != 0) | (watts != 0) | (duty != 0))[todo]
        for number, (a, b) in enumerate(zip(old, new, strict=True)):
            moves = np.abs(a - b) > STILL * np.maximum(1.0, np.abs(b))
            far |= (moves if number else moves & bent).any(axis=1)
        return far

    def _held(self, todo: Index, at: list[Array], new: tuple[Array, ...], turn: int) -> list[Array]:
        """Return how far each device may go: a diode along its logarithm, volts by half."""
        consumer, diode, fed, out = (part[todo] for part in at)
        junction = limited_junction(diode, new[1], self.slope[todo], self.critical[todo])
        if not turn:
            return [within(consumer, new[0]), junction, new[2], new[3]]
        dropped = falling(out, new[3], self.converters.volts[todo])
        return [within(consumer, new[0]), junction, within(fed, new[2]), dropped]

    def _raw(self, x: Array, at: list[Array], todo: Index) -> Raw:
        consumers, converters, saturation, slope = self._pick(np.arange(self.draws))
        volts = x[:, : self.nodes]
        u, w, fed, out = self.controls(volts)
        g = converters.given(fed, out)
        over = np.abs(self._left_over(todo, x[todo])[0]) if len(todo) else ()
        trouble = {
            int(n): self._restless(int(n), at, (u, w, fed, out), left)
            for n, left in zip(todo, over, strict=True)
        }
        collapsed = (self.consumers.watts > 0) & (u < self.consumers.stall)
        collapsed |= (self.consumers.duty > 0) & (u < BACKWARDS)
        for draw, number in zip(*np.nonzero(collapsed), strict=True):
            trouble.setdefault(int(draw), self._starved(int(draw), int(number), u))
        through = diode_current(saturation, slope, w)[0]
        return Raw(
            volts,
            x[:, self.nodes :],
            consumers.current(u)[0],
            through,
            g.out,
            g.taken,
            g.limited,
            trouble,
        )

    def _restless(
        self, draw: int, at: list[Array], new: tuple[Array, ...], over: Array
    ) -> NotSolved:
        """Name the device whose volts move most between two rounds, or that balances worst."""
        circuit = self.layout.circuit
        kinds = (circuit.consumers, circuit.diodes, circuit.converters, circuit.converters)
        names = [[device.name for device in kind] for kind in kinds]
        ends = (self.c_plus, self.d_a, self.v_ip, self.v_op)
        moves = [
            (float(abs(a[draw, n] - b[draw, n])), float(over[node[n]]), name)
            for a, b, node, owners in zip(at, new, ends, names, strict=True)
            for n, name in enumerate(owners)
        ]
        most, _, owner = max(moves, default=(0.0, 0.0, "the network"))
        for number, consumer in enumerate(circuit.consumers) if most > 0 else ():
            if consumer.name == owner and self.consumers.watts[draw, number] > 0:
                return self._starved(draw, number, new[0])
        why = f"its volts do not come to rest (still moving by {most:.3g} V)"
        why = why if most > 0 else "no volts are found for it"
        return NotSolved(owner, why, draw, unknown=True)

    def _starved(self, draw: int, number: int, fed: Array) -> NotSolved:
        consumer = self.layout.circuit.consumers[number]
        if (volts := float(fed[draw, number])) < BACKWARDS:
            return NotSolved(consumer.name, f"it is fed the wrong way round, {volts:.3g} V", draw)
        watts = float(self.consumers.watts[draw, number])
        asked = f"{watts:.4g}" if watts < 1e4 else f"{watts:.0f}"
        why = f"its supply cannot give the {asked} W it asks for: the volts break down"
        return NotSolved(consumer.name, why, draw)
