"""Watt-hours against the 100 Wh of the TSA; 3.7 V a LiPo cell (PX4 user guide, battery page)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity


@pytest.mark.parametrize(
    ("pack", "fires"),
    [
        ("lipo, cells: 6, capacity: 4.5 Ah", False),  # 6 * 3.7 V * 4.5 Ah = 99.9 Wh
        ("lipo, cells: 6, capacity: 4.51 Ah", True),  # 100.1 Wh
        ("lipo, cells: 3, capacity: 5 Ah", False),
        ("lipo, cells: 6", False),
        ("nimh, cells: 20, capacity: 5 Ah", False),  # the limit is made for lithium batteries
    ],
)
def test_a_hundred_watt_hours(pack: str, fires: bool) -> None:
    report = report_of(f"packs:\n  main: {{chemistry: {pack}}}\n")
    found = [f.severity for f in report.findings if f.rule == "travel-limit"]
    assert found == ([Severity.NOTE] if fires else [])
