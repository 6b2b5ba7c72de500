"""A motor's amperes hold at the volts they were read at; cells 3.0 to 4.2 V: PX4 user guide."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
escs:
  esc: {{rated: 200 A, bec: none, supply: {at}}}
motors:
  m: {{{read}, plug: esc}}
packs:
  one: {{chemistry: lipo, cells: {cells}}}
  two: {{like: one}}
power-leads:
  stack: {{kind: series, supply: [one, two]}}
  side: {{kind: parallel, supply: [one, two]}}
"""


def told(read: str, cells: int, at: str = "one") -> list[str]:
    report = report_of(PLAN.format(read=read, cells=cells, at=at))
    return [f.message for f in report.findings if f.rule == "motor-off-its-volts"]


@pytest.mark.parametrize("volts", ["9 V", "11.1 V", "12.6 V"])
def test_three_cells_give_nine_to_twelve_point_six_volts(volts: str) -> None:
    assert told(f"full-throttle: 20 A, full-throttle-volts: {volts}", 3) == []


@pytest.mark.parametrize("volts", ["8.4 V", "14.8 V", "22.2 V"])
def test_what_three_cells_never_give(volts: str) -> None:
    (message,) = told(f"full-throttle: 20 A, full-throttle-volts: {volts}", 3)
    assert message.endswith(f"were read at {volts}, but its packs give it 9 V to 12.6 V")


def test_the_end_of_a_table_is_read_at_its_own_volts() -> None:
    table = "measured: [{throttle: 100 %%, current: 20 A, volts: %s V}]"
    assert told(table % 11.4, 3) == []
    assert len(told(table % 22.8, 3)) == 1


def test_packs_end_to_end_count_together_and_side_by_side_as_one() -> None:
    read = "full-throttle: 20 A, full-throttle-volts: 22.2 V"
    assert told(read, 3, "stack") == []
    assert len(told(read, 3, "side")) == 1


def test_nothing_is_asked_where_the_plan_does_not_say() -> None:
    assert told("full-throttle: 20 A", 3) == []


def test_a_regulator_before_the_esc_has_no_cells_to_ask() -> None:
    plan = PLAN + "regulators: {{reg: {{volts: 6 V, supply: one}}}}\n"
    read = "full-throttle: 20 A, full-throttle-volts: 22.2 V"
    report = report_of(plan.format(read=read, cells=3, at="reg.out"))
    assert "motor-off-its-volts" not in {finding.rule for finding in report.findings}
