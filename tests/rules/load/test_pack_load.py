"""Amperes a pack may give: C rate times Ah at 50 to 60 % of the label (common practice).

40 A are read at the 12.6 V of a full pack: with what its cells keep to themselves 36 to 39 A flow.
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
escs:
  esc: {{rated: 90 A, bec: none, supply: {supply}}}
motors:
  m: {{full-throttle: 40 A, full-throttle-volts: 12.6 V, plug: esc}}
packs:
  p: {{chemistry: lipo, cells: 3{p}}}
{more}"""
TWO = """  q: {chemistry: lipo, cells: 3, capacity: 2 Ah, rate: 20 C}
power-leads:
  y: {kind: parallel, supply: [p, q]}
"""


@pytest.mark.parametrize(
    ("pack", "severity"),
    [
        (", capacity: 3.3 Ah, rate: 20 C", None),  # 66 A, of which 39.6 A are trusted
        (", capacity: 2.9 Ah, rate: 20 C", Severity.WARNING),  # 34.8 A
        (", capacity: 4500 mAh, rate: 10 C", Severity.WARNING),  # 45 A by the label
        (", capacity: 3500 mAh, rate: 10 C", Severity.ERROR),  # 35 A by the label
    ],
)
def test_against_the_label(pack: str, severity: Severity | None) -> None:
    report = report_of(PLAN.format(supply="p", p=pack, more=""))
    found = [f.severity for f in report.findings if f.rule == "pack-load"]
    assert found == ([severity] if severity else [])


def test_two_in_parallel_take_half_each() -> None:
    """Some 18 A each; 2 Ah * 20 C * 60 % = 24 A."""
    text = PLAN.format(supply="y", p=", capacity: 2 Ah, rate: 20 C", more=TWO)
    assert [f for f in report_of(text).findings if f.rule == "pack-load"] == []


@pytest.mark.parametrize("pack", [", capacity: 3 Ah", ", rate: 20 C"])
def test_a_label_not_given_is_unknown(pack: str) -> None:
    report = report_of(PLAN.format(supply="p", p=pack, more=""))
    assert [u.part for u in report.unknown if u.rule == "pack-load"] == ["p"]


def test_a_pack_that_feeds_nothing_is_no_question() -> None:
    assert report_of("packs:\n  p: {chemistry: lipo, cells: 3}\n").unknown == ()
