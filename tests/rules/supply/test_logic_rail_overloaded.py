"""Servos on an autopilot's own supply. Stalls by class: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
autopilots:
  ap: {{sockets: 4, rail: {rail}{limit}}}
regulators:
  logic: {{volts: 5.2 V, plug: [{plug}]}}
servos:
  a: {{class: 9g-analogue, moves: aileron, plug: ap.1}}
  b: {{class: 9g-analogue, moves: rudder, plug: ap.4}}
"""


def judged(rail: str, limit: str, plug: str = "ap.power") -> tuple[list[str], list[str]]:
    report = report_of(PLAN.format(rail=rail, limit=limit, plug=plug))
    name = "logic-rail-overloaded"
    return (
        [f.message for f in report.findings if f.rule == name],
        [u.part for u in report.unknown if u.rule == name],
    )


@pytest.mark.parametrize("limit", ["500 mA", "1 A"])
def test_two_stalls_are_too_much(limit: str) -> None:
    ((message,), _) = judged("logic", f", limit: {limit}")
    # 0.8 A + 0.8 A at 6 V, flight surfaces together: 1.39 A at 5.2 V, less what the leads take
    assert "A at once (in hard-manoeuvre): 2 9g-analogue servos 1.3" in message


def test_a_larger_limit_a_rail_apart_and_a_supply_by_an_output() -> None:
    assert judged("logic", ", limit: 1.6 A") == ([], [])
    assert judged("separate", ", limit: 0.5 A", "ap.power, ap.batt") == ([], [])
    assert judged("logic", ", limit: 1.6 A", "ap.2") == ([], [])


def test_no_limit_is_unknown() -> None:
    assert judged("logic", "") == ([], ["ap"])
