"""Whose current it is: what each part adds to the current of a branch, by superposition.

At one operating point every consumer is a current source (substitution theorem) and the rest of
the network is linear; so the current of a branch is the sum of what each consumer alone sends
through it, and what the sources exchange among themselves.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np

from harness.electrics.outcome import Outcome
from harness.electrics.solver.circuit import LEAK, Array, Node
from harness.electrics.solver.newton import DENSE
from harness.parts.figure import Draw

Branch = tuple[Node, Node, float]
"""Two nodes and the conductance in S between them."""


class Shares:
    """The network of an outcome as it is in one of its draws."""

    def __init__(self, outcome: Outcome, draw: int) -> None:
        self.outcome, self.draw = outcome, draw
        self.net, self.circuit = outcome.net, outcome.net.circuit
        self.index = outcome.solution.layout.index

    def _amount(self, value: Any) -> float:
        return float(
            np.broadcast_to(np.asarray(value, dtype=float), (self.circuit.draws,))[self.draw]
        )

    @cached_property
    def chains(self) -> list[Branch]:
        """The conductance of each chain of resistors."""
        layout = self.outcome.solution.layout
        pairs = zip(layout.condensed.chains, layout.ohms, strict=True)
        return [(chain.start, chain.end, 1 / self._amount(ohms)) for chain, ohms in pairs]

    @cached_property
    def chain_of(self) -> dict[int, tuple[int, bool]]:
        """Which chain each resistor is in, and whether the same way round."""
        chains = self.outcome.solution.layout.condensed.chains
        return {n: (at, same) for at, chain in enumerate(chains) for n, same in chain.steps}

    def source(self, name: str) -> Branch | None:
        """Return the branch of a pack, BEC or regulator; None for a supply others hold up."""
        if name in self.net.sources:
            pack = self.circuit.sources[self.net.sources[name]]
            return (pack.low, pack.high, 1 / self._amount(pack.ohms))
        made = self.circuit.converters[self.net.converters[name]]
        idle = float(self.outcome.given(name)[self.draw]) <= LEAST_AMPS
        out = float(self.outcome.solution.between(made.out_plus, made.out_minus)[self.draw])
        if idle and out > self._amount(made.volts) + LEAST_AMPS:
            return None
        return (made.out_minus, made.out_plus, 1 / self._amount(made.ohms))

    def _branches(self) -> list[Branch]:
        found = list(self.chains)
        names = [*self.net.sources, *self.net.converters]
        found += [branch for name in names if (branch := self.source(name)) is not None]
        raw = self.outcome.solution.raw
        for number, diode in enumerate(self.circuit.diodes):
            volts = float(self.outcome.solution.between(diode.a, diode.b)[self.draw])
            amps = float(raw.diode[self.draw, number])
            chord = amps / volts if abs(volts) > 1e-12 and amps / volts > LEAK else LEAK
            found.append((diode.a, diode.b, chord))
        return found

    @cached_property
    def _solver(self) -> Any:
        """Factor the network of branches; consumers are open, each piece is pinned to 0 V."""
        rows, cols, values = [], [], []
        for a, b, g in self._branches():
            i, j = self.index[a], self.index[b]
            rows += [i, j, i, j]
            cols += [i, j, j, i]
            values += [g, g, -g, -g]
        size = len(self.index)
        # nodes that hang on consumers alone would have no volts: a leak to ground holds them
        rows += range(size)
        cols += range(size)
        pins = np.full(size, LEAK)
        pins[self.outcome.solution.layout.references] = 1.0
        every = np.array([*values, *pins])
        if size <= DENSE:
            matrix = np.zeros((size, size))
            np.add.at(matrix, (rows, cols), every)
            inverse = np.linalg.inv(matrix)
            return lambda right: inverse @ right
        from scipy.sparse import coo_matrix
        from scipy.sparse.linalg import splu

        return splu(coo_matrix((every, (rows, cols)), (size, size)).tocsc()).solve

    def of_branch(self, branch: Branch) -> Array:
        """Return, for each consumer and then each converter's input, its share of a branch."""
        a, b, siemens = branch
        right = np.zeros(len(self.index))
        right[self.index[a]] += siemens
        right[self.index[b]] -= siemens
        answer = self._solver(right)
        return np.asarray(answer[self._minus] - answer[self._plus])

    @cached_property
    def _plus(self) -> list[int]:
        ends = [c.plus for c in self.circuit.consumers]
        return [self.index[n] for n in (*ends, *(c.in_plus for c in self.circuit.converters))]

    @cached_property
    def _minus(self) -> list[int]:
        ends = [c.minus for c in self.circuit.consumers]
        return [self.index[n] for n in (*ends, *(c.in_minus for c in self.circuit.converters))]

    @cached_property
    def draws(self) -> list[tuple[Draw, float]]:
        """What is drawn: by each consumer, then by each converter for what it feeds, in A."""
        found = [(demand.draw, float(self.outcome.drawn(demand.key)[self.draw]))
                 for demand in self.net.demands]  # fmt: skip
        for name in self.net.converters:
            amps = float(self.outcome.taken(name)[self.draw])
            part = self.outcome.plan.parts[name]
            says = "the sum of what it feeds"
            found.append((Draw(part, "battery", amps, amps, amps, says), amps))
        return found

    def of_link(self, number: int) -> dict[Draw, float]:
        """Return what each draw adds to the current of a link from its a to its b, in A."""
        at = self.net.resistor.get(number)
        chain = self.chain_of.get(at) if at is not None else None
        if chain is None:
            return {}
        return self._told(self.of_branch(self.chains[chain[0]]), 1.0 if chain[1] else -1.0)

    def of_source(self, name: str) -> dict[Draw, float]:
        """Return what each draw adds to the current that a source gives, in A."""
        branch = self.source(name)
        return {} if branch is None else self._told(self.of_branch(branch), 1.0)

    @cached_property
    def _fed(self) -> list[bool]:
        """Which of the draws have volts at all: the current of what hangs loose is no question."""
        pairs = [(c.plus, c.minus) for c in self.circuit.consumers]
        pairs += [(c.in_plus, c.in_minus) for c in self.circuit.converters]
        between = self.outcome.solution.between
        return [abs(float(between(a, b)[self.draw])) > LEAST_VOLTS for a, b in pairs]

    def _told(self, shares: Array, sign: float) -> dict[Draw, float]:
        found = {}
        rows = zip(self.draws, shares * sign, self._fed, strict=True)
        for (draw, amps), share, fed in rows:
            if fed and abs(share) > LEAST_SHARE:
                found[draw] = amps * float(share)
        return found


LEAST_SHARE = 1e-3
"""A part that sends less of its current than this through a wire is not named there."""

LEAST_AMPS = 1e-6
"""A, or V: what the leaks beside the devices make."""

LEAST_VOLTS = 1e-3
"""V; with less between its poles a part is not fed."""
