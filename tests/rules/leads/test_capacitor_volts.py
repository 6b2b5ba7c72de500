"""Capacitor volts: 25 to 4S, 35 to 6S, 50 to 8S, 63 to 12S (common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity
from harness.rules.run import Report

PLAN = """
escs:
  esc: {{bec: none, supply: {supply}}}
capacitors:
  c: {{across: esc, value: 330 uF{volts}}}
packs:
  p: {{chemistry: {chemistry}, cells: {cells}}}
  q: {{chemistry: {chemistry}, cells: {cells}}}
power-leads:
  s: {{kind: series, supply: [p, q]}}
"""


def report(volts: str, cells: int, supply: str = "p", chemistry: str = "lipo") -> Report:
    text = PLAN.format(volts=volts, cells=cells, supply=supply, chemistry=chemistry)
    return report_of(text)


@pytest.mark.parametrize(
    ("volts", "cells", "supply", "chemistry", "severity"),
    [
        (25, 4, "p", "lipo", None),
        (25, 5, "p", "lipo", Severity.WARNING),  # 21 V at full charge
        (25, 6, "p", "lipo", Severity.DANGER),  # 25.2 V
        (35, 6, "p", "lipo", None),
        (35, 8, "p", "lipo", Severity.WARNING),  # 33.6 V
        (50, 8, "p", "lipo", None),
        (50, 6, "s", "lipo", Severity.DANGER),  # 12S by two packs: 50.4 V
        (63, 6, "s", "lipo", None),
        (25, 4, "p", "lihv", None),  # 17.4 V
        (25, 10, "p", "nimh", None),  # 14 V
    ],
)
def test_table(
    volts: int, cells: int, supply: str, chemistry: str, severity: Severity | None
) -> None:
    found = [
        f.severity
        for f in report(f", volts: {volts} V", cells, supply, chemistry).findings
        if f.rule == "capacitor-volts"
    ]
    assert found == ([severity] if severity else [])


@pytest.mark.parametrize(("volts", "cells"), [("", 4), (", volts: 80 V", 14)])
def test_unknown(volts: str, cells: int) -> None:
    unknown = report(volts, cells).unknown
    assert [u.part for u in unknown if u.rule == "capacitor-volts"] == ["c"]


def test_across_what_nothing_feeds_there_is_nothing_to_judge() -> None:
    text = "escs: {e: {bec: none}}\ncapacitors: {c: {across: e, value: 220 uF, volts: 25 V}}\n"
    assert [f for f in report_of(text).findings if f.rule == "capacitor-volts"] == []
