"""Packs end to end: same cells, capacity, age. Common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
packs:
  a: {{chemistry: lipo, cells: 4, {one}}}
  b: {{chemistry: {kind}, cells: {cells}, {two}}}
power-leads:
  stack: {{kind: series, supply: [a, b]}}
"""


def judged(
    one: str, two: str, kind: str = "lipo", cells: int = 4
) -> list[tuple[str, Severity, int]]:
    report = report_of(PLAN.format(one=one, two=two, kind=kind, cells=cells))
    return [
        (f.parts[0], f.severity, f.span.line)
        for f in report.findings
        if f.rule != "nothing-plugged-in"
    ]


@pytest.mark.parametrize(
    ("one", "two", "kind", "cells", "severity"),
    [
        ("capacity: 5 Ah", "capacity: 3300 mAh", "lipo", 4, Severity.ERROR),
        ("capacity: 5 Ah", "capacity: 5 Ah", "life", 4, Severity.ERROR),
        ("capacity: 5 Ah", "capacity: 5 Ah", "lipo", 2, Severity.WARNING),
    ],
)
def test_unlike(one: str, two: str, kind: str, cells: int, severity: Severity) -> None:
    assert judged(one, two, kind, cells) == [("b", severity, 6)]


@pytest.mark.parametrize(
    ("one", "two", "severity"),
    [
        ("volts: 16.8 V", "volts: 16.64 V", None),  # 0.04 V a cell
        ("volts: 16.8 V", "volts: 16.5 V", Severity.WARNING),  # 0.075 V a cell
        ("volts: 16.8 V", "volts: 16.2 V", Severity.ERROR),  # 0.15 V a cell
        ("charge: 100 %", "charge: 50 %", Severity.ERROR),
        ("charge: 100 %", "volts: 16.8 V", None),
        ("charge: 50 %", "", None),  # of the other nobody said anything
    ],
)
def test_the_emptier_of_two_is_told(one: str, two: str, severity: Severity | None) -> None:
    """0.05 and 0.1 V a cell: the trade's limits for packs side by side."""
    full = ("capacity: 5 Ah, " + one, "capacity: 5 Ah" + (two and ", " + two))
    assert judged(*full) == ([("b", severity, 6)] if severity else [])


@pytest.mark.parametrize("two", ["capacity: 5 Ah", "capacity: 5000 mAh"])
def test_alike(two: str) -> None:
    assert judged("capacity: 5 Ah", two) == []


def test_two_small_packs_side_by_side_count_together() -> None:
    text = """
packs:
  a: {chemistry: lipo, cells: 4, capacity: 5 Ah}
  b: {chemistry: lipo, cells: 4, capacity: 2.5 Ah, volts: 15 V}
  c: {chemistry: lipo, cells: 4, capacity: 2.5 Ah, volts: 15 V}
power-leads:
  both: {kind: parallel, supply: [b, c]}
  stack: {kind: series, supply: [a, both.1]}
"""
    assert [f.rule for f in report_of(text).findings] == ["nothing-plugged-in"]  # no load


def test_no_capacity_is_unknown() -> None:
    report = report_of(PLAN.format(one="capacity: 5 Ah", two="rate: 30 C", kind="lipo", cells=4))
    assert [(u.rule, u.part) for u in report.unknown] == [("unlike-series-packs", "b")]


def test_a_level_of_two_packs_wants_another_of_two() -> None:
    text = PLAN.format(one="capacity: 5 Ah", two="capacity: 5 Ah", kind="lipo", cells=4)
    text = text.replace("supply: [a, b]", "supply: [pair, b]").replace(
        "power-leads:\n", "power-leads:\n  pair: {kind: parallel, supply: [a, c]}\n"
    )
    text = text.replace("packs:\n", "packs:\n  c: {chemistry: lipo, cells: 4, capacity: 5 Ah}\n")
    (finding,) = (f for f in report_of(text).findings if f.rule == "unlike-series-packs")
    assert finding.help.startswith("use on each level as many packs of the same cells")
