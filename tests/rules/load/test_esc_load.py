"""ESC rating against full throttle. 1.2 to 1.3 times: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = "escs:\n  esc: {{bec: none{esc}}}\nmotors:\n  m: {{plug: esc{motor}}}\n"


@pytest.mark.parametrize(
    ("esc", "severity"),
    [
        (", rated: 39 A", None),  # 1.3 * 30 exactly
        (", rated: 38.9 A", Severity.WARNING),
        (", rated: 30 A", Severity.WARNING),
        (", rated: 29 A", Severity.ERROR),
        (", rated: 29 A, burst: 35 A", Severity.ERROR),
        (", rated: 25 A, burst: 29 A", Severity.DANGER),
    ],
)
def test_margin(esc: str, severity: Severity | None) -> None:
    report = report_of(PLAN.format(esc=esc, motor=", full-throttle: 30 A"))
    found = [f for f in report.findings if f.rule == "esc-load"]
    assert [f.severity for f in found] == ([severity] if severity else [])
    assert all("at least 39 A; the bolder go down to 36 A" in f.message for f in found)


@pytest.mark.parametrize(
    ("esc", "motor", "part"), [("", ", full-throttle: 30 A", "esc"), (", rated: 40 A", "", "m")]
)
def test_missing_facts(esc: str, motor: str, part: str) -> None:
    report = report_of(PLAN.format(esc=esc, motor=motor))
    assert [u.part for u in report.unknown if u.rule == "esc-load"] == [part]


def test_an_esc_without_a_motor_is_unknown() -> None:
    report = report_of("escs:\n  esc: {bec: none, rated: 40 A}\n")
    assert [u.missing for u in report.unknown if u.rule == "esc-load"] == [
        "full-throttle current of the motor on it"
    ]
