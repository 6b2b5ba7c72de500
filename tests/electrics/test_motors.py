"""From a plan's words to the law of its motors: stated, usual, measured."""

from __future__ import annotations

import pytest
from scipy.optimize import brentq
from support import plan_of

from harness.electrics.cases import OperatingCase, cases_of
from harness.electrics.outcome import Outcome, outcome_of
from harness.reading.problems import PlanError
from harness.rules.run import check
from harness.wiring.build import build

PLAN = """
packs: {{p: {{chemistry: lipo, cells: 4, capacity: 5 Ah, cell-resistance: 0.001 mohm, wire: 4 mm2,
  length: 1 mm, connector: AS150}}}}
escs: {{esc: {{bec: none, supply: p, wire: 4 mm2, length: 1 mm, connector: AS150{esc}}}}}
motors:
  m: {{plug: esc{motor}}}
{more}
"""
TABLE = (
    ", measured: [{throttle: 50 %, current: 9 A, volts: 15.5 V}, {throttle: 75 %, current: 21 A}]"
)


def drawn(motor: str, throttle: float, charge: float = 1.0, more: str = "") -> tuple[float, float]:
    """What the ESC draws, and the volts it has then."""
    case = OperatingCase("one", throttle=throttle, charge=charge)
    plan = plan_of(PLAN.format(esc="", motor=motor, more=more))
    found: Outcome = outcome_of(build(plan), [case])
    assert not found.trouble
    return float(found.drawn("esc")[0]), float(found.fed("esc")[0])


def test_the_stated_current_flows_at_the_stated_volts() -> None:
    """Full pack 16.8 V (PX4 user guide); copper and contacts take some hundredths."""
    amps, volts = drawn(", full-throttle: 40 A, full-throttle-volts: 16.78 V", 1.0)
    assert volts == pytest.approx(16.78, abs=0.03)
    assert amps == pytest.approx(40, rel=0.004)


def test_what_is_stated_of_winding_and_no_load_counts() -> None:
    """The equations by an independent solver, at the nominal 14.8 V of four cells."""
    amps, volts = drawn(", full-throttle: 40 A, resistance: 30 mohm, no-load: 2.5 A", 0.6)
    load = (40 - 2.5) / (14.8 - 0.03 * 40) ** 2
    own = brentq(lambda e: e + 0.03 * (2.5 + load * e**2) - 0.6 * volts, 0, volts)
    # 4 % of volts times motor current by switching at duty 0 (memory), less towards 1
    leak = 1e-9 * volts  # beside every device
    assert amps == pytest.approx((0.6 + 0.04 * 0.4) * (2.5 + load * own**2) + leak, rel=1e-9)


def test_two_alike_on_one_esc_are_twice_one() -> None:
    one, _ = drawn(", full-throttle: 10 A", 0.7)
    two, _ = drawn(", full-throttle: 10 A", 0.7, more="  n: {like: m, plug: esc}")
    assert two == pytest.approx(2 * one, rel=2e-3)  # the wires take a little more


@pytest.mark.parametrize(("throttle", "amps"), [(0.5, 9.0), (0.75, 21.0), (1.0, 40.0)])
def test_a_table_gives_what_it_says_at_its_volts(throttle: float, amps: float) -> None:
    """Where the volts differ from the table's, the current goes with nearly their square."""
    found, volts = drawn(", full-throttle: 40 A" + TABLE, throttle)
    read = 15.5 if throttle == 0.5 else 14.8
    assert amps * (volts / read) ** 1.5 < found < amps * (volts / read) ** 2.05


def test_a_table_rises_between_its_lines_and_beyond_the_law() -> None:
    """9 A at half throttle are far more than the 6 A of the law: sticks differ by controller."""
    motor = ", full-throttle: 40 A" + TABLE
    amps = [drawn(motor, throttle / 20)[0] for throttle in range(21)]
    assert amps == sorted(amps)
    assert amps[0] == pytest.approx(0, abs=1e-6)
    assert drawn(", full-throttle: 40 A", 0.5)[0] < 0.8 * amps[10]


def test_the_line_of_full_throttle_goes_before_the_stated_current() -> None:
    table = ", measured: [{throttle: 100 %, current: 36 A, volts: 16.78 V}]"
    for motor in (table, ", full-throttle: 50 A" + table):
        assert drawn(motor, 1.0)[0] == pytest.approx(36, rel=0.004)


@pytest.mark.parametrize(
    ("motor", "says"),
    [
        (TABLE, "a table without its end"),
        (", full-throttle: 20 A" + TABLE, "more throttle takes more current"),
        (", full-throttle: 40 A, no-load: 40 A", "the no-load current is the small one"),
        (", full-throttle: 40 A, resistance: 0 mohm", "wanted is a resistance from 1 uohm"),
        (", full-throttle: 0 A", "wanted is a current from 1 mA"),
        (", full-throttle: 40 A, measured: [{throttle: 50 %}]", 'the key "current" is missing'),
    ],
)
def test_what_cannot_be_is_refused(motor: str, says: str) -> None:
    with pytest.raises(PlanError) as refused:
        plan_of(PLAN.format(esc="", motor=motor, more=""))
    told = " ".join(f"{p.message} {p.help}" for p in refused.value.problems)
    assert says in told


def test_a_winding_that_cannot_be_is_not_known() -> None:
    """0.2 ohm at 40 A take 8 V of 14.8: more would come from a smaller current (Jacobi)."""
    plan = plan_of(
        PLAN.format(esc="", motor=", full-throttle: 40 A, resistance: 200 mohm", more="")
    )
    (demand,) = outcome_of(build(plan), [OperatingCase("one", throttle=1.0)]).net.demands
    assert "leaves it half" in demand.draw.missing
    listed = [u.missing for u in check(plan).unknown if u.rule == "esc-load"]
    assert [words for words in listed if "leaves it half" in words]


def test_a_cold_day_is_no_warmer_than_the_plans_own() -> None:
    text = PLAN.format(esc="", motor=", full-throttle: 40 A", more="")
    for air, cold in ((20, 0), (-15, -15)):
        plan = plan_of(text + f"surroundings: {{temperature: {air} degC}}\n")
        (case,) = [case for case in cases_of(plan) if case.name == "cold"]
        assert case.temperature == cold


def test_a_fresh_pack_draws_more_and_a_sagging_one_less() -> None:
    full, empty = (drawn(", full-throttle: 40 A", 1.0, charge)[0] for charge in (1.0, 0.2))
    assert full > 1.2 * empty
