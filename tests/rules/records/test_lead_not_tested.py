"""Meter each Y before fitting (common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity


@pytest.mark.parametrize(
    ("lead", "count"),
    [
        ("kind: y", 1),
        ("kind: y, tested: yes", 0),
        ("kind: y, tested: no", 1),
        ("kind: n-way, ways: 3", 1),
        ("kind: custom, ways: 1", 1),
        ("kind: reverser", 1),
        ("kind: extension", 0),
    ],
)
def test_kinds(lead: str, count: int) -> None:
    report = report_of(f"receivers:\n  rx: {{sockets: 2}}\nleads:\n  l: {{{lead}, plug: rx.1}}\n")
    found = [f.severity for f in report.findings if f.rule == "lead-not-tested"]
    assert found == [Severity.NOTE] * count
