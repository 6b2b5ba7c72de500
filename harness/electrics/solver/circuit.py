"""The words of a direct-current network, with no plan in it: five kinds of element between nodes.

Every amount is one number, or one for each of a batch of draws (shape `(N,)`): operating cases,
moments of a time line, or random draws of a tolerance run are all solved as one batch. Currents
are in A, volts in V, resistances in ohm, conductances in S, powers in W.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from harness.base.data import dataclass, field

Array = NDArray[np.float64]
Index = NDArray[np.intp]
"""Numbers of draws or of unknowns."""
Amount = float | Array
Node = Any
"""Whatever can be hashed and ordered: a contact of a wiring, a number in a textbook."""

LEAK = 1e-9
"""S beside every device, so that a switched-off branch has volts too; 1 nA at 1 V."""

DECIMALS = 8
"""Of V, A and degC that are solved for: the next few already hang on the processor's algebra."""


def sure(values: Array) -> Array:
    """Return what was solved for as every machine has it, so that last bits decide nothing."""
    return np.asarray(np.round(values, DECIMALS) + 0.0)  # no minus before a zero


@dataclass(frozen=True, slots=True)
class Resistor:
    """Wire, contact, switch: its current flows from `a` to `b`."""

    a: Node
    b: Node
    ohms: Amount
    name: str = ""


@dataclass(frozen=True, slots=True)
class VoltSource:
    """Volts behind a resistance, plus at `high`; its current is what leaves by `high`."""

    low: Node
    high: Node
    volts: Amount
    ohms: Amount = 0.0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Consumer:
    """Draws a constant current, a conductance's, a constant power and a motor's side by side.

    Below `knee` volts the constant current, and below `stall` volts the constant power, falls
    off in proportion to the volts: nothing draws on from an empty rail. The motor runs at `duty`,
    0 to 1; `winding` in ohm, `no_load` in A, `load` in A / V^2, `switching`: see `motor_law`.
    """

    plus: Node
    minus: Node
    amps: Amount = 0.0
    siemens: Amount = 0.0
    watts: Amount = 0.0
    knee: float = 1.0
    stall: float = 1.0
    name: str = ""
    duty: Amount = 0.0
    winding: Amount = 0.0
    no_load: Amount = 0.0
    load: Amount = 0.0
    switching: Amount = 0.0


@dataclass(frozen=True, slots=True)
class Junction:
    """i = saturation * (exp(v / slope) - 1) from `a` to `b` (Shockley's equation).

    `slope` is n k T / q in V. Its bulk resistance is a Resistor of its own.
    """

    a: Node
    b: Node
    saturation: Amount
    slope: float
    name: str = ""


@dataclass(frozen=True, slots=True)
class Converter:
    """A BEC or regulator: gives, never takes, at `volts` behind `ohms`, at most `limit` A.

    It needs `drop_out` V more than it gives. Linear (`efficiency` 0): the same current comes in
    as goes out; switching: the power given, over the efficiency. `quiescent` A flow besides.
    """

    in_plus: Node
    in_minus: Node
    out_plus: Node
    out_minus: Node
    volts: Amount
    ohms: Amount
    drop_out: Amount = 0.0
    limit: Amount = np.inf
    efficiency: Amount = 0.0
    quiescent: Amount = 0.0
    name: str = ""


@dataclass
class Circuit:
    """The elements of one network, and how many draws its batch has."""

    draws: int = 1
    resistors: list[Resistor] = field(default_factory=list)
    sources: list[VoltSource] = field(default_factory=list)
    consumers: list[Consumer] = field(default_factory=list)
    diodes: list[Junction] = field(default_factory=list)
    converters: list[Converter] = field(default_factory=list)

    def ports(self) -> list[tuple[Node, Node]]:
        """Return the two nodes of every device, for a converter those of each side."""
        pairs = [(s.low, s.high) for s in self.sources]
        pairs += [(c.plus, c.minus) for c in self.consumers]
        pairs += [(d.a, d.b) for d in self.diodes]
        for c in self.converters:
            pairs += [(c.in_plus, c.in_minus), (c.out_plus, c.out_minus)]
        return pairs

    def amounts(self, values: list[Amount]) -> Array:
        """Return amounts as one array of shape (draws, elements)."""
        found = np.empty((self.draws, len(values)))
        for number, value in enumerate(values):
            found[:, number] = value
        return found


class NotSolved(Exception):  # noqa: N818 - the words a builder reads
    """The network has no solution that can be trusted; `element` names what stands in the way.

    `unknown`: none was found, which is not to say that the supply gives too little.
    """

    def __init__(self, element: str, why: str, draw: int = 0, *, unknown: bool = False) -> None:
        super().__init__(f"{element}: {why}")
        self.element, self.why, self.draw, self.unknown = element, why, draw, unknown


@dataclass(frozen=True, slots=True)
class Raw:
    """A solution by number: `volts` (draws, nodes), `source` (draws, sources), device currents.

    `consumer`, `diode`, `given`, `taken`: A, shape (draws, elements); `limited`: which converters
    are at their limit. `trouble` holds, for each draw without a solution, the element that moves
    on; its numbers are not to be used.
    """

    volts: Array
    source: Array
    consumer: Array
    diode: Array
    given: Array
    taken: Array
    limited: NDArray[np.bool_]
    trouble: dict[int, NotSolved]

    @property
    def unknowns(self) -> Array:
        """All that was solved for, shape (draws, unknowns)."""
        return np.concatenate([self.volts, self.source], axis=1)
