"""A circuit condensed, its nodes numbered: the unknowns of modified nodal analysis.

Dull nodes are taken out: dead ends carry nothing, wires end to end add up. What is left has a
node only where current can part or a device sits; the volts and currents of everything taken out
follow from what is left, exactly.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from functools import cached_property
from typing import Any, Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from harness.base.data import dataclass, field
from harness.electrics.solver.circuit import Array, Circuit, Node, Resistor

T = TypeVar("T", bound=Any)


class Pieces(Generic[T]):
    """Things in pieces; the least thing of a piece stands for it, whatever the order of joins."""

    def __init__(self) -> None:
        self._up: dict[T, T] = {}

    def root(self, thing: T) -> T:
        """Return what stands for the piece of a thing."""
        up = self._up
        while (above := up.setdefault(thing, thing)) != thing:
            up[thing] = up[above]
            thing = above
        return thing

    def join(self, one: T, other: T) -> None:
        """Make two pieces one."""
        a, b = self.root(one), self.root(other)
        self._up[max(a, b)] = min(a, b)

    def __iter__(self) -> Iterator[T]:
        return iter(tuple(self._up))


Step = tuple[int, bool]
"""Number of a resistor, and whether it is passed from its `a` to its `b`."""


@dataclass(frozen=True, slots=True)
class Chain:
    """Resistors end to end between two nodes that are kept."""

    start: Node
    end: Node
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class Condensed:
    """The chains of a network, and the dead ends: (node, the neighbour whose volts it has).

    `dead` is in an order in which every neighbour is known before it is needed.
    """

    chains: tuple[Chain, ...]
    dead: tuple[tuple[Node, Node], ...]


def condense(circuit: Circuit) -> Condensed:
    """Find the chains and dead ends of a circuit's resistors."""
    near = _near(circuit.resistors)
    fixed = {node for pair in circuit.ports() for node in pair}
    dead = _prune(near, fixed, circuit.resistors)
    kept = {node for node, steps in near.items() if node in fixed or len(steps) != 2}
    return Condensed(tuple(_chains(near, kept, circuit.resistors)), tuple(reversed(dead)))


def _near(resistors: list[Resistor]) -> dict[Node, list[int]]:
    near: dict[Node, list[int]] = defaultdict(list)
    for number, resistor in enumerate(resistors):
        if resistor.a != resistor.b:
            near[resistor.a].append(number)
            near[resistor.b].append(number)
    return dict(near)


def _prune(
    near: dict[Node, list[int]], fixed: set[Node], resistors: list[Resistor]
) -> list[tuple[Node, Node]]:
    """Take out every node at which current can only turn back."""
    dead: list[tuple[Node, Node]] = []
    todo = [node for node, steps in near.items() if len(steps) == 1 and node not in fixed]
    while todo:
        node = todo.pop()
        if not near[node]:
            continue
        number = near[node].pop()
        other = _other(resistors[number], node)
        near[other].remove(number)
        dead.append((node, other))
        if len(near[other]) == 1 and other not in fixed:
            todo.append(other)
    return dead


def _other(resistor: Resistor, node: Node) -> Node:
    return resistor.b if resistor.a == node else resistor.a


def _chains(near: dict[Node, list[int]], kept: set[Node], resistors: list[Resistor]) -> list[Chain]:
    """Walk from each kept node along every resistor to the next kept node."""
    found: list[Chain] = []
    used: set[int] = set()
    for start, ways in near.items():
        if start not in kept:
            continue
        for first in ways:
            if first in used:
                continue
            node, number, steps = start, first, list[Step]()
            while True:
                used.add(number)
                steps.append((number, resistors[number].a == node))
                node = _other(resistors[number], node)
                if node in kept:
                    break
                number = next(n for n in near[node] if n != number)
            found.append(Chain(start, node, tuple(steps)))
    return found


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
        for pair in made._pairs():
            for node in pair:
                made.index.setdefault(node, len(made.index))
        return made

    def _pairs(self) -> list[tuple[Node, Node]]:
        return [(c.start, c.end) for c in self.condensed.chains] + self.circuit.ports()

    @property
    def size(self) -> int:
        """How many unknowns there are."""
        return len(self.index) + len(self.circuit.sources)

    @cached_property
    def references(self) -> list[int]:
        """One node of each part of the network that hangs together, pinned to 0 V.

        The low end of its first source if it has one, else its first node.
        """
        pieces = Pieces[int]()
        for a, b in self._pairs():
            pieces.join(self.index[a], self.index[b])
        chosen: dict[int, int] = {}
        for source in self.circuit.sources:
            low = self.index[source.low]
            chosen.setdefault(pieces.root(low), low)
        for node in range(len(self.index)):
            chosen.setdefault(pieces.root(node), node)
        return sorted(chosen.values())

    @cached_property
    def bare_loop(self) -> bool:
        """Whether sources without any resistance are joined in a loop: then nothing is known."""
        pieces = Pieces[int]()
        for source in self.circuit.sources:
            if not np.all(source.ohms):
                low, high = self.index[source.low], self.index[source.high]
                if pieces.root(low) == pieces.root(high):
                    return True
                pieces.join(pieces.root(low), pieces.root(high))
        return False

    @cached_property
    def ohms(self) -> list[Array]:
        """The resistance of each chain, one value or one a draw."""
        each = [np.asarray(r.ohms, dtype=float) for r in self.circuit.resistors]
        none: Array = np.zeros(())
        return [sum((each[n] for n, _ in chain.steps), none) for chain in self.condensed.chains]

    def at(self, nodes: list[Node]) -> NDArray[np.intp]:
        """Return the numbers of nodes."""
        return np.array([self.index[node] for node in nodes], dtype=np.intp)
