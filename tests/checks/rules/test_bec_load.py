"""A BEC's load. Class currents and the 30 % are common practice, no source; sums by hand."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
receivers:
  rx: {{sockets: 8}}
servos:
  a: {{class: 9g-analogue, moves: aileron, plug: rx.1}}
  b: {{class: 9g-analogue, moves: elevator, plug: rx.2}}
  c: {{class: 17g-digital, moves: flap, plug: rx.4}}
escs:
  esc: {{bec: {{volts: 5 V{bec}}}, plug: {plug}}}
"""
# 9 g: stall 0.8, moving 0.25; 17 g: stall 1.8, moving 0.5; receiver 0.1
STEADY = 0.3 * (0.8 + 0.8 + 1.8) + 0.1  # 1.12
BURST = 0.25 + 0.25 + 1.8 + 0.1  # flap stalls: 2.4; ailerons and elevator stalled: 2.2


def found(bec: str, plug: str = "rx.3") -> list[str]:
    report = report_of(PLAN.format(bec=bec, plug=plug))
    return [f.message for f in report.findings if f.rule == "bec-load"]


@pytest.mark.parametrize(
    ("bec", "says"),
    [
        (", rated: 1.1 A, burst: 9 A", "1.12 A continuously"),
        (", rated: 1 A", "1.12 A continuously"),
        (", rated: 1.12 A, burst: 2.3 A", "2.4 A at once"),
        (", rated: 1.12 A, burst: 2.4 A", ""),
        (", rated: 5 A", ""),
    ],
)
def test_against_its_ratings(bec: str, says: str) -> None:
    assert pytest.approx((1.12, 2.4)) == (STEADY, BURST)
    messages = found(bec)
    assert len(messages) == bool(says)
    assert all(says in message for message in messages)


def test_a_pulled_red_wire_loads_nothing() -> None:
    assert found(", rated: 0.1 A", "{into: rx.3, pulled: positive}") == []


def test_the_message_sums_by_class_and_the_figures_have_origins() -> None:
    (finding,) = [
        f
        for f in report_of(PLAN.format(bec=", rated: 1 A, burst: 9 A", plug="rx.3")).findings
        if f.rule == "bec-load"
    ]
    assert "17g-digital servo 0.54 A" in finding.message
    assert "2 9g-analogue servos 0.48 A" in finding.message
    assert all("catalogue" in text or "plan line" in text for _, text in finding.numbers)
    assert finding.span.line == 11


@pytest.mark.parametrize(
    ("bec", "missing"),
    [("", 'what the BEC of ESC "esc" gives continuously'), (", rated: 2 A", "gives for seconds")],
)
def test_a_missing_rating_is_unknown(bec: str, missing: str) -> None:
    unknown = report_of(PLAN.format(bec=bec, plug="rx.3")).unknown
    assert any(u.rule == "bec-load" and missing in u.missing for u in unknown)


def test_a_servo_without_figures_is_unknown() -> None:
    text = PLAN.format(bec=", rated: 9 A", plug="rx.3").replace("class: 17g-digital, ", "")
    assert [u.part for u in report_of(text).unknown if u.rule == "bec-load"] == ["c"]


def test_a_regulator_too() -> None:
    text = (
        "loads:\n  lamp: {current: 2 A, supply: reg.out}\n"
        "regulators:\n  reg: {volts: 5 V, rated: 1 A, burst: 3 A}\n"
    )
    (finding,) = [f for f in report_of(text).findings if f.rule == "bec-load"]
    assert finding.message.startswith('regulator "reg" is rated 1 A')
