"""Every characteristic against its own formula by hand, and its slope against differences."""

from __future__ import annotations

import math

import numpy as np
import pytest

from harness.electrics.solver.circuit import (
    LEAK,
    Array,
    Circuit,
    Consumer,
    Converter,
    Junction,
    Resistor,
    VoltSource,
)
from harness.electrics.solver.devices import Consumers, Converters, diode_current
from harness.electrics.solver.solution import Solution, solve

STEP = 1e-6
VOLTS = np.array([-3.0, -0.2, 0.3, 0.7, 1.5, 4.0, 7.3, 12.0, 25.0])[:, None]
"""None of them at a corner of a characteristic."""


def slope(of: object, at: Array) -> Array:
    """Central difference; its error is of the second order in STEP."""
    assert callable(of)
    return np.asarray((of(at + STEP) - of(at - STEP)) / (2 * STEP))


def test_consumer_slope() -> None:
    of = Consumers.of(Circuit(1, consumers=[Consumer("a", "b", 0.4, 0.02, 30.0, 1.0, 6.0)]))
    assert of.current(VOLTS)[1] == pytest.approx(slope(lambda v: of.current(v)[0], VOLTS), rel=1e-6)


def test_consumer_above_and_below_its_knees() -> None:
    """At 12 V: amps + siemens * 12 + watts / 12. At 0.5 V: half the amps, watts * v / stall^2."""
    of = Consumers.of(Circuit(1, consumers=[Consumer("a", "b", 0.4, 0.02, 30.0, 1.0, 6.0)]))
    above, below, none = of.current(np.array([[12.0], [0.5], [0.0]]))[0][:, 0]
    assert above == pytest.approx(0.4 + 0.24 + 2.5 + 12 * LEAK, rel=1e-12)
    assert below == pytest.approx(0.2 + 0.01 + 30 * 0.5 / 36 + 0.5 * LEAK, rel=1e-12)
    assert none == 0


def test_diode_against_shockley() -> None:
    """W. Shockley 1949: i = i0 (exp(v / (n k T / q)) - 1); 1 nA and 50 mV."""
    volts = np.array([-1.0, 0.0, 0.3, 0.7, 1.0])
    found = diode_current(np.full(5, 1e-9), np.full(5, 0.05), volts)[0]
    by_hand = [1e-9 * math.expm1(v / 0.05) + LEAK * v for v in volts]
    assert found == pytest.approx(by_hand, rel=1e-12, abs=1e-18)


def test_diode_slope_and_its_straight_end() -> None:
    volts = np.array([-1.0, 0.0, 0.4, 0.8, 11.0])
    one = np.full(5, 1e-9), np.full(5, 0.05)
    assert diode_current(*one, volts)[1] == pytest.approx(
        slope(lambda v: diode_current(*one, v)[0], volts), rel=1e-6
    )


def test_diode_in_a_loop_obeys_its_equation() -> None:
    """5 V, 10 ohm: v + 10 i0 (exp(v / slope) - 1) = 5, solved here by halving."""
    circuit = Circuit(1, [Resistor("k", "-", 10.0)], [VoltSource("-", "a", 5.0)])
    circuit.diodes.append(Junction("a", "k", 1e-9, 0.05))
    low, high = 0.0, 5.0
    for _ in range(200):
        v = (low + high) / 2
        over = v + 10 * (1e-9 * math.expm1(v / 0.05) + LEAK * v) > 5
        low, high = (low, v) if over else (v, high)
    assert solve(circuit).between("a", "k")[0] == pytest.approx(low, rel=1e-9)


@pytest.mark.parametrize("efficiency", [0.0, 0.85])
@pytest.mark.parametrize("fed", [0.5, 3.0, 5.5, 9.0])
@pytest.mark.parametrize("out", [0.4, 4.3, 4.93, 5.2])
def test_converter_slopes(efficiency: float, fed: float, out: float) -> None:
    made = Converter("a", "b", "c", "b", 5.0, 0.03, 1.0, 10.0, efficiency, 0.01)
    of = Converters.of(Circuit(1, converters=[made]))
    u, v = np.array([[fed]]), np.array([[out]])
    g = of.given(u, v)
    near = {"rel": 1e-5, "abs": 1e-7}
    assert g.out_by_in == pytest.approx(slope(lambda x: of.given(x, v).out, u), **near)
    assert g.out_by_out == pytest.approx(slope(lambda x: of.given(u, x).out, v), **near)
    assert g.taken_by_in == pytest.approx(slope(lambda x: of.given(x, v).taken, u), **near)
    assert g.taken_by_out == pytest.approx(slope(lambda x: of.given(u, x).taken, v), **near)


def supply(volts: float, load: Consumer, **key: float) -> Solution:
    circuit = Circuit(1, sources=[VoltSource("-", "+", volts)], consumers=[load])
    values = {"volts": 5.0, "ohms": 0.03, "drop_out": 1.0, "limit": 3.0, "quiescent": 0.01}
    circuit.converters.append(Converter("+", "-", "5", "-", **(values | key)))
    found = solve(circuit)
    assert not found.trouble
    return found


def test_converter_at_no_load_gives_its_own_volts() -> None:
    found = supply(12.0, Consumer("5", "-"))
    assert found.between("5", "-")[0] == pytest.approx(5.0, rel=1e-8)
    assert found.raw.taken[0, 0] == pytest.approx(0.01, rel=1e-5)


def test_converter_sags_by_its_resistance_and_takes_what_its_efficiency_says() -> None:
    """2 A through 0.03 ohm: 4.94 V, 9.88 W, over 0.85 and 12 V: 0.96863 A, and 10 mA."""
    found = supply(12.0, Consumer("5", "-", amps=2.0), efficiency=0.85)
    assert found.between("5", "-")[0] == pytest.approx(4.94, rel=1e-8)
    assert found.raw.taken[0, 0] == pytest.approx(4.94 * 2 / (0.85 * 12) + 0.01, rel=1e-7)


def test_converter_at_its_limit() -> None:
    """A lamp of 1 ohm would draw 4.85 A: at 3 A it has 3 V."""
    found = supply(12.0, Consumer("5", "-", siemens=1.0))
    assert found.raw.limited[0, 0]
    assert found.between("5", "-")[0] == pytest.approx(3.0, rel=1e-8)


def test_converter_in_drop_out() -> None:
    """4.5 V in, 1 V needed: 3.5 V less 0.03 V at 1 A."""
    found = supply(4.5, Consumer("5", "-", amps=1.0))
    assert found.between("5", "-")[0] == pytest.approx(3.47, rel=1e-8)


def test_converter_never_takes_back() -> None:
    """A 6 V pack on its output: nothing flows into it but its leak."""
    circuit = Circuit(
        1, [Resistor("6", "5", 0.01)], [VoltSource("-", "+", 12.0), VoltSource("-", "6", 6.0)]
    )
    circuit.converters.append(Converter("+", "-", "5", "-", 5.0, 0.03))
    found = solve(circuit)
    assert found.between("5", "-")[0] == pytest.approx(6.0, rel=1e-8)
    assert abs(found.raw.source[0]).max() < 1e-7
