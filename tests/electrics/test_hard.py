"""Networks that are hard to solve, or have no solution: an answer by hand, or a named refusal."""

from __future__ import annotations

import numpy as np
import pytest
from electrics.circuits import unbalance

from harness.electrics.solver import newton
from harness.electrics.solver.circuit import (
    Array,
    Circuit,
    Consumer,
    Converter,
    Junction,
    NotSolved,
    Resistor,
    VoltSource,
)
from harness.electrics.solver.matrix import dense
from harness.electrics.solver.newton import DENSE, Solver
from harness.electrics.solver.solution import Solution, solve


def sound(circuit: Circuit) -> Solution:
    found = solve(circuit)
    assert not found.trouble
    assert unbalance(found) < 1
    return found


def bec(plus: str, out: str, volts: float, ohms: float = 0.03, **key: float) -> Converter:
    return Converter(plus, "-", out, "-", volts, ohms, **key)


def test_power_that_no_wire_can_deliver_is_named_and_nothing_else() -> None:
    """Through R at most E^2 / 4R comes through: 12 V, 1 ohm, 36 W; 40 W are asked."""
    circuit = Circuit(1, [Resistor("+", "esc+", 1.0)], [VoltSource("-", "+", 12.0)])
    circuit.consumers = [
        Consumer("+", "-", amps=1.0, name="lamp"),
        Consumer("esc+", "-", watts=40.0, stall=6.0, name="esc"),
    ]
    found = solve(circuit)
    assert list(found.trouble) == [0]
    assert found.trouble[0].element == "esc"
    assert "40 W" in found.trouble[0].why


def test_power_just_within_reach_is_delivered() -> None:
    """35 W of at most 36: v = (12 + sqrt(144 - 140)) / 2 = 7 V."""
    circuit = Circuit(1, [Resistor("+", "esc+", 1.0)], [VoltSource("-", "+", 12.0)])
    circuit.consumers.append(Consumer("esc+", "-", watts=35.0, stall=6.0, name="esc"))
    assert sound(circuit).between("esc+", "-")[0] == pytest.approx(7.0, rel=1e-6)


def test_one_bad_draw_leaves_the_others_alone() -> None:
    import numpy as np

    circuit = Circuit(3, [Resistor("+", "esc+", 1.0)], [VoltSource("-", "+", 12.0)])
    watts = np.array([35.0, 90.0, 20.0])
    circuit.consumers.append(Consumer("esc+", "-", watts=watts, stall=6.0, name="esc"))
    found = solve(circuit)
    assert list(found.trouble) == [1]
    assert found.between("esc+", "-")[[0, 2]] == pytest.approx([7.0, 10.0], rel=1e-6)


def test_a_reversed_pack_drives_current_round() -> None:
    """12 V and 12 V the wrong way round, 20 milliohm in all: 1200 A."""
    packs = [VoltSource("-", "+", 12.0, 0.01), VoltSource("+", "-", 12.0, 0.01)]
    assert sound(Circuit(1, sources=packs)).raw.source[0] == pytest.approx([1200, 1200])


def test_unequal_packs_through_milliohms() -> None:
    """12.6 V and 11.1 V, 1 + 4 + 4 milliohm: 166.67 A."""
    circuit = Circuit(1, [Resistor("a", "b", 1e-3)])
    circuit.sources += [VoltSource("-", "a", 12.6, 4e-3), VoltSource("-", "b", 11.1, 4e-3)]
    found = sound(circuit).raw.source[0]
    assert found == pytest.approx([1.5 / 9e-3, -1.5 / 9e-3], rel=1e-9)


@pytest.mark.parametrize("second", [11.0, 12.0])
def test_bare_sources_shorted_are_refused(second: float) -> None:
    """At 12 V and 12 V too: any current may go round."""
    with pytest.raises(NotSolved, match="joined in a loop"):
        solve(Circuit(1, sources=[VoltSource("-", "+", 12.0), VoltSource("-", "+", second)]))


def test_bare_sources_in_a_ring_of_three_are_refused_and_in_a_row_are_not() -> None:
    row = [VoltSource("a", "b", 4.0), VoltSource("b", "c", 4.0)]
    lamp = Consumer("c", "a", siemens=0.5)
    found = sound(Circuit(1, sources=row, consumers=[lamp]))
    assert found.raw.source[0] == pytest.approx([4.0, 4.0], rel=1e-7)
    with pytest.raises(NotSolved, match="joined in a loop"):
        solve(Circuit(1, sources=[*row, VoltSource("a", "c", 8.0)], consumers=[lamp]))


@pytest.mark.parametrize("most", [DENSE, 0])
def test_one_singular_draw_is_lost_alone(most: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """The matrix of the second draw is emptied, as no leak can mend: the others keep their answer.

    12 V, 6 V and 8 V behind 1 ohm on 2 ohm: 4 A, nothing, 2.667 A.
    """
    monkeypatch.setattr(newton, "DENSE", most)
    emf = np.array([12.0, 6.0, 8.0])
    circuit = Circuit(3, sources=[VoltSource("-", "+", emf, 1.0, name="cells of p")])
    circuit.consumers.append(Consumer("+", "-", siemens=0.5, name="lamp"))
    whole = Solver._linear_solve

    def emptied(self: Solver, values: Array, right: Array) -> Array:
        hit = (right[:, self.nodes :] == 6.0).any(axis=1)
        return whole(self, np.where(hit[:, None], 0.0, values), right)

    monkeypatch.setattr(Solver, "_linear_solve", emptied)
    found = solve(circuit)
    assert list(found.trouble) == [1]
    assert (found.trouble[1].element, found.trouble[1].unknown) == ("lamp", True)
    assert found.raw.source[[0, 2], 0] == pytest.approx([4.0, 8 / 3], rel=1e-7)


def test_a_leak_mends_a_matrix_whose_slopes_cancel() -> None:
    """A node held by nothing gets the leak of 1 nS: 2 nA over it are 2 V; the other draw is 3 V."""
    matrix = np.array([[[0.0]], [[2.0]]])
    assert dense(matrix, np.array([[2e-9], [6.0]]), 1)[:, 0] == pytest.approx([2.0, 3.0])


def test_a_converter_feeds_a_converter() -> None:
    """Linear 8 V to linear 5 V: 1 A comes in at the first; 7.97 V and 4.97 V."""
    circuit = Circuit(1, sources=[VoltSource("-", "+", 12.0)])
    circuit.converters += [bec("+", "8", 8.0), bec("8", "5", 5.0)]
    circuit.consumers.append(Consumer("5", "-", amps=1.0))
    found = sound(circuit)
    assert found.between("8", "-")[0] == pytest.approx(7.97, rel=1e-7)
    assert found.between("5", "-")[0] == pytest.approx(4.97, rel=1e-7)
    assert found.raw.source[0, 0] == pytest.approx(1.0, rel=1e-6)


@pytest.mark.parametrize("load", [0.5, 2.0, 6.0])
def test_parallel_converters_share_by_their_set_points(load: float) -> None:
    """5.05 and 5.00 V behind 30 milliohm each: below 0.05 / 0.03 A the higher gives all.

    Above: I1 = I / 2 + (V1 - V2) / (2 R).
    """
    circuit = Circuit(1, sources=[VoltSource("-", "+", 12.0)])
    circuit.converters += [bec("+", "5", 5.05), bec("+", "5", 5.00)]
    circuit.consumers.append(Consumer("5", "-", amps=load))
    first = load if load < 0.05 / 0.03 else load / 2 + 0.05 / 0.06
    assert sound(circuit).raw.given[0] == pytest.approx([first, load - first], abs=1e-6)


def test_two_supplies_behind_diodes() -> None:
    """Of 6 V and 5 V behind equal diodes only the higher one gives: the other sees -0.3 V or so."""
    circuit = Circuit(1, sources=[VoltSource("-", "+", 12.0)])
    circuit.converters += [bec("+", "a", 6.0), bec("+", "b", 5.0)]
    circuit.diodes += [Junction("a", "5", 1e-9, 0.05), Junction("b", "5", 1e-9, 0.05)]
    circuit.consumers.append(Consumer("5", "-", amps=1.0))
    found = sound(circuit)
    assert found.raw.given[0] == pytest.approx([1.0, 0.0], abs=1e-5)


def test_a_ring_of_wires() -> None:
    """Two ways round, 1 and 3 ohm, to 1 A: 0.75 and 0.25 A; a ring of nothing carries nothing."""
    circuit = Circuit(1, sources=[VoltSource("-", "a", 12.0)])
    circuit.resistors = [Resistor("a", "b", 1), Resistor("a", "c", 1.5), Resistor("c", "b", 1.5)]
    circuit.resistors += [Resistor("b", "r", 1), Resistor("r", "s", 1), Resistor("s", "b", 1)]
    circuit.resistors += [Resistor("x", "y", 1), Resistor("y", "z", 1), Resistor("z", "x", 1)]
    circuit.consumers.append(Consumer("b", "-", amps=1.0))
    found = sound(circuit).resistor[0]
    assert found == pytest.approx([0.75, 0.25, 0.25, *[0] * 6], abs=1e-7)


def test_an_isolated_regulator_carries_no_current_between_its_sides() -> None:
    circuit = Circuit(1, sources=[VoltSource("-", "+", 12.0)])
    circuit.converters.append(Converter("+", "-", "o+", "o-", 5.0, 0.05, efficiency=0.8))
    circuit.consumers.append(Consumer("o+", "o-", amps=2.0))
    found = sound(circuit)
    assert found.between("o+", "o-")[0] == pytest.approx(4.9, rel=1e-7)
    assert found.raw.source[0, 0] == pytest.approx(4.9 * 2 / (0.8 * 12), rel=1e-6)


def test_a_network_without_a_source_is_dead() -> None:
    circuit = Circuit(2, [Resistor("a", "b", 1.0)], consumers=[Consumer("a", "c", 1.0, 0.1, 9.0)])
    circuit.diodes.append(Junction("c", "b", 1e-9, 0.05))
    found = solve(circuit)
    assert found.resistor == pytest.approx(0)
    assert found.between("a", "c") == pytest.approx(0)


def test_an_empty_network_is_solved() -> None:
    assert not solve(Circuit(2)).trouble


def test_zero_volts_is_the_low_end_of_the_first_source() -> None:
    circuit = Circuit(1, [Resistor("a", "b", 1.0), Resistor("b", "-", 1.0)])
    circuit.sources.append(VoltSource("-", "a", 12.0))
    found = sound(circuit)
    assert [float(found.volts(n)[0]) for n in ("-", "b", "a")] == pytest.approx([0, 6, 12])


def test_a_consumer_fed_the_wrong_way_round_is_told_so() -> None:
    # red on black; 12 V through 1 mohm stay 12 V to three digits
    circuit = Circuit(1, [Resistor("+", "esc-", 1e-3)], [VoltSource("-", "+", 12.0)])
    circuit.consumers.append(Consumer("-", "esc-", watts=100.0, stall=6.0, name="esc"))
    assert "the wrong way round, -12 V" in solve(circuit).trouble[0].why
