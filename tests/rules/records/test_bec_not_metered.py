"""Meter every BEC before the receiver sees it: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
receivers:
  rx: {sockets: 4}
escs:
  esc: {bec: {volts: 5 V%s}, plug: %s}
"""


@pytest.mark.parametrize(
    ("metered", "plug", "count"),
    [("", "rx.3", 1), (", metered: 5.02 V", "rx.3", 0), ("", "{into: rx.3, pulled: positive}", 0)],
)
def test_a_supply_of_a_receiver(metered: str, plug: str, count: int) -> None:
    rules = [f.rule for f in report_of(PLAN % (metered, plug)).findings]
    assert rules.count("bec-not-metered") == count


def test_a_supply_by_a_diode_counts_too() -> None:
    text = """
receivers:
  rx: {sockets: 4}
regulators:
  reg: {volts: 5 V, plug: guard.1}
diodes:
  guard: {kind: ideal, plug: rx.batt}
"""
    assert [f.parts for f in report_of(text).findings if f.rule == "bec-not-metered"] == [
        ("reg", "rx")
    ]


def test_a_meter_reading_is_not_repeated_by_like() -> None:
    """Nobody metered the second BEC: common practice is to meter each one before the receiver."""
    report = report_of(
        "receivers: {rx: {sockets: 4}}\n"
        "escs:\n"
        "  first: {supply: p, bec: {kind: switching, volts: 5 V, rated: 3 A, metered: 5.02 V}}\n"
        "  second: {like: first, supply: p, plug: rx.3}\n"
        "packs: {p: {chemistry: lipo, cells: 3}}\n"
    )
    assert [f.parts[0] for f in report.findings if f.rule == "bec-not-metered"] == ["second"]
    bec = report.plan.parts["second"].bec
    assert (bec.volts, bec.rated, bec.metered) == (5.0, 3.0, None)
