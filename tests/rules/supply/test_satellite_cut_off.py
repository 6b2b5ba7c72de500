"""What is lost when the lead of a satellite receiver is open: a warning, and no more.

That a main receiver goes on alone is common practice, no published source.
"""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Severity

PLAN = """
receivers: {rx: {sockets: 4, satellite-sockets: 2}}
satellites: {tail: {plug: %s, current: 30 mA}}
packs: {radio: {chemistry: nimh, cells: 5, capacity: 2 Ah, rate: 5 C, plug: rx.batt}}
"""


@pytest.mark.parametrize("pin", ["signal", "positive", "negative"])
def test_any_open_wire_is_a_warning_and_no_more(pin: str) -> None:
    found = report_of(PLAN % f"{{into: rx.sat-1, pulled: {pin}}}").findings
    worse = [f for f in found if f.severity > Severity.NOTE]
    assert [(f.rule, f.severity) for f in worse] == [("satellite-cut-off", Severity.WARNING)]


def test_a_dead_lead_too() -> None:
    found = "as-found: [{end: tail, fact: dead}]"
    assert rules_of(PLAN % "rx.sat-2" + found) == ["satellite-cut-off"]
