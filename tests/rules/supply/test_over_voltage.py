"""Volts of full sources: LiPo 4.2 V a cell, PX4 user guide; 5 NiMH 7.0, 2S LiFe 7.2, 2S LiPo 8.4 V
common practice, no source (trade figures)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding

PLAN = """
receivers:
  rx: {{sockets: 4, volts-max: 9 V}}
packs:
  radio: {{chemistry: {kind}, cells: {cells}, plug: {plug}}}
servos:
  rudder: {{plug: rx.4{limit}}}
"""


def told(text: str) -> list[Finding]:
    return [f for f in report_of(text).findings if f.rule == "over-voltage"]


def plan(kind: str, cells: int, limit: str, plug: str = "rx.batt") -> str:
    return PLAN.format(kind=kind, cells=cells, plug=plug, limit=limit)


@pytest.mark.parametrize(
    ("kind", "cells", "limit", "says"),
    [
        ("nimh", 5, ", volts-max: 6 V", "7 V"),
        ("life", 2, ", volts-max: 7 V", "7.2 V"),
        ("lipo", 2, ", volts-max: 8.3 V", "8.4 V"),
        ("nimh", 5, ", class: 9g-analogue", "7 V"),
    ],
)
def test_the_full_source_is_too_much(kind: str, cells: int, limit: str, says: str) -> None:
    (finding,) = told(plan(kind, cells, limit))
    assert f"gives {says} fully charged" in finding.message
    assert finding.parts == ("radio", "rudder")
    assert any("plan line" in value or "catalogue" in value for _, value in finding.numbers)


@pytest.mark.parametrize(
    ("kind", "cells", "limit"),
    [
        ("nimh", 4, ", volts-max: 6 V"),
        ("nimh", 5, ", volts-max: 7 V"),
        ("life", 2, ", volts-max: 7.2 V"),
        ("lipo", 2, ", volts-max: 8.4 V"),
        ("lipo", 2, ", class: standard-hv"),
    ],
)
def test_within_the_limit(kind: str, cells: int, limit: str) -> None:
    assert told(plan(kind, cells, limit)) == []


def test_a_silicon_diode_takes_its_drop() -> None:
    """0.7 V: trade figure. 7.0 V less 0.7 V is 6.3 V."""
    more = "diodes:\n  guard: {kind: silicon, plug: rx.batt}\n"
    assert told(plan("nimh", 5, ", volts-max: 6.3 V", "guard.1") + more) == []
    (finding,) = told(plan("nimh", 5, ", volts-max: 6.2 V", "guard.1") + more)
    assert "6.3 V" in finding.message


@pytest.mark.parametrize(
    ("cells", "most", "fires"), [(4, 3, True), (4, 4, False), (6, 4, True), (3, 4, False)]
)
def test_cells_on_an_esc(cells: int, most: int, fires: bool) -> None:
    text = f"""
packs:
  main: {{chemistry: lipo, cells: {cells}}}
escs:
  esc: {{bec: none, cells-max: {most}, supply: main}}
"""
    assert bool(told(text)) is fires


def test_a_stack_counts_all_its_cells() -> None:
    text = """
packs:
  a: {chemistry: lipo, cells: 6, capacity: 5 Ah}
  b: {chemistry: lipo, cells: 6, capacity: 5 Ah}
power-leads:
  stack: {kind: series, supply: [a, b]}
escs:
  esc: {bec: none, cells-max: 6, supply: stack.1}
"""
    (finding,) = told(text)
    assert "50.4 V" in finding.message  # 12 x 4.2 V


@pytest.mark.parametrize(("metered", "fires"), [("6.02 V", False), ("6.6 V", True)])
def test_a_meter_that_agrees_changes_nothing(metered: str, fires: bool) -> None:
    text = f"""
receivers:
  rx: {{sockets: 4}}
regulators:
  reg: {{volts: 6 V, metered: {metered}, plug: rx.batt}}
servos:
  rudder: {{volts-max: 6 V, plug: rx.4}}
"""
    assert bool(told(text)) is fires


def test_a_servo_nobody_knows_is_unknown() -> None:
    report = report_of(plan("nimh", 4, ""))
    assert [u.part for u in report.unknown if u.rule == "over-voltage"] == ["rudder"]


def test_a_part_made_for_more_is_told_how_many() -> None:
    """Six cells of 4.2 V: what bears six of them bears the pack."""
    text = "escs: {{e: {{cells-max: {cells}, supply: p}}}}\n"
    text += "packs: {{p: {{chemistry: lipo, cells: 6}}}}"
    (finding,) = (f for f in report_of(text.format(cells=4)).findings if f.rule == "over-voltage")
    assert finding.help == "use a pack of fewer cells or a part made for 6"
    assert "over-voltage" not in {f.rule for f in report_of(text.format(cells=6)).findings}
