"""Equalising packs against two capacitors joined through a resistor.

A pack whose volts at rest rise in a straight line with its charge is a capacitor of
C = 3600 * Ah / (volts full - volts empty) farad. Two of them through R (OpenStax, University
Physics 2, 10.5): i = (dV / R) exp(-t / RC), C = Ca Cb / (Ca + Cb); charge is conserved; and the
heat is C dV^2 / 2 whatever R is (8.3 there).
"""

from __future__ import annotations

import numpy as np
import pytest
from support import plan_of

from harness.electrics.cases import cases_of
from harness.electrics.equalise import Equalising, conductances, equalise
from harness.electrics.packs import joined_groups
from harness.parts.pack import Pack
from harness.wiring.build import build

LINE = ", ".join(f"ocv-{n}: {3 + n / 100:.1f} V" for n in range(0, 101, 10))
"""3.0 V empty, 4.0 V full, straight between: 1 V over the whole charge."""
PLAN = """
classes:
  packs:
    line: {{nominal: 3.5 V, full: 4.0 V, empty: 3.0 V, label-trust: 60 %, {line}}}
packs:
  a: {{chemistry: line, cells: {cells}, capacity: {a} Ah, rate: 20 C,
      cell-resistance: {ohms} mohm, {ka}}}
  b: {{like: a, capacity: {b} Ah, {kb}}}
power-leads: {{j: {{kind: parallel, supply: [a, b], wire: 10 AWG, length: 100 mm}}}}
"""


def group(a: float = 2, b: float = 2, ohms: float = 1000, cells: int = 4, ka: str = "volts: 15.6 V",
          kb: str = "volts: 15.2 V") -> Equalising:  # fmt: skip
    text = PLAN.format(line=LINE, a=a, b=b, ohms=ohms, cells=cells, ka=ka, kb=kb)
    [found] = equalise(build(plan_of(text)))
    return found


def farad(amp_hours: float, cells: int = 4) -> float:
    return 3600 * amp_hours / (1.0 * cells)


@pytest.mark.parametrize(("a", "b"), [(2, 2), (2, 0.5), (5, 1)])
def test_the_decay_is_that_of_two_capacitors(a: float, b: float) -> None:
    found = group(a, b)
    series = farad(a) * farad(b) / (farad(a) + farad(b))
    # 2 packs x 4 cells x 1 ohm; the leads are 15 mohm of that by their gauge, and left out by hand
    first = 0.4 / 8.0
    assert found.start[0].amps == pytest.approx(first, rel=3e-3)
    assert found.start[0].amps < first
    assert found.start[1].amps == pytest.approx(-found.start[0].amps, rel=1e-9)
    tau = 0.4 / found.start[0].amps * series
    expected = found.start[0].amps * np.exp(-found.times / tau)
    assert found.amps["a"] == pytest.approx(expected, rel=1e-4, abs=1e-6)
    calm = 0.1 * min(a, b)  # 0.1 C of the smaller pack
    settled = max(0.0, tau * np.log(found.start[0].amps / calm))
    assert found.settled == pytest.approx(settled, rel=1e-5, abs=1e-9)
    assert found.ended == "balanced"


@pytest.mark.parametrize("ohms", [1000, 100])
@pytest.mark.parametrize(("a", "b"), [(2, 2), (2, 0.5)])
def test_charge_is_conserved_and_half_c_v_squared_is_lost(a: float, b: float, ohms: float) -> None:
    found = group(a, b, ohms)
    total = a * found.charge["a"] + b * found.charge["b"]
    assert total == pytest.approx(a * 0.9 + b * 0.8, abs=1e-8)  # 15.6 and 15.2 V: 3.9 and 3.8 V
    series = farad(a) * farad(b) / (farad(a) + farad(b))
    left = found.rest["a"][-1] - found.rest["b"][-1]
    assert found.joules == pytest.approx(series * (0.4**2 - left**2) / 2, rel=1e-5)
    assert found.moved * 3600 == pytest.approx(series * (0.4 - left), rel=1e-5)
    common = (farad(a) * 15.6 + farad(b) * 15.2) / (farad(a) + farad(b))
    above = left * series / farad(a)  # what is left divides as the inverse of the capacities
    assert found.rest["a"][-1] == pytest.approx(common + above, rel=1e-8)
    assert left < 0.05 * 0.4


def test_volts_at_the_poles_are_those_at_rest_less_the_drop_inside() -> None:
    found = group()
    drop = found.rest["a"] - found.volts["a"]
    assert drop == pytest.approx(found.amps["a"] * 4 * 1.0, rel=1e-9)
    assert found.volts["a"][-1] == pytest.approx(found.volts["b"][-1], abs=1e-3)


@pytest.mark.parametrize(("milliohm", "trade"), [(5.0, 5.0), (2.5, 10.0)])
def test_the_trade_says_5_to_10_amperes(milliohm: float, trade: float) -> None:
    """0.05 V a cell over twice the ohms of a cell, leads left out (common practice, no source)."""
    text = """
packs:
  a: {chemistry: lipo, cells: 6, capacity: 5 Ah, rate: 30 C, cell-resistance: OHMS,
      connector: XT90, wire: 10 AWG, length: 50 mm}
  b: {like: a}
power-leads: {j: {kind: parallel, supply: [a, b], connector: XT90, wire: 10 AWG, length: 50 mm}}
"""
    [found] = equalise(build(plan_of(text.replace("OHMS", f"{milliohm} mohm"))))
    amps = found.start[0].amps
    # 4 x 50 mm each way of 10 AWG (3.28 mohm/m, ASTM B258) is 0.7 mohm; four contacts at most 8
    loop = 0.3 / amps - 2 * 6 * milliohm / 1000
    assert 0.0005 < loop < 0.009
    assert amps < trade
    assert len(found.assumed) == 2
    assert "0.05 V a cell" in found.assumed[1]
    assert found.start[0].limit is not None
    assert found.start[0].limit.number == pytest.approx(30 * 5 * 0.6)  # 60 % of the label
    assert not found.start[0].over_limit


def test_what_is_stated_is_taken() -> None:
    found = group(ka="charge: 90 %", kb="volts: 15.2 V")
    assert [joined.volts for joined in found.start] == pytest.approx([15.6, 15.2])
    assert not found.assumed


def test_charging_above_1_c_is_told_of_the_pack_that_is_charged() -> None:
    found = group(a=2, b=2, ohms=5, kb="volts: 15.4 V")  # at most 0.2 V / 40 mohm = 5 A = 2.5 C
    assert [joined.charged_fast for joined in found.start] == [False, True]
    assert 1.5 < (found.start[1].rate or 0) < 2.5
    slow = group(a=2, b=2, ohms=50, kb="volts: 15.4 V")  # 0.5 A
    assert not slow.start[1].charged_fast
    fierce = group(a=0.1, b=0.1, ohms=5, kb="volts: 15.2 V")  # 0.1 Ah x 20 C x 60 % = 1.2 A
    assert all(joined.over_limit for joined in fierce.start)


def test_a_missing_capacity_leaves_the_first_moment() -> None:
    text = PLAN.format(
        line=LINE, a=2, b=2, ohms=1000, cells=4, ka="volts: 15.6 V", kb="volts: 15.2 V"
    ).replace("capacity: 2 Ah, ", "")
    [found] = equalise(build(plan_of(text)))
    assert found.times.tolist() == [0.0]
    assert found.settled is None
    assert "a: its capacity (capacity)" in found.unknown
    assert found.start[0].amps == pytest.approx(0.05, rel=3e-3)
    assert found.start[0].rate is None


STACKS = """
packs:
  a1: {chemistry: lipo, cells: 3, capacity: 2 Ah}
  a2: {like: a1}
  b1: {like: a1}
  b2: {like: a1}
  alone: {like: a1}
power-leads:
  sa: {kind: series, supply: [a1, a2]}
  sb: {kind: series, supply: [b1, b2]}
"""


def test_only_packs_in_a_ring_are_a_group() -> None:
    assert joined_groups(build(plan_of(STACKS))) == ()
    side_by_side = STACKS + "  j: {kind: parallel, supply: [sa.1, sb.1]}\n"
    [found] = joined_groups(build(plan_of(side_by_side)))
    assert [pack.id for pack in found] == ["a1", "a2", "b1", "b2"]


def test_diodes_keep_packs_apart() -> None:
    text = """
receivers: {rx: {sockets: 4, supply-sockets: 2}}
packs:
  a: {chemistry: life, cells: 2, capacity: 2 Ah, plug: d1.1}
  b: {chemistry: life, cells: 2, capacity: 2 Ah, plug: d2.1}
diodes: {d1: {kind: ideal, plug: rx.batt-1}, d2: {kind: ideal, plug: rx.batt-2}}
"""
    assert equalise(build(plan_of(text))) == ()
    bare = text.replace("plug: d1.1", "plug: rx.batt-1").replace("plug: d2.1", "plug: rx.batt-2")
    bare = bare[: bare.index("diodes")]
    assert [found.packs for found in equalise(build(plan_of(bare)))] == [("a", "b")]


def test_stacks_side_by_side_carry_one_current_each() -> None:
    text = STACKS.replace("b1: {like: a1}", "b1: {like: a1, charge: 70 %}")
    for name in ("a2", "b2"):
        text = text.replace(f"{name}: {{like: a1", f"{name}: {{like: a1, charge: 80 %")
    text = text.replace("a1: {chem", "a1: {charge: 80 %, chem")
    [found] = equalise(build(plan_of(text + "  j: {kind: parallel, supply: [sa.1, sb.1]}\n")))
    amps = [joined.amps for joined in found.start]
    assert amps == pytest.approx([amps[0], amps[0], -amps[0], -amps[0]], rel=1e-9)
    assert amps[0] > 0
    assert found.charge["b1"][-1] > 0.7


def test_equal_volts_drive_nothing_and_the_matrix_is_that_of_a_passive_net() -> None:
    """Reciprocity makes it symmetrical; equal volts in every pack drive no current."""
    text = PLAN.format(line=LINE, a=2, b=3, ohms=10, cells=4, ka="charge: 90 %", kb="charge: 90 %")
    text = text.replace("  b:", "  c: {like: a, length: 400 mm}\n  b:").replace(
        "[a, b]", "[a, b, c]"
    )
    wiring = build(plan_of(text))
    packs = sorted(wiring.plan.of(Pack), key=lambda pack: pack.id)
    case = next(c for c in cases_of(wiring.plan) if c.name == "joined")
    matrix = conductances(wiring, packs, case)
    assert matrix == pytest.approx(matrix.T, rel=1e-9)
    assert matrix @ np.ones(3) == pytest.approx(np.zeros(3), abs=1e-9 * matrix.max())
    [found] = equalise(wiring)
    assert (found.settled, found.joules, found.ended) == (0.0, 0.0, "balanced")


def test_unlike_packs_run_into_a_limit_and_say_so() -> None:
    """A full 4-cell pack onto a full 3-cell one: there is no balance below overcharging."""
    text = """
packs:
  a: {chemistry: lipo, cells: 4, capacity: 5 Ah, charge: 100 %}
  b: {chemistry: lipo, cells: 3, capacity: 5 Ah, charge: 95 %}
power-leads: {j: {kind: parallel, supply: [a, b]}}
"""
    [found] = equalise(build(plan_of(text)))
    assert (found.ended, found.settled) == ("a pack is overcharged", None)
    assert found.charge["b"][-1] == pytest.approx(1.02, abs=1e-6)


def test_a_pack_without_capacity_is_shown_at_the_first_moment_alone() -> None:
    found = group(b=0)
    assert found.times.tolist() == [0.0]
    assert found.unknown == ("b: its capacity (capacity)",)
    # (15.6 - 15.2) V over 2 x 4 cells of 1 ohm, the copper aside
    assert found.amps["a"][0] == pytest.approx(0.4 / 8, rel=1e-2)
