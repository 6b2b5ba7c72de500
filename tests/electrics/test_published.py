"""Networks with published answers, and the cases of the trade, worked by hand beside the check."""

from __future__ import annotations

import math

import pytest
from support import plan_of

from harness.base.units import WireSize, parse_wire
from harness.base.wire import resistance
from harness.electrics.cases import cases_of
from harness.electrics.network import Network, network_of
from harness.electrics.solver.circuit import Circuit, Consumer, Converter, Resistor, VoltSource
from harness.electrics.solver.solution import Solution, solve
from harness.wiring.build import build

Ohms = list[tuple[int, int, float]]


def solved(volts: list[tuple[int, float]], ohms: Ohms) -> Solution:
    """Batteries from node 0 to a node, and resistors."""
    circuit = Circuit(1, [Resistor(*row) for row in ohms])
    circuit.sources += [VoltSource(0, node, value) for node, value in volts]
    return solve(circuit)


def amps(solution: Solution) -> list[float]:
    return [float(a) for a in solution.resistor[0]]


def digits(value: float, shown: str) -> bool:
    """Whether a value rounds to what is printed."""
    places = len(shown.partition(".")[2])
    return abs(value - float(shown)) <= 0.5 * 10**-places * (1 + 1e-9)


def all_digits(values: list[float], shown: str) -> bool:
    return all(digits(v, s) for v, s in zip(values, shown.split(), strict=True))


def test_unequal_batteries() -> None:
    """Kuphaldt, Lessons in Electric Circuits I (DC), network analysis."""
    found = solved([(1, 28), (3, 7)], [(1, 2, 4), (2, 0, 2), (2, 3, 1)])
    assert digits(found.volts(2)[0], "8")
    assert all_digits(amps(found), "5 4 1")
    assert digits(found.raw.source[0, 1], "-1")  # the 7 V battery is charged


def test_bridge() -> None:
    """Kuphaldt, DC: a bridge that no series and parallel rule solves."""
    found = solved([(1, 10)], [(1, 2, 12), (1, 3, 18), (2, 3, 6), (2, 0, 18), (3, 0, 12)])
    drops = [a * r.ohms for a, r in zip(amps(found), found.circuit.resistors, strict=True)]
    assert all_digits([float(abs(d)) for d in drops], "4.706 5.294 0.5882 5.294 4.706")


def test_series_parallel() -> None:
    """Kuphaldt, DC: series-parallel combination."""
    found = solved([(1, 24)], [(1, 2, 100), (1, 2, 250), (2, 0, 350), (2, 0, 200)])
    assert all_digits([24 - found.volts(2)[0], found.volts(2)[0]], "8.627 15.373")
    assert all_digits([1000 * a for a in amps(found)], "86.27 34.51 43.92 76.86")


def test_battery_resistance() -> None:
    """Kuphaldt, DC: 10 V behind 0.2 ohm; 50 A when shorted."""
    assert digits(solved([(1, 10)], [(1, 2, 0.2), (2, 0, 1)]).raw.source[0, 0], "8.333")
    shorted = Circuit(1, [Resistor(1, 0, 1e-9)], [VoltSource(0, 1, 10, 0.2)])
    assert digits(solve(shorted).raw.source[0, 0], "50")


def test_two_packs_on_one_load() -> None:
    """OpenStax University Physics 2, 10.3."""
    found = solved([(1, 24), (3, 29)], [(1, 2, 3), (2, 0, 3), (2, 3, 7)])
    assert digits(found.volts(2)[0], "15")
    assert all_digits([abs(a) for a in (amps(found)[0], amps(found)[2], amps(found)[1])],
                      "3.00 2.00 5.00")  # fmt: skip
    assert digits(24 * found.raw.source[0, 0] + 29 * found.raw.source[0, 1], "130")


def test_cross_charging_packs() -> None:
    """OpenStax College Physics, 21.3: the weaker source is charged."""
    circuit = Circuit(1, [Resistor(1, 0, 6)], [VoltSource(0, 1, 18, 3), VoltSource(0, 1, 45, 2)])
    found = solve(circuit)
    assert all_digits([amps(found)[0], found.volts(1)[0]], "4.75 28.5")
    assert all_digits(list(found.raw.source[0]), "-3.50 8.25")


@pytest.mark.parametrize(
    ("ohms", "current", "volts"), [(0.0, "200", "10.0"), (0.09, "80.0", "4.0")]
)
def test_corroded_connector(ohms: float, current: str, volts: str) -> None:
    """OpenStax College Physics, 21.2: a starter motor, then with a bad contact in its way."""
    circuit = Circuit(1, [Resistor(2, 0, 0.05)], [VoltSource(0, 1, 12, 0.01)])
    circuit.resistors.append(Resistor(1, 2, ohms or 1e-9))
    found = solve(circuit)
    assert all_digits([amps(found)[0], found.volts(2)[0]], f"{current} {volts}")


@pytest.mark.parametrize(("inside", "answers"), [(0.1, "20.00 10.00 200"), (0.5, "12.00 6.00 72")])
def test_terminal_voltage(inside: float, answers: str) -> None:
    """OpenStax University Physics 2, 10.1: a battery fresh and worn, 0.5 ohm on it."""
    found = solve(Circuit(1, [Resistor(1, 0, 0.5)], [VoltSource(0, 1, 12, inside)]))
    current, volts = amps(found)[0], float(found.volts(1)[0])
    assert all_digits([current, volts, current * volts], answers)


def test_series_cells() -> None:
    """OpenStax University Physics 2, 10.2: three cells and a weaker one in a row."""
    cells = [VoltSource(n, n + 1, 1.58, 0.02) for n in range(3)] + [VoltSource(3, 4, 1.53, 0.1)]
    found = solve(Circuit(1, [Resistor(4, 0, 10.0)], cells))
    assert all_digits([amps(found)[0], amps(found)[0] * found.volts(4)[0]], "0.617 3.81")


@pytest.mark.parametrize("n", [2, 3, 7])
def test_identical_cells_in_parallel(n: int) -> None:
    """Kuphaldt; OpenStax: n equal sources behind r are one behind r/n, each carries 1/n."""
    found = solve(Circuit(1, [Resistor(1, 0, 1.0)], [VoltSource(0, 1, 12, 0.06)] * n))
    assert found.volts(1)[0] == pytest.approx(12 / (1 + 0.06 / n), rel=1e-12)
    assert found.raw.source[0] == pytest.approx([amps(found)[0] / n] * n, rel=1e-12)


@pytest.mark.parametrize(
    ("per_foot", "feet", "shown"),
    [(0.00044, 107, "0.942"), (0.00028, 90, "0.504"), (0.00306, 100, "6.12"),
     (0.00126, 39, "0.98"), (0.00126, 156, "3.93"), (0.00126, 273, "6.88")],
)  # fmt: skip
def test_drops_of_the_advisory_circular(per_foot: float, feet: float, shown: str) -> None:
    """FAA AC 43.13-1B, tables 11-7 and 11-8: the drop at 20 A."""
    circuit = Circuit(
        1, [Resistor("bus", "lamp", per_foot * feet)], [VoltSource("earth", "bus", 28)]
    )
    circuit.consumers.append(Consumer("lamp", "earth", amps=20))
    assert digits(28 - solve(circuit).between("lamp", "earth")[0], shown)


@pytest.mark.parametrize(("cells", "heat"), [(2, "3.4"), (3, "7.6"), (4, "11.8"), (6, "20.2")])
def test_heat_of_a_linear_bec(cells: int, heat: str) -> None:
    """W per ampere at 4.2 V a cell and 5 V (common practice, no source)."""
    circuit = Circuit(1, sources=[VoltSource("-", "+", 4.2 * cells)])
    circuit.converters.append(Converter("+", "-", "5", "-", 5.0, 1e-6, drop_out=1.2))
    circuit.consumers.append(Consumer("5", "-", amps=1.0))
    found = solve(circuit)
    fed = found.between("+", "-")[0] * found.raw.taken[0, 0]
    assert digits(fed - found.between("5", "-")[0] * found.raw.given[0, 0], heat)


def awg(gauge: int) -> WireSize:
    return parse_wire(f"{gauge} AWG")


def test_ground_loop_of_the_autopilots() -> None:
    """ArduPilot, ESC grounding page: of each 7 A, 6 A return by 14 AWG, 1 A by 22 AWG."""
    ways = [Resistor("esc", "pack", resistance(awg(g), 300)) for g in (14, 22)]
    circuit = Circuit(1, ways, [VoltSource("pack", "+", 12)])
    circuit.consumers.append(Consumer("+", "esc", amps=7))
    assert all_digits(amps(solve(circuit)), "6 1")


@pytest.mark.parametrize("ohms", [5e-3, 2.5e-3])
def test_equalising_current(ohms: float) -> None:
    """0.05 V a cell gives 5 to 10 A at 5 and 2.5 milliohm (common practice, no source)."""
    packs = [VoltSource("-", "+", 3 * volts, 3 * ohms) for volts in (4.20, 4.15)]
    found = solve(Circuit(1, sources=packs)).raw.source[0]
    assert found == pytest.approx([0.05 / (2 * ohms), -0.05 / (2 * ohms)], rel=1e-9)
    assert digits(found[0], "5" if ohms == 5e-3 else "10")


JOINED = """
packs:
  high: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60, wire: 12 AWG,
         length: 100 mm, volts: 12.60 V, cell-resistance: 5 mohm}
  low: {like: high, volts: 12.45 V}
power-leads:
  join: {kind: parallel, ways: 1, supply: [high, low], connector: XT60, wire: 12 AWG, length: 80 mm}
"""
LOOP = """
receivers: {rx: {sockets: 4}}
packs:
  main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60, wire: 12 AWG,
         length: 100 mm}
  radio: {chemistry: nimh, cells: 5, capacity: 2 Ah, plug: rx.batt}
power-leads:
  split: {kind: parallel, ways: 2, supply: main, connector: XT60, wire: 12 AWG, length: 100 mm}
escs:
  one: {rated: 40 A, bec: none, plug: rx.1, supply: split.1, connector: XT60, wire: 12 AWG,
        length: 150 mm, lead-wire: 22 AWG, lead-length: 300 mm}
  two: {like: one, plug: rx.2, supply: split.2}
motors:
  m1: {full-throttle: 30 A, plug: one}
  m2: {full-throttle: 30 A, plug: two}
"""


def of_plan(text: str, case: str) -> tuple[Network, Solution, int]:
    plan = plan_of(text)
    net = network_of(build(plan), cases_of(plan))
    found = solve(net.circuit)
    number = [c.name for c in net.cases].index(case)
    assert number not in found.trouble
    return net, found, number


def copper(gauge: int, metres: float) -> float:
    """ASTM B258 and IEC 60028: 1/58 ohm mm2/m."""
    diameter = 0.127 * 92 ** ((36 - gauge) / 39)
    return metres / 58 / (math.pi / 4 * diameter**2)


XT60, SERVO_PLUG = 0.5e-3, 15e-3
"""A pin of each plug in ohm, as the catalogue has it (our own assumption; common practice)."""


def test_equalising_current_of_a_plan() -> None:
    """0.15 V over six cells of 5 milliohm, four pins, and two wires each of two leads a side."""
    net, found, case = of_plan(JOINED, "joined")
    loop = 6 * 5e-3 + 4 * XT60 + 4 * copper(12, 0.100) + 4 * copper(12, 0.080)
    given = [found.raw.source[case, net.sources[pack]] for pack in ("high", "low")]
    assert given == pytest.approx([0.15 / loop, -0.15 / loop], rel=1e-9)


def test_ground_loop_of_a_plan() -> None:
    """One of two ESCs runs; its signal ground and the other's carry a share of its current.

    Common practice, no source: I = (R1 I1 - R2 I2) / (R1 + R2 + leads + contacts), where what
    leaves by the lead does not pass R1 any more.
    """
    net, found, case = of_plan(LOOP, "only-one")
    main = copper(12, 0.150) + XT60 + copper(12, 0.100)
    leads = 2 * (copper(22, 0.300) + SERVO_PLUG)
    drawn = found.raw.consumer[case, net.consumers["one"]]
    assert found.raw.consumer[case, net.consumers["two"]] == pytest.approx(0, abs=1e-6)
    expected = main * drawn / (2 * main + leads)
    for esc in ("one", "two"):
        at = next(n for n, link in enumerate(net.wiring.links)
                  if link.a == (esc, "plug", "negative") and link.kind.name == "MATE")  # fmt: skip
        carried = float(found.resistor[case, net.resistor[at]])
        assert abs(carried) == pytest.approx(expected, rel=1e-6)


def test_copper_warms_with_the_air() -> None:
    """0.00393 /K at 20 degC (FAA AC 43.13-1B ch. 11): pack wire of 12 AWG, 100 mm, each case."""
    net, found, hot = of_plan(LOOP, "hot")
    at = next(n for n, link in enumerate(net.wiring.links)
              if link.owner == "main" and link.a == ("main", "main", "negative"))  # fmt: skip
    resistor = net.resistor[at]
    ends = found.circuit.resistors[resistor]
    warm = copper(12, 0.100) * (1 + 0.00393 * (net.cases[hot].temperature - 20))
    assert net.cases[hot].temperature > 30
    drop = found.between(ends.a, ends.b)[hot]
    assert drop == pytest.approx(found.resistor[hot, resistor] * warm, rel=1e-6)
