"""A meter's word against the label's: common practice, no source; the allowance is ours, 3 %."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
receivers:
  rx: {sockets: 4}
escs:
  esc: {bec: {volts: 5 V%s}, plug: rx.3}
regulators:
  reg: {volts: 6 V%s}
"""


@pytest.mark.parametrize(
    ("esc", "reg", "parts"),
    [
        ("", "", []),
        (", metered: 5.14 V", ", metered: 5.83 V", []),
        (", metered: 5.15 V", ", metered: 5.82 V", []),  # 3 % of 5 V and of 6 V, no more
        (", metered: 4.85 V", ", metered: 6.18 V", []),
        (", metered: 5.16 V", ", metered: 6 V", ["esc"]),
        (", metered: 5 V", ", metered: 5.80 V", ["reg"]),
        (", metered: 4.1 V", ", metered: 8.4 V", ["esc", "reg"]),
    ],
)
def test_a_supply_apart_from_its_label(esc: str, reg: str, parts: list[str]) -> None:
    found = [f for f in report_of(PLAN % (esc, reg)).findings if f.rule == "bec-off-its-volts"]
    assert sorted(f.parts[0] for f in found) == parts


def test_both_numbers_are_shown() -> None:
    report = report_of(PLAN % (", metered: 6.1 V", ""))
    finding = next(f for f in report.findings if f.rule == "bec-off-its-volts")
    assert "6.1 V" in finding.message
    assert "5 V" in finding.message
