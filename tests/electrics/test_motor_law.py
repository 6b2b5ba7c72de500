"""Motor and propeller, first order: by an independent solve, by hand, by ngspice, by properties.

The equations are those of "Motor Math" (Sailplane & Electric Modeler, April 2002) and of the theory
pages of open propulsion solvers: U = E + R I, torque by I - I0, a propeller's with the square of
the speed; an ideal controller passes power on: pack current = duty times motor current.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from electrics import ngspice
from electrics.test_devices import slope
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from harness.electrics.solver.circuit import Array, Circuit, Consumer, Resistor, VoltSource
from harness.electrics.solver.motor_law import duty_of, load_of, motor_current
from harness.electrics.solver.solution import solve
from harness.electrics.spice import netlist_of

FULL, AT, R, I0 = 50.0, 14.8, 0.0207, 2.1
C = (FULL - I0) / (AT - R * FULL) ** 2
"""50 A at 14.8 V; a winding of 20.7 milliohm, 2.1 A without a load."""


def law(
    volts: float, duty: float, r: float = R, i0: float = I0, c: float = C, s: float = 0.0
) -> float:
    amps, _ = motor_current(*(np.array(v) for v in (volts, duty, r, i0, c, s)))
    return float(amps)


def balanced(volts: float, duty: float, r: float = R, i0: float = I0, c: float = C) -> float:
    """Motor current by halving: the winding's drop and the motor's own volts make up U."""
    across = duty * volts

    def over(own: float) -> float:
        return own + r * (i0 + c * own**2) - across

    own = brentq(over, 0.0, across, xtol=1e-15, rtol=1e-15)
    return i0 + c * float(own) ** 2


@pytest.mark.parametrize("volts", [8.0, 12.3, 14.8, 16.8, 25.2])
@pytest.mark.parametrize("duty", [0.15, 0.35, 0.55, 0.8, 1.0])
def test_against_an_independent_solve_of_the_equations(volts: float, duty: float) -> None:
    assert law(volts, duty) == pytest.approx(duty * balanced(volts, duty), rel=1e-12)


def test_the_stated_point_lies_on_it() -> None:
    assert load_of(FULL, AT, R, I0) == pytest.approx(C, rel=1e-15)
    assert law(AT, 1.0) == pytest.approx(FULL, rel=1e-13)
    assert law(AT, 1.0, s=0.04) == pytest.approx(FULL, rel=1e-13)  # at full duty nothing chops


def test_without_losses_half_duty_is_an_eighth_and_volts_count_squared() -> None:
    """Pack current goes with d^3 V^2: computed in the published facts of first-order drives."""
    free = {"r": 1e-12, "i0": 0.0, "c": FULL / AT**2}
    assert law(AT, 0.5, **free) == pytest.approx(FULL / 8, rel=1e-9)
    assert law(AT / 2, 1.0, **free) == pytest.approx(FULL / 4, rel=1e-9)
    assert law(1.1 * AT, 0.7, **free) == pytest.approx(FULL * 0.343 * 1.21, rel=1e-9)


@pytest.mark.parametrize("duty", [0.35, 0.45, 0.55])
def test_losses_lift_the_cube(duty: float) -> None:
    """An ideal controller with a usual motor draws 1.2 to 1.5 times the cube there (memory)."""
    r, i0 = 0.11 * AT / FULL, 0.05 * FULL
    share = law(AT, duty, r=r, i0=i0, c=load_of(FULL, AT, r, i0)) / FULL
    assert 1.2 <= round(share / duty**3, 1) <= 1.5  # as it is stated: to one place


def test_switching_costs_a_share_of_volts_times_motor_current() -> None:
    """10 V at duty 0.5, 4 %: 0.04 (1 - 0.5) times 10 V times the motor current is lost."""
    motor = balanced(10.0, 0.5)
    assert law(10.0, 0.5, s=0.04) * 10 - 5.0 * motor == pytest.approx(0.02 * 10 * motor, rel=1e-9)


def test_before_it_turns_the_winding_alone_draws() -> None:
    """At 10 mV 20.7 milliohm draw 0.483 A, by Ohm's law; at R I0 all that it takes to turn."""
    assert law(0.01, 1.0) == pytest.approx(0.01 / 0.0207, rel=1e-12)
    assert law(R * I0, 1.0) == pytest.approx(I0, rel=1e-12)
    assert law(-5.0, 1.0) == law(0.0, 1.0) == law(14.8, 0.0) == 0.0


def test_nothing_cancels_where_the_winding_is_next_to_nothing() -> None:
    """R c U of 1e-14: the textbook's root -b + sqrt(b^2 + 4ac) has no digit left there."""
    assert law(10.0, 1.0, r=1e-14, i0=0.0, c=0.1) == pytest.approx(10.0, rel=1e-12)


@given(
    st.floats(0.0, 60.0), st.floats(0.0, 20.0), st.floats(0.0, 1.0), st.floats(1e-3, 1.0),
    st.floats(0.0, 5.0), st.floats(1e-4, 5.0), st.floats(0.0, 0.1),
)  # fmt: skip
def test_more_volts_never_draw_less(
    volts: float, more: float, duty: float, r: float, i0: float, c: float, s: float
) -> None:
    low, high = law(volts, duty, r, i0, c, s), law(volts + more, duty, r, i0, c, s)
    assert 0 <= low <= high * (1 + 1e-12)


def test_its_slope() -> None:
    volts = np.array([0.02, 0.3, 1.5, 7.0, 14.0, 30.0])

    def amps(at: Array) -> Array:
        n = np.ones_like(at)
        return motor_current(at, 0.6 * n, R * n, I0 * n, C * n, 0.04 * n)[0]

    n = np.ones_like(volts)
    found = motor_current(volts, 0.6 * n, R * n, I0 * n, C * n, 0.04 * n)[1]
    assert found == pytest.approx(slope(amps, volts), rel=1e-6)


@given(st.floats(0.02, 1.0))
def test_the_duty_of_a_current_is_the_one_that_draws_it(duty: float) -> None:
    amps = law(15.0, duty, s=0.04)
    assert duty_of(amps, 15.0, R, I0, C, 0.04) == pytest.approx(duty, rel=1e-9)
    assert duty_of(1e9, 15.0, R, I0, C, 0.04) == 1.0


def pack_and_motor(duty: float) -> Circuit:
    """A pack of 16.4 V behind 22 milliohm, 3 milliohm of wire, the motor."""
    circuit = Circuit(1, [Resistor("+", "esc", 0.003)], [VoltSource("-", "+", 16.4, 0.022)])
    circuit.consumers.append(Consumer("esc", "-", duty=duty, winding=R, no_load=I0, load=C,
                                      switching=0.04))  # fmt: skip
    return circuit


@pytest.mark.parametrize("duty", [0.2, 0.5, 0.75, 1.0])
def test_behind_a_sagging_pack(duty: float) -> None:
    """The volts at which pack and motor agree, by halving."""

    def apart(volts: float) -> float:
        return (16.4 - volts) / 0.025 - (duty + 0.04 * (1 - duty)) * balanced(volts, duty)

    volts = float(brentq(apart, 8.0, 16.4, xtol=1e-14))
    found = solve(pack_and_motor(duty))
    assert not found.trouble
    assert found.between("esc", "-")[0] == pytest.approx(volts, rel=1e-9)


IMPLICIT = """pack, wires, and a motor as the textbook has it: the simulator finds its speed
Vpack p 0 16.4
Rpack p esc 0.025
Bchop u 0 V = {duty} * V(esc)
Rwind u own {r}
Bmech own 0 I = {i0} + {c} * V(own) * V(own)
Bpack esc 0 I = {share} * (V(u) - V(own)) / {r}
.nodeset V(esc)=15 V(own)=10
.options reltol=1e-9 abstol=1e-12 vntol=1e-12 gmin=1e-15 itl1=1000
.op
.end
"""


@pytest.mark.parametrize("duty", [0.4, 0.7, 1.0])
def test_ngspice_solves_the_same_law(duty: float) -> None:
    """Twice: by our netlist, and by winding and own volts, where the simulator finds the root."""
    ours = float(solve(pack_and_motor(duty)).between("esc", "-")[0])
    stated = ngspice.run(netlist_of(pack_and_motor(duty)))
    assert stated["v(esc)"] == pytest.approx(ours, rel=1e-6)
    share = duty + 0.04 * (1 - duty)
    theirs = ngspice.run(IMPLICIT.format(duty=duty, r=R, i0=I0, c=C, share=share))
    assert theirs["v(esc)"] == pytest.approx(ours, rel=1e-6)


def test_fed_backwards_is_no_answer() -> None:
    circuit = pack_and_motor(1.0)
    circuit.sources[0] = VoltSource("+", "-", 16.4, 0.022)
    assert "fed the wrong way round" in solve(circuit).trouble[0].why


def test_the_batch_is_each_draw_alone() -> None:
    duties = np.linspace(0.0, 1.0, 9)
    circuit = pack_and_motor(1.0)
    circuit.draws = len(duties)
    circuit.consumers[0] = Consumer("esc", "-", duty=duties, winding=R, no_load=I0, load=C,
                                    switching=0.04)  # fmt: skip
    together = solve(circuit).between("esc", "-")
    alone = [float(solve(pack_and_motor(float(d))).between("esc", "-")[0]) for d in duties]
    assert together == pytest.approx(alone, rel=1e-12)
    assert math.isclose(alone[0], 16.4, rel_tol=1e-9)
