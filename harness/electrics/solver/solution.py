"""A solved network: volts at every node and current in every element, by name or by number."""

from __future__ import annotations

from functools import cached_property

import numpy as np

from harness.electrics.solver.circuit import Array, Circuit, Node, NotSolved, Raw
from harness.electrics.solver.layout import Layout
from harness.electrics.solver.newton import Solver


class Solution:
    """What a circuit does. Every array has one row a draw.

    `raw` holds the currents of the devices by number; `trouble` the draws without a solution:
    their numbers mean nothing.
    """

    def __init__(self, layout: Layout, raw: Raw) -> None:
        self.circuit, self.layout, self.raw = layout.circuit, layout, raw

    @property
    def trouble(self) -> dict[int, NotSolved]:
        """Why a draw has no solution, by its number."""
        return self.raw.trouble

    @cached_property
    def _chain_amps(self) -> list[Array]:
        """Current of each chain from its start to its end."""
        index, volts = self.layout.index, self.raw.volts
        pairs = zip(self.layout.condensed.chains, self.layout.ohms, strict=True)
        return [(volts[:, index[c.start]] - volts[:, index[c.end]]) / ohms for c, ohms in pairs]

    @cached_property
    def resistor(self) -> Array:
        """Current of each resistor from `a` to `b`, A, shape (draws, resistors)."""
        found = np.zeros((self.circuit.draws, len(self.circuit.resistors)))
        for chain, amps in zip(self.layout.condensed.chains, self._chain_amps, strict=True):
            for number, forward in chain.steps:
                found[:, number] = amps if forward else -amps
        return found

    @cached_property
    def _volts(self) -> dict[Node, Array]:
        found = {node: self.raw.volts[:, n] for node, n in self.layout.index.items()}
        for chain, amps in zip(self.layout.condensed.chains, self._chain_amps, strict=True):
            node, volts = chain.start, found[chain.start]
            for number, forward in chain.steps[:-1]:
                resistor = self.circuit.resistors[number]
                node = resistor.b if forward else resistor.a
                volts = volts - amps * np.asarray(resistor.ohms, dtype=float)
                found[node] = volts
        for node, neighbour in self.layout.condensed.dead:
            found[node] = found.get(neighbour, np.zeros(self.circuit.draws))
        return found

    def volts(self, node: Node) -> Array:
        """Return the volts of a node above the reference of its part of the network."""
        none: Array = np.zeros(self.circuit.draws)
        return self._volts.get(node, none)

    def between(self, plus: Node, minus: Node) -> Array:
        """Return the volts of one node above another, which must hang together with it."""
        return self.volts(plus) - self.volts(minus)


def solve(circuit: Circuit, *, by_hand: bool = False) -> Solution:
    """Solve a circuit. Raises NotSolved when bare sources are shorted by nothing at all."""
    layout = Layout.of(circuit)
    return Solution(layout, Solver(layout, by_hand=by_hand).solve())
