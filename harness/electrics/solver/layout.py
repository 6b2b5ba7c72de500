"""A circuit with its nodes numbered: the unknowns of modified nodal analysis."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from harness.electrics.solver.circuit import Array, Circuit, Node
from harness.electrics.solver.condense import Condensed, condense
from harness.electrics.solver.elements import Pieces


@dataclass(eq=False)
class Layout:
    """A circuit with its nodes numbered: made once, solved for any amounts of the same shape."""

    circuit: Circuit
    condensed: Condensed
    index: dict[Node, int] = field(default_factory=dict)

    @classmethod
    def of(cls, circuit: Circuit) -> Layout:
        """Number the kept nodes."""
        made = cls(circuit, condense(circuit))
        for chain in made.condensed.chains:
            made._number(chain.start, chain.end)
        for source in circuit.sources:
            made._number(source.low, source.high)
        for consumer in circuit.consumers:
            made._number(consumer.plus, consumer.minus)
        for diode in circuit.diodes:
            made._number(diode.a, diode.b)
        for c in circuit.converters:
            made._number(c.in_plus, c.in_minus, c.out_plus, c.out_minus)
        return made

    def _number(self, *nodes: Node) -> None:
        for node in nodes:
            self.index.setdefault(node, len(self.index))

    @property
    def size(self) -> int:
        """How many unknowns there are."""
        return len(self.index) + len(self.circuit.sources)

    @cached_property
    def references(self) -> list[int]:
        """One node of each part of the network that hangs together, pinned to 0 V.

        The low end of its first source if it has one, else its first node.
        """
        pairs = [(c.start, c.end) for c in self.condensed.chains]
        pairs += [(s.low, s.high) for s in self.circuit.sources]
        pairs += [(c.plus, c.minus) for c in self.circuit.consumers]
        pairs += [(d.a, d.b) for d in self.circuit.diodes]
        for made in self.circuit.converters:
            pairs += [(made.in_plus, made.in_minus), (made.out_plus, made.out_minus)]
        pieces = Pieces[int]()
        for a, b in pairs:
            pieces.join(self.index[a], self.index[b])
        chosen: dict[int, int] = {}
        for source in self.circuit.sources:
            low = self.index[source.low]
            chosen.setdefault(pieces.root(low), low)
        for node in range(len(self.index)):
            chosen.setdefault(pieces.root(node), node)
        return sorted(chosen.values())

    @cached_property
    def ohms(self) -> list[Array]:
        """The resistance of each chain, one value or one a draw."""
        resistors = self.circuit.resistors
        found = []
        for chain in self.condensed.chains:
            total: Array = np.zeros(())
            for number, _ in chain.steps:
                total = total + np.asarray(resistors[number].ohms, dtype=float)
            found.append(total)
        return found

    def at(self, nodes: list[Node]) -> list[int]:
        """Return the numbers of nodes."""
        return [self.index[node] for node in nodes]
