"""A wiring that has an answer gets it: radio supplies that back each other up, random networks.

An answer balances at every node, within 1e-8 of the largest current there (`circuits.unbalance`).
What we refuse, a second solver must not solve either (`oracle.py`, on scipy); one draw of each plan
is looked at. More seeds than the ones here, by hand:
HARNESS_SEEDS=2000 pytest -n0 tests/electrics/test_supplies.py
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from electrics import ngspice
from electrics.circuits import Grower, unbalance
from electrics.oracle import Alone
from electrics.supplies import redundant
from support import plan_of

from harness.electrics.cases import cases_of
from harness.electrics.network import network_of
from harness.electrics.solver.circuit import Circuit, Consumer, Resistor, VoltSource
from harness.electrics.solver.solution import solve
from harness.electrics.spice import netlist_of, node_names, source_name
from harness.wiring.build import build

SEEDS = int(os.environ.get("HARNESS_SEEDS", "40"))
CHUNK = 20


def circuit_of(seed: int) -> Circuit:
    plan = plan_of(redundant(seed))
    return network_of(build(plan), cases_of(plan)).circuit


def pressed(seed: int) -> Circuit:
    """A random harness; its second draw asks for up to forty times the power."""
    grower = Grower(seed)
    circuit = grower.grown(grower.rng.randint(2, 7))
    times = np.array([1.0, grower.rng.choice([1, 4, 40])])
    circuit.consumers = [replace(c, watts=c.watts * times) for c in circuit.consumers]
    return circuit


def wrongly_refused(make: Callable[[int], Circuit], seed: int) -> list[str]:
    """The first refused draw, when the other solver answers it."""
    solution = solve(make(seed))
    assert unbalance(solution) < 1, seed
    return [
        f"{make.__name__} {seed}, draw {draw}: {solution.trouble[draw]}"
        for draw in sorted(solution.trouble)[:1]
        if Alone(solution.circuit, draw).solve() is not None
    ]


@pytest.mark.parametrize("start", range(0, SEEDS, CHUNK))
@pytest.mark.parametrize("make", [circuit_of, pressed])
def test_what_has_an_answer_is_not_refused(make: Callable[[int], Circuit], start: int) -> None:
    wrong = [w for seed in range(start, start + CHUNK) for w in wrongly_refused(make, seed)]
    assert not wrong


def test_a_diode_on_the_way_to_an_answer_does_not_drown_the_rest() -> None:
    """Start and careful steps may ask hundreds of volts of a diode: its slope must stay finite.

    Else nothing else counts beside it and the matrix is singular, for every case of the plan.
    """
    assert not wrongly_refused(circuit_of, 280)
    assert len(solve(circuit_of(280)).trouble) == 0


@pytest.mark.parametrize("seed", [21, 26, 28, 174])
def test_supplies_that_hang_on_leaks_agree_with_ngspice(seed: int) -> None:
    """A supply that gives nothing behind a diode that blocks has volts by leaks of nA alone.

    Floors as in `test_ngspice.py`: 1e-6 A, 1e-6 V, 1e-6 relative; of what draws or gives.
    """
    circuit = circuit_of(seed)
    ours = solve(circuit)
    assert 0 not in ours.trouble
    theirs = ngspice.run(netlist_of(circuit))
    for number in range(len(circuit.sources)):
        amps = -theirs[f"i({source_name(circuit, number)})"]
        assert ours.raw.source[0, number] == pytest.approx(amps, rel=1e-6, abs=1e-6)
    name = node_names(circuit)
    at = lambda node: theirs.get(f"v({name[node]})", 0.0)  # noqa: E731
    for load in circuit.consumers:
        volts = at(load.plus) - at(load.minus)
        assert ours.between(load.plus, load.minus)[0] == pytest.approx(volts, rel=1e-6, abs=1e-6)


def test_the_other_solver_knows_where_volts_break_down() -> None:
    """12 V behind 1 ohm give 36 W at most (Jacobi): 35 W at (12 + 2) / 2 = 7 V, 40 W never."""
    circuit = Circuit(2, [Resistor("+", "esc+", 1.0)], [VoltSource("-", "+", 12.0)])
    circuit.consumers.append(Consumer("esc+", "-", watts=np.array([35.0, 40.0]), stall=6.0))
    alone = Alone(circuit, 0)
    found = alone.solve()
    assert found is not None
    assert found[alone.at["esc+"]] - found[alone.at["-"]] == pytest.approx(7.0, rel=1e-6)
    assert Alone(circuit, 1).solve() is None
