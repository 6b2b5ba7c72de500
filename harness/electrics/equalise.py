"""Packs joined side by side at different volts: what flows at first, and how it dies away.

Only the packs and the copper between them: i = A e, with one row of A a solve of the network with
one pack at 1 V and the rest at none (superposition). dq/dt = -i, e from the curve of volts at rest.
The equations are stiff when small packs meet large ones: they are solved by an implicit Runge-Kutta
method whose step is held to a stated error (scipy's Radau; Hairer and Wanner, 1996).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from harness.base.data import dataclass, replace
from harness.electrics.cases import OperatingCase, built_in
from harness.electrics.network import network_of
from harness.electrics.packs import STEPS, cautious_limit, joined_groups, pack_ohms, rest_volts
from harness.electrics.solver.circuit import Array, sure
from harness.electrics.solver.solution import solve
from harness.parts.figure import Figure, rule_figure
from harness.parts.pack import Pack
from harness.plan.plan import Plan
from harness.wiring.build import Wiring

CALM = 0.1
"""C: the packs have settled when none gives or takes more. Our own choice."""

BALANCED = 0.001
"""C: below this nothing worth a look flows any more. Our own choice."""

LONGEST = 24 * 3600.0
"""s after which the decay is no longer followed."""

ERROR = 1e-8
"""Relative error to which each step is held; that of the charge, beside 1e-10 of a full pack."""

POINTS = 400
"""How many moments the decay is given at."""


@dataclass(frozen=True, slots=True)
class Joined:
    """One pack at the moment of joining.

    `volts` at rest; `charge` from 0 to 1; `amps` it gives (below 0: it is charged); `limit` its
    cautious current, A; `rate` the current in C, without sign. None where a fact is missing.
    """

    pack: str
    volts: float
    charge: float
    amps: float
    limit: Figure | None
    rate: float | None

    @property
    def over_limit(self) -> bool:
        """Whether more flows than it gives cautiously."""
        return self.limit is not None and abs(self.amps) > self.limit.number

    @property
    def charged_fast(self) -> bool:
        """Whether it is charged above 1 C, which is not done (common practice, no source)."""
        return self.rate is not None and self.amps < 0 and self.rate > 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Equalising:
    """One group of packs that equalise. Arrays by pack have the shape of `times` (s).

    `amps` given, `rest` volts at rest, `volts` at the poles, `charge` from 0 to 1. `settled`: s
    until no pack gives or takes more than 0.1 C, None when it does not come to that; `ended`:
    "balanced", or why the decay was followed no further; `moved`: Ah that changed packs;
    `joules` turned to heat.
    `assumed` and `unknown`: what was assumed and what nobody gave. With a capacity unknown the
    arrays hold the first moment alone.
    """

    packs: tuple[str, ...]
    start: tuple[Joined, ...]
    times: Array
    amps: dict[str, Array]
    rest: dict[str, Array]
    volts: dict[str, Array]
    charge: dict[str, Array]
    settled: float | None
    ended: str
    moved: float
    joules: float
    assumed: tuple[str, ...]
    unknown: tuple[str, ...]


def equalise(wiring: Wiring, case: OperatingCase | None = None) -> tuple[Equalising, ...]:
    """Follow every group of packs that copper joins. `case`: the built-in `joined` by default."""
    if case is None:
        case = next(c for c in built_in(wiring.plan) if c.name == "joined")
    return tuple(_group(wiring, group, case) for group in joined_groups(wiring))


def conductances(wiring: Wiring, packs: Sequence[Pack], case: OperatingCase) -> Array:
    """Return A in i = A e: A per V, shape (packs, packs); packs and copper alone."""
    net = network_of(wiring, [replace(case, name=pack.id) for pack in packs])
    circuit = net.circuit
    circuit.consumers.clear()
    circuit.converters.clear()
    circuit.diodes.clear()
    for name, number in net.sources.items():
        own = np.array([1.0 if pack.id == name else 0.0 for pack in packs])
        circuit.sources[number] = replace(circuit.sources[number], volts=own)
    found = solve(circuit).raw.source[:, [net.sources[pack.id] for pack in packs]]
    return np.asarray(found.T)


class Curve:
    """Volts at rest of a pack by its charge: straight pieces, the last ones going on."""

    def __init__(self, plan: Plan, pack: Pack) -> None:
        self.charges = np.array(STEPS) / 100
        self.volts = np.array([rest_volts(plan, pack, c) for c in self.charges])
        self.slopes = np.diff(self.volts) / np.diff(self.charges)

    def __call__(self, charge: Array) -> Array:
        """Return the volts at some charges."""
        at = np.clip(np.searchsorted(self.charges, charge) - 1, 0, len(self.slopes) - 1)
        return np.asarray(self.volts[at] + self.slopes[at] * (charge - self.charges[at]))

    def charge(self, volts: float) -> float:
        """Return the charge that shows some volts."""
        at = int(np.clip(np.searchsorted(self.volts, volts) - 1, 0, len(self.slopes) - 1))
        rise = self.slopes[at]
        return float(self.charges[at] + ((volts - self.volts[at]) / rise if rise > 0 else 0.0))


def _group(wiring: Wiring, packs: tuple[Pack, ...], case: OperatingCase) -> Equalising:
    plan, names = wiring.plan, tuple(pack.id for pack in packs)
    curves = [Curve(plan, pack) for pack in packs]
    volts, assumed = _start(plan, packs, case)
    charges = np.array([c.charge(v) for c, v in zip(curves, volts, strict=True)])
    matrix = conductances(wiring, packs, case)
    amps = sure(matrix @ np.array(volts))
    start = tuple(
        _joined(plan, p, v, q, i) for p, v, q, i in zip(packs, volts, charges, amps, strict=True)
    )
    unknown = [f"{p.id}: its capacity (capacity)" for p in packs if not p.capacity]
    if unknown:
        decay = Decay.first(charges, "a capacity is not known")
    else:
        decay = _decay(packs, curves, charges, matrix)
    rest = np.stack([c(q) for c, q in zip(curves, decay.charges, strict=True)])
    given = matrix @ rest
    inside = np.array([[pack_ohms(plan, p, case.temperature, stiff=case.stiff)] for p in packs])
    unknown += [f"{p.id}: the rate on its label (rate)" for p in packs if p.rate is None]

    def by_pack(rows: Array) -> dict[str, Array]:
        return dict(zip(names, rows, strict=True))

    return Equalising(
        names,
        start,
        decay.times,
        by_pack(given),
        by_pack(rest),
        by_pack(rest - given * inside),
        by_pack(decay.charges),
        decay.settled,
        decay.ended,
        _moved(packs, decay),
        decay.joules,
        tuple(assumed),
        tuple(unknown),
    )


def _start(
    plan: Plan, packs: tuple[Pack, ...], case: OperatingCase
) -> tuple[list[float], list[str]]:
    """Return the volts at rest: metered, or by charge, or assumed apart by what builders allow."""
    known = {p.id: v for p in packs if (v := _stated(plan, p, case)) is not None}
    apart = rule_figure(plan.catalogue, "parallel", "warning")
    first = known.get(packs[0].id, rest_volts(plan, packs[0], 1.0))
    found, assumed = [first], []
    if packs[0].id not in known:
        assumed.append(f"{packs[0].id} is full: {first:.4g} V")
    for pack in packs[1:]:
        alike = (pack.cells, pack.chemistry) == (packs[0].cells, packs[0].chemistry)
        lower = first - apart.number * pack.cells if alike else rest_volts(plan, pack, 1.0)
        found.append(known.get(pack.id, lower))
        if pack.id not in known:
            less = f"{apart.number:g} V a cell lower ({apart.origin})"
            assumed.append(f"{pack.id} is {less if alike else 'full'}: {lower:.4g} V")
    return found, assumed


def _stated(plan: Plan, pack: Pack, case: OperatingCase) -> float | None:
    if pack.id in case.volts:
        return case.volts[pack.id]
    charge = case.charges.get(pack.id)
    return None if charge is None else rest_volts(plan, pack, charge)


def _joined(plan: Plan, pack: Pack, volts: float, charge: float, amps: float) -> Joined:
    rate = abs(float(amps)) / pack.capacity if pack.capacity else None
    limit = cautious_limit(plan, pack)
    return Joined(pack.id, volts, float(charge), float(amps), limit, rate)


@dataclass(frozen=True, slots=True)
class Decay:
    """Charges over time, shape (packs, times)."""

    times: Array
    charges: Array
    settled: float | None
    ended: str
    joules: float

    @classmethod
    def first(cls, charges: Array, why: str) -> Decay:
        """Return the first moment alone."""
        return cls(np.zeros(1), charges[:, None], None, why, 0.0)


def _decay(packs: tuple[Pack, ...], curves: list[Curve], charges: Array, matrix: Array) -> Decay:
    """Integrate charge and heat until the packs have settled."""
    from scipy.integrate import solve_ivp

    held = np.array([pack.capacity for pack in packs], dtype=float)

    def emf(state: Array) -> Array:
        return np.array([float(c(q)) for c, q in zip(curves, state, strict=False)])

    def rates(_: float, state: Array) -> Array:
        e = emf(state)
        i = matrix @ e
        return np.append(-i / (3600 * held), e @ i)

    def flowing(state: Array) -> float:
        return float(np.max(np.abs(matrix @ emf(state)) / held))

    watch = _watch(flowing, len(packs))
    start = np.append(charges, 0.0)
    if flowing(start) <= BALANCED:
        return replace(Decay.first(charges, "balanced"), settled=0.0)
    tolerance = np.append(np.full(len(packs), 1e-10), 1e-6)
    found: Any = solve_ivp(
        rates,
        (0.0, LONGEST),
        start,
        method="Radau",
        events=watch,
        dense_output=True,
        rtol=ERROR,
        atol=tolerance,
    )
    times = np.linspace(0.0, sure(found.t[-1]), POINTS)
    calm = found.t_events[1]
    settled = 0.0 if flowing(start) <= CALM else float(sure(calm[0])) if len(calm) else None
    endings = ["balanced", "", "a pack is overcharged", "a pack is empty"]
    ended = next(
        (w for w, t in zip(endings, found.t_events, strict=True) if w and len(t)),
        "a day has passed",
    )
    state = found.sol(times)
    return Decay(times, state[:-1], settled, ended, float(found.y[-1, -1]))


def _watch(flowing: Callable[[Array], float], packs: int) -> list[Any]:
    """Balanced; settled; a pack above what a full one holds; a pack below empty."""

    def balanced(_: float, state: Array) -> float:
        return flowing(state) - BALANCED

    def settled(_: float, state: Array) -> float:
        return flowing(state) - CALM

    def over(_: float, state: Array) -> float:
        return 1.02 - float(np.max(state[:packs]))

    def empty(_: float, state: Array) -> float:
        return float(np.min(state[:packs]))

    found: list[Any] = [balanced, settled, over, empty]
    for event in found:
        event.terminal, event.direction = event is not settled, -1
    return found


def _moved(packs: tuple[Pack, ...], decay: Decay) -> float:
    """Return the Ah that changed packs: what those that give have given."""
    change = decay.charges[:, 0] - decay.charges[:, -1]
    return float(sum((p.capacity or 0.0) * max(0.0, d) for p, d in zip(packs, change, strict=True)))
