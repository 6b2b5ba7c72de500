"""A balance plug: its taps feed nothing, and an adapter on it bears what its pins bear.

Common practice, no published source: 1 A continuously and 3 A for seconds by the cautious figure.
"""

from __future__ import annotations

import pytest
from support import plan_of, report_of

from harness.base.finding import Severity
from harness.electrics.cases import cases_of
from harness.electrics.outcome import outcome_of
from harness.facts.battery import packs_of
from harness.reading.problems import PlanError
from harness.wiring.build import build

PLAN = """
receivers: {rx: {sockets: 4}}
loads: {lamp: {current: %s A, plug: rx.1}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 2 Ah, connector: XT60, wire: 12 AWG, length: 100 mm}}
power-leads: {tap: {kind: %s, supply: %s, connector: XT30, wire: 22 AWG, length: 100 mm}}
regulators: {reg: {volts: 5 V, rated: 8 A, plug: rx.batt, supply: tap, connector: XT30, wire: 20 AWG}}
"""  # noqa: E501


def rules(text: str) -> dict[str, str]:
    found = report_of(text).findings
    return {f.rule: f.message for f in found if f.severity > Severity.NOTE}


@pytest.mark.parametrize(
    ("tap", "said"),
    [("main.balance.1", "from 1 of the 3 cells of 2 Ah"), ("main.balance.2", "from 2 of the 3"),
     ("main.balance.3", "has no tap 3"), ("main.balance.0", "has no tap 0")],
)  # fmt: skip
def test_a_tap_on_some_of_the_cells_is_an_error(tap: str, said: str) -> None:
    found = rules(PLAN % ("0.1", "balance-adapter", tap))
    assert list(found) == ["part-of-the-cells"]
    assert said in found["part-of-the-cells"]


def test_all_the_cells_are_a_supply_like_any_other() -> None:
    plan = plan_of(PLAN % ("0.5", "balance-adapter", "main.balance"))
    assert rules(PLAN % ("0.5", "balance-adapter", "main.balance")) == {}
    wiring = build(plan)
    assert [pack.id for pack in packs_of(wiring, plan.parts["reg"])] == ["main"]
    outcome = outcome_of(wiring, cases_of(plan))
    # Kirchhoff: all that the pack gives goes by the one adapter
    given = outcome.given("main")
    assert abs(outcome.into("tap", "in-1")) == pytest.approx(given, rel=1e-6)
    assert (given > 0).all()


def test_what_its_pins_bear_is_judged() -> None:
    found = rules(PLAN % ("4", "balance-adapter", "main.balance"))
    assert "bears 1 A continuously by the cautious figure" in found["plug-load"]
    assert "the balance plug of tap in main.balance" in found["plug-load"]


def test_it_fits_no_battery_connector_and_an_adapter_no_balance_plug() -> None:
    assert "wrong-socket-kind" in rules(PLAN % ("0.1", "balance-adapter", "main"))
    assert "wrong-socket-kind" in rules(PLAN % ("0.1", "adapter", "main.balance"))


def test_only_a_balance_plug_has_taps() -> None:
    with pytest.raises(PlanError, match="is not a socket"):
        plan_of(PLAN % ("0.1", "balance-adapter", "main.main.2"))
