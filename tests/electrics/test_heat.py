"""How warm a wire gets: against published points, and solved independently by scipy.

`heating.by_scipy` works the same balance with the air of a handbook's table. Limits written down
before comparing: 1.5 K for the table's few points, 7 % in amperes for the charts, whose
insulation is thinner than a hobby wire's and whose strands resist more.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from electrics.heating import ALPHA, RHO20, by_scipy
from support import plan_of

from harness.base.units import parse_wire
from harness.catalogue import load
from harness.electrics.heat import Cord, conductor_temperature, convection, given_off, lasting_amps
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.rows import LoadRow, rows_of
from harness.wiring.build import build


@pytest.mark.parametrize("air", [0.0, 20.0, 40.0])
@pytest.mark.parametrize(
    ("gauge", "amps"),
    [(28, 1.25), (26, 3.5), (22, 8), (20, 14), (16, 35), (12, 60), (10, 52), (10, 90), (8, 120)],
)
def test_as_scipy_finds_it(gauge: int, amps: float, air: float) -> None:
    area = parse_wire(f"{gauge} AWG").area_mm2
    outer = load().number("wires", f"{gauge} AWG", "outer")
    found = float(conductor_temperature(amps, Cord(area, outer), air))
    expected = by_scipy(amps, area, outer, air)
    assert found == pytest.approx(expected, abs=1.5)
    if expected < air + 30:
        assert found == pytest.approx(expected, abs=0.3)


def test_a_steam_pipe_of_a_textbook() -> None:
    """Incropera and DeWitt, example 9.4 (memory): pipe of 0.1 m at 165 degC in a room of 23 degC.

    Churchill and Chu: 7.29 W/(m2 K), 325 W/m; emissivity 0.85: 441 W/m; 766 W/m together.
    """
    hot = np.array([165.0])
    assert convection(100, hot, 23)[0] == pytest.approx(7.29, rel=0.01)
    assert given_off(Cord(1, 100, emissivity=0.85), hot, 23)[0] == pytest.approx(766, rel=0.01)


@pytest.mark.parametrize("air", [20.0, 50.0])
def test_the_faa_size_14_carries_47_a_at_150_k_in_free_air(air: float) -> None:
    """FAA AC 43.13-1B, example 2 and 3.06 ohm/1000 ft (read); 2.5 mm outside (memory)."""
    area = RHO20 * 1e6 / (3.06 / 304.8)
    assert lasting_amps(Cord(area, 2.5), air, air + 150) == pytest.approx(47, rel=0.07)
    # in a bundle of 8 and at 20,000 ft 47 x 0.91 x 0.6 A warm it as much
    share = 0.91 * 0.6
    warm = conductor_temperature(47 * share, Cord(area, 2.5, share), air)
    assert float(warm) == pytest.approx(float(conductor_temperature(47, Cord(area, 2.5), air)))


@pytest.mark.parametrize(
    ("gauge", "outer", "at_75", "at_90"),
    # NEC table 310.17, one wire in free air of 30 degC, copper; THHN over its nylon in mm (memory).
    # The table rounds to 5 A, and its 14 AWG is rounded up from 28.4 and 32.8
    [(12, 3.3, 35, 40), (10, 4.2, 50, 55), (8, 5.5, 70, 80)],
)
def test_one_building_wire_in_free_air(
    gauge: int, outer: float, at_75: float, at_90: float
) -> None:
    cord = Cord(parse_wire(f"{gauge} AWG").area_mm2, outer)
    assert lasting_amps(cord, 30, 75) == pytest.approx(at_75, rel=0.1)
    assert lasting_amps(cord, 30, 90) == pytest.approx(at_90, rel=0.1)


CORD = Cord(parse_wire("12 AWG").area_mm2, 4.5)


def test_no_current_no_warmth_and_either_way_alike() -> None:
    found = conductor_temperature(np.array([0.0, 50.0, -50.0]), CORD, 20.0)
    assert found[0] == 20.0
    assert found[1] == found[2] > 80


def test_hot_air_makes_a_wire_hotter_and_takes_little_from_its_rise() -> None:
    """Warm copper resists more, warm air radiates more: the rise keeps within a tenth (physics)."""
    rises = [float(conductor_temperature(45, CORD, air)) - air for air in (0.0, 20.0, 40.0, 60.0)]
    assert max(rises) < 1.1 * min(rises)
    warm = [rise + air for rise, air in zip(rises, (0, 20, 40, 60), strict=True)]
    assert warm == sorted(warm)


def test_more_current_is_always_warmer_until_copper_melts() -> None:
    found = conductor_temperature(np.linspace(0, 2000, 4001), CORD, 20.0)
    assert (np.diff(found) >= 0).all()
    assert found[-1] == 1085


@pytest.mark.parametrize("better", [{"outer": 6.0}, {"emissivity": 1.0}, {"conductivity": 0.3}])
def test_what_cools_cools(better: dict[str, float]) -> None:
    once = float(conductor_temperature(60, CORD, 20.0))
    assert float(conductor_temperature(60, replace(CORD, **better), 20.0)) < once - 0.5
    assert float(conductor_temperature(60, replace(CORD, share=0.6), 20.0)) > once + 50


PLAN = """
escs: {e: {supply: p, bec: none, wire: 12 AWG, length: 500 mm, connector: XT90}}
motors: {m: {full-throttle: 60 A, plug: e}}
packs:
  p: {chemistry: lipo, cells: 4, capacity: 5 Ah, rate: 40 C, connector: XT90, wire: 10 AWG,
      length: 100 mm}
"""


def lead(outcome: Outcome, part: str = "e") -> LoadRow:
    return next(r for r in rows_of(outcome) if (r.kind, r.part) == ("lead", part))


def test_the_drop_is_that_of_copper_at_its_own_warmth() -> None:
    """By scipy and Ohm: I^2 r(T) in balance with 20 degC of air, then there and back 2 x 0.5 m."""
    outcome = outcome_of(build(plan_of(PLAN)))
    row, at = lead(outcome), [case.name for case in outcome.cases].index("full-throttle")
    amps, area = abs(float(row.amps[at])), parse_wire("12 AWG").area_mm2
    warm = by_scipy(amps, area, 4.5, 20.0)
    assert warm > 90
    assert row.temperature is not None
    assert float(row.temperature[at]) == pytest.approx(warm, abs=1.5)
    ohms = 17.24138e-3 / area * (1 + ALPHA * (warm - 20))
    assert row.drop is not None
    assert float(row.drop[at]) == pytest.approx(amps * ohms * 2 * 0.5, rel=0.006)
    assert row.loss is not None
    assert float(row.loss[at]) == pytest.approx(amps**2 * ohms * 2 * 0.5, rel=0.006)


def test_what_does_not_last_leaves_copper_as_warm_as_the_air() -> None:
    outcome = outcome_of(build(plan_of(PLAN)))
    row, names = lead(outcome), [case.name for case in outcome.cases]
    low, area = names.index("low-packs"), parse_wire("12 AWG").area_mm2
    assert row.temperature is not None
    assert math.isnan(row.temperature[low])
    ohms = 17.24138e-3 / area * (1 + ALPHA * (outcome.cases[low].temperature - 20))
    assert row.drop is not None
    assert float(row.drop[low]) == pytest.approx(abs(float(row.amps[low])) * ohms, rel=1e-5)


def test_warmth_and_current_agree_to_the_end() -> None:
    """The resistances that a case ends with are those of the currents that it ends with."""
    outcome = outcome_of(build(plan_of(PLAN)))
    net, at = outcome.net, [case.name for case in outcome.cases].index("hot")
    checked = 0
    for number, warmth in net.warmth.items():
        size, amps = net.ohms[number].size, float(outcome.link(number)[at])
        assert size is not None
        outer = {"12 AWG": 4.5, "10 AWG": 5.5}.get(size.text)
        if outer is None or abs(amps) < 1:
            continue
        cord = Cord(size.area_mm2, outer)
        assert warmth[at] == pytest.approx(float(conductor_temperature(amps, cord, 40.0)), abs=2e-3)
        resistor = net.circuit.resistors[net.resistor[number]]
        ohms = net.ohms[number].copper * (1 + ALPHA * (warmth[at] - 20)) + net.ohms[number].fixed
        assert np.asarray(resistor.ohms)[at] == pytest.approx(ohms, rel=1e-12)
        checked += 1
    assert checked == 4


def test_one_case_alone_is_solved_as_in_all_of_them() -> None:
    wiring = build(plan_of(PLAN))
    every = outcome_of(wiring)
    for n, case in enumerate(every.cases):
        one = outcome_of(wiring, [case])
        assert lead(one).amps[0] == pytest.approx(lead(every).amps[n], rel=1e-9, abs=1e-12)
        assert one.volts_in("p", "cells")[0] == pytest.approx(
            every.volts_in("p", "cells")[n], rel=1e-9
        )


def test_a_bundle_warms_and_costs_volts() -> None:
    free, bundled = (
        outcome_of(build(plan_of(PLAN.replace("bec: none", f"bec: none{place}") + more)))
        for place, more in (("", ""), (", place: bay", "places: {bay: {bundle: 8}}\n"))
    )
    at = [case.name for case in free.cases].index("full-throttle")
    warmer, before = lead(bundled), lead(free)
    assert warmer.temperature is not None
    assert before.temperature is not None
    assert warmer.drop is not None
    assert before.drop is not None
    assert warmer.temperature[at] > before.temperature[at] + 50
    assert warmer.drop[at] > 1.1 * before.drop[at]
