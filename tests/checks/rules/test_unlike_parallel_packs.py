"""Packs side by side: 0.05 and 0.1 V a cell are common practice, no source (trade figures)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
packs:
  a: {{chemistry: lipo, cells: {cells}, capacity: 4 Ah, volts: {one} V{more}}}
  b: {{chemistry: {kind}, cells: {others}, capacity: {held}, volts: {two} V{more}}}
power-leads:
  both: {{kind: parallel, supply: [a, b]}}
"""


def found(**said: object) -> list[Finding]:
    plain = {"cells": 4, "others": 4, "kind": "lipo", "held": "4 Ah", "more": ""}
    report = report_of(PLAN.format(**{**plain, **said}))
    return [f for f in report.findings if f.rule == "unlike-parallel-packs"]


@pytest.mark.parametrize(
    ("apart", "severity", "amperes"),
    # "0.05 V giving 5 to 10 A", V / (2 * ohm): 5 A at the 5 mohm of the PX4 user guide
    [
        (0.21, Severity.WARNING, "5.3 A"),
        (0.4, Severity.WARNING, "10 A"),
        (0.48, Severity.ERROR, "12 A"),
    ],
)
def test_metered_volts_apart(apart: float, severity: Severity, amperes: str) -> None:
    (finding,) = found(one=15.6, two=round(15.6 + apart, 3))
    assert finding.severity is severity
    assert f"about {amperes} flow" in finding.message


@pytest.mark.parametrize("apart", [0.0, 0.1, 0.2])
def test_within_the_limit(apart: float) -> None:
    assert found(one=15.6, two=round(15.6 + apart, 3)) == []


def test_the_current_at_a_twentieth_of_a_volt_is_5_to_10_a() -> None:
    """Trade figure: equalising current = volts per cell / (2 * ohms per cell), 5 to 10 A."""
    for ohms, amperes in (("5 mohm", "5.1 A"), ("2.5 mohm", "10 A")):
        (finding,) = found(one=15.6, two=15.804, more=f", cell-resistance: {ohms}")
        assert f"about {amperes} flow" in finding.message


def test_one_cell_more_is_a_danger() -> None:
    (finding,) = found(others=3, one=14.8, two=11.1)
    assert finding.severity is Severity.DANGER
    # 3.7 V over 7 cells of 5 mohm = 105.7 A, by hand
    assert "3.7 V apart drive about 106 A" in finding.message


def test_another_chemistry_is_an_error() -> None:
    assert [f.severity for f in found(kind="life", one=14.8, two=13.2)] == [Severity.ERROR]


def test_another_capacity_is_a_note() -> None:
    assert [f.severity for f in found(held="2 Ah", one=15.6, two=15.6)] == [Severity.NOTE]


def test_a_stack_beside_a_pack_of_other_cells() -> None:
    text = """
packs:
  a: {chemistry: lipo, cells: 6, capacity: 4 Ah}
  b: {chemistry: lipo, cells: 3, capacity: 4 Ah}
  c: {chemistry: lipo, cells: 2, capacity: 4 Ah}
power-leads:
  stack: {kind: series, supply: [b, c]}
  both: {kind: parallel, supply: [a, stack.1]}
"""
    rules = [f.rule for f in report_of(text).findings if f.severity is Severity.DANGER]
    assert rules == ["unlike-parallel-packs"]


def test_volts_not_metered_are_unknown() -> None:
    text = PLAN.format(cells=4, others=4, kind="lipo", held="4 Ah", more="", one=1, two=1)
    report = report_of(text.replace(", volts: 1 V", ""))
    missing = [(u.rule, u.part) for u in report.unknown]
    assert missing == [("unlike-parallel-packs", "a"), ("unlike-parallel-packs", "b")]


def test_metered_volts_go_before_nominal_ones() -> None:
    """16.7 V against 12.5 V over 4 and 3 cells of 5 mohm: 4.2 V / 35 mohm = 120 A (Ohm's law)."""
    text = """
packs:
  a: {chemistry: lipo, cells: 4, volts: 16.7 V}
  b: {chemistry: lipo, cells: 3, volts: 12.5 V}
power-leads: {par: {kind: parallel, supply: [a, b]}}
"""
    (found,) = [f for f in report_of(text).findings if f.rule == "unlike-parallel-packs"]
    assert "4.2 V apart drive about 120 A" in found.message
