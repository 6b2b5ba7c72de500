"""A fuse against what flows and what the wire bears (chart; common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
escs:
  esc: {{rated: 99 A, bec: none, supply: f{esc}}}
motors:
  m: {{full-throttle: 30 A, full-throttle-volts: 12.6 V, plug: esc}}
fuses:
  f: {{rated: {rated}, supply: main, connector: XT60{wire}}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60}}
"""


@pytest.mark.parametrize(
    ("rated", "wire", "esc", "severity"),
    [
        ("30 A", ", wire: 12 AWG", "", None),
        ("27 A", ", wire: 12 AWG", "", Severity.ERROR),
        ("55 A", ", wire: 14 AWG", "", None),  # 14 AWG: 55 A by the chart
        ("56 A", ", wire: 14 AWG", "", Severity.WARNING),
        ("60 A", ", wire: 12 AWG", ", wire: 14 AWG", Severity.WARNING),  # the ESC's own wires
    ],
)
def test_ratings(rated: str, wire: str, esc: str, severity: Severity | None) -> None:
    report = report_of(PLAN.format(rated=rated, wire=wire, esc=esc))
    found = [f.severity for f in report.findings if f.rule == "fuse-load"]
    assert found == ([severity] if severity else [])


def test_a_wire_nobody_gave_is_unknown() -> None:
    unknown = report_of(PLAN.format(rated="40 A", wire="", esc="")).unknown
    assert [u.part for u in unknown if u.rule == "fuse-load"] == ["f"]
