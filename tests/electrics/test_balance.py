"""What holds on every solve: currents balance, power in is power out; and what must not change."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from electrics.circuits import Grower, power, unbalance
from hypothesis import given, settings
from hypothesis import strategies as st
from support import plan_of

from harness.electrics.cases import cases_of
from harness.electrics.network import Network, network_of
from harness.electrics.solver.circuit import Array, Circuit, Consumer, Resistor, VoltSource
from harness.electrics.solver.solution import Solution, solve
from harness.parts.contacts import Contact
from harness.plan.load import load_plan
from harness.wiring.build import build

EXAMPLES = sorted(p for p in Path(__file__).parents[2].glob("examples/*.yaml") if "." not in p.stem)
SEED = st.integers(min_value=0, max_value=10_000)


def holds(solution: Solution) -> None:
    """Kirchhoff's first law at every node of the uncondensed circuit, and no watt lost."""
    good = [draw for draw in range(solution.circuit.draws) if draw not in solution.trouble]
    assert len(good) == solution.circuit.draws, solution.trouble
    assert unbalance(solution) < 1
    given, lost = power(solution)
    total = sum(lost.values(), np.zeros(len(good)))
    assert np.all(np.abs(given - total) <= 1e-9 * np.abs(given) + 1e-9)
    assert all(np.all(watts > -1e-9) for watts in lost.values())


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_balance_in_every_case_of_every_example(path: Path) -> None:
    plan = load_plan(str(path))
    holds(solve(network_of(build(plan), cases_of(plan)).circuit))


@settings(max_examples=25, deadline=None, derandomize=True)
@given(SEED)
def test_balance_of_invented_harnesses(seed: int) -> None:
    holds(solve(Grower(seed).grown(5)))


def linear(seed: int) -> Circuit:
    """A harness of resistors and packs alone, its consumers lamps."""
    grower = Grower(seed, draws=1)
    bus = grower.packs()
    for _ in range(4):
        ends = grower.run(grower.run(bus, 0.01, 0.2))
        grower.circuit.consumers.append(Consumer(*ends, siemens=grower.rng.uniform(0.05, 1)))
        spare = grower.run(ends)
        grower.circuit.resistors.append(Resistor(spare[0], grower.run(bus)[0], 0.05))  # a ring
    return grower.circuit


def by_hand(circuit: Circuit) -> dict[object, float]:
    """Nodal analysis of the uncondensed circuit: a row for each node and each source."""
    nodes = sorted({n for r in circuit.resistors for n in (r.a, r.b)}
                   | {n for s in circuit.sources for n in (s.low, s.high)})  # fmt: skip
    at, size = {node: n for n, node in enumerate(nodes)}, len(nodes) + len(circuit.sources)
    matrix, right = np.zeros((size, size)), np.zeros(size)
    joins = [(r.a, r.b, 1 / float(r.ohms)) for r in circuit.resistors]
    joins += [(c.plus, c.minus, float(c.siemens) + 1e-9) for c in circuit.consumers]
    for a, b, siemens in joins:
        for one, other in ((at[a], at[b]), (at[b], at[a])):
            matrix[one, one] += siemens
            matrix[one, other] -= siemens
    for row, s in enumerate(circuit.sources, len(nodes)):
        low, high = at[s.low], at[s.high]
        matrix[low, row], matrix[high, row] = 1, -1
        matrix[row, high], matrix[row, low], matrix[row, row] = 1, -1, np.asarray(s.ohms).item()
        right[row] = np.asarray(s.volts).item()
    matrix[at[circuit.sources[0].low]] = 0
    matrix[at[circuit.sources[0].low], at[circuit.sources[0].low]] = 1
    right[at[circuit.sources[0].low]] = 0
    found = np.linalg.solve(matrix, right)
    return {node: float(found[n]) for node, n in at.items()}


@settings(max_examples=25, deadline=None, derandomize=True)
@given(SEED)
def test_the_condensed_network_is_the_whole_one(seed: int) -> None:
    circuit = linear(seed)
    ours, plain = solve(circuit), by_hand(circuit)
    for node, volts in plain.items():
        assert ours.volts(node)[0] == pytest.approx(volts, rel=1e-9, abs=1e-9)


def asked(solution: Solution) -> Array:
    """Volts at every consumer."""
    return np.stack([solution.between(c.plus, c.minus) for c in solution.circuit.consumers])


def tree(seed: int, lamps: float) -> Circuit:
    """One pack, a trunk, four runs from it, each with a servo, a lamp and an ESC at its end."""
    grower = Grower(seed, draws=1)
    circuit, pack = grower.circuit, (grower.node(), grower.node())
    circuit.sources.append(VoltSource(pack[1], pack[0], 16.0, 0.02))
    trunk = grower.run(pack)
    for _ in range(4):
        ends = grower.run(trunk, 0.01, 0.05)
        circuit.consumers.append(
            Consumer(*ends, grower.amount(0, 2), lamps, grower.amount(0, 30), 1.0, 8.0)
        )
    return circuit


def volts_gained(circuit: Circuit, chosen: int, times: float) -> Array:
    """By how much each consumer's volts rise when one wire has `times` the copper."""
    thick = list(circuit.resistors)
    thick[chosen] = replace(thick[chosen], ohms=float(thick[chosen].ohms) / times)
    before, after = solve(circuit), solve(replace(circuit, resistors=thick))
    assert not before.trouble
    assert not after.trouble
    return (asked(after) - asked(before))[:, 0]


WIRE, TIMES = st.integers(0, 19), st.floats(1.0, 50.0)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(SEED, WIRE, TIMES)
def test_thicker_wire_lowers_the_volts_of_nothing(seed: int, wire: int, times: float) -> None:
    """Servos that move and ESCs draw no more with more volts: nobody's drop rises."""
    assert np.all(volts_gained(tree(seed, 0.0), wire, times) >= -1e-9)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(SEED, WIRE, TIMES)
def test_thicker_wire_helps_what_is_behind_it(seed: int, wire: int, times: float) -> None:
    """What stalls draws more with more volts, at its neighbours' cost: only its own drop falls.

    Each run is four resistors long; the first four are the trunk, with everything behind it.
    """
    gained = volts_gained(tree(seed, 0.3), wire, times)
    behind = gained if wire < 4 else gained[wire // 4 - 1]
    assert np.all(behind >= -1e-9)


@settings(max_examples=20, deadline=None, derandomize=True)
@given(SEED)
def test_a_pack_in_two_halves_changes_nothing_downstream(seed: int) -> None:
    """Half the capacity is twice the ohms (published: n in parallel are r/n), leads likewise."""
    grower = Grower(seed, draws=1)
    load = grower.node(), grower.node()
    grower.tree(load, 4)
    whole, halves = (replace(grower.circuit, resistors=list(grower.circuit.resistors), sources=[])
                     for _ in range(2))  # fmt: skip
    whole.sources.append(VoltSource(load[1], ("pack",), 16.4, 0.02))
    whole.resistors.append(Resistor(("pack",), load[0], 0.003))
    for half in range(2):
        halves.sources.append(VoltSource(load[1], ("half", half), 16.4, 0.04))
        halves.resistors.append(Resistor(("half", half), load[0], 0.006))
    one, two = solve(whole), solve(halves)
    assert not one.trouble
    assert not two.trouble
    assert asked(two) == pytest.approx(asked(one), rel=1e-9, abs=1e-9)
    assert two.raw.source[0] == pytest.approx([one.raw.source[0, 0] / 2] * 2, rel=1e-7)


PARTS = """
receivers: {rx: {sockets: 4}}
servos:
  left: {class: 9g-analogue, plug: rx.1}
  right: {class: 17g-digital, plug: rx.2}
packs:
  main: {chemistry: lipo, cells: 3, capacity: 2 Ah, rate: 35 C, connector: XT60}
escs:
  esc: {rated: 40 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, plug: rx.3, supply: main,
        connector: XT60}
motors:
  motor: {full-throttle: 20 A, plug: esc}
"""


def test_the_order_of_parts_changes_nothing() -> None:
    groups = [("\n" + g) for g in ("receivers", "servos", "packs", "escs", "motors")]
    starts = [PARTS.index(g) for g in groups] + [len(PARTS)]
    blocks = [PARTS[a:b] for a, b in pairwise(starts)]
    nets = []
    for text in (PARTS, "".join(reversed(blocks)) + "\n"):
        plan = plan_of(text)
        nets.append(network_of(build(plan), cases_of(plan)))
    one, two = (solve(net.circuit) for net in nets)
    for contact in nets[0].node:
        assert above_pack(nets[1], two, contact) == pytest.approx(
            above_pack(nets[0], one, contact), abs=1e-9
        )


def above_pack(net: Network, solution: Solution, contact: Contact) -> Array:
    """Volts of a contact above the pack's negative end; where 0 V lies may differ."""
    return solution.between(net.node[contact], net.at("main", "cells", "negative"))
