"""Take the dull nodes out of a network: dead ends carry nothing, wires end to end add up.

What is left has a node only where current can part or a device sits; the volts and currents of
everything taken out follow from what is left, exactly.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from harness.electrics.solver.circuit import Circuit, Node, Resistor

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
    fixed = _device_nodes(circuit)
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


def _device_nodes(circuit: Circuit) -> set[Node]:
    found: set[Node] = set()
    for source in circuit.sources:
        found |= {source.low, source.high}
    for consumer in circuit.consumers:
        found |= {consumer.plus, consumer.minus}
    for diode in circuit.diodes:
        found |= {diode.a, diode.b}
    for made in circuit.converters:
        found |= {made.in_plus, made.in_minus, made.out_plus, made.out_minus}
    return found


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
