"""A BEC's load. Class currents and the 30 % are common practice, no source; sums by hand.

A stalled servo is a resistor: at 5 V it draws no more than 5/6 of its stall current at 6 V. What
the leads take is left out, so that the sums below are the most that can flow.
"""

from __future__ import annotations

import re

import pytest
from support import report_of

from harness.facts.currents import apart

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
STEADY = 0.3 * (0.8 + 0.8 + 1.8) * 5 / 6 + 0.1  # 0.95
BURST = 0.25 + 0.25 + 1.8 * 5 / 6 + 0.1  # flap stalls: 2.1; ailerons and elevator: 1.93


def found(bec: str, plug: str = "rx.3") -> list[str]:
    report = report_of(PLAN.format(bec=bec, plug=plug))
    return [f.message for f in report.findings if f.rule == "bec-load"]


@pytest.mark.parametrize(
    ("bec", "says"),
    [
        (", rated: 0.85 A, burst: 9 A", "A continuously (in full-throttle)"),
        (", rated: 0.5 A", "A continuously (in full-throttle)"),
        (", rated: 0.95 A, burst: 1.8 A", "A at once (in flap-stalled)"),
        (", rated: 0.95 A, burst: 2.1 A", ""),
        (", rated: 5 A", ""),
        (", rated: 1.5 A", "A at once (in flap-stalled)"),
    ],
)
def test_against_its_ratings(bec: str, says: str) -> None:
    assert pytest.approx((0.95, 2.1)) == (STEADY, BURST)
    messages = found(bec)
    assert len(messages) == bool(says)
    assert all(says in message for message in messages)


def test_a_pulled_red_wire_loads_nothing() -> None:
    assert found(", rated: 0.1 A", "{into: rx.3, pulled: positive}") == []


def test_the_message_sums_by_class_and_the_figures_have_origins() -> None:
    (finding,) = [
        f
        for f in report_of(PLAN.format(bec=", rated: 0.5 A, burst: 9 A", plug="rx.3")).findings
        if f.rule == "bec-load"
    ]
    assert re.search(r"17g-digital servo 0\.4\d+ A", finding.message)  # at most 0.54 * 5 / 6
    assert re.search(r"2 9g-analogue servos 0\.3\d+ A", finding.message)  # 0.48 * 5 / 6
    assert (
        "in full-throttle",
        "every motor at full throttle, every servo at 30% of its stall",
    ) in finding.numbers
    assert all("catalogue" in t or "plan line" in t for _, t in finding.numbers[:-1])
    assert finding.span.line == 11


def test_a_missing_rating_is_unknown() -> None:
    unknown = report_of(PLAN.format(bec="", plug="rx.3")).unknown
    missing = 'what the BEC of ESC "esc" gives continuously'
    assert any(u.rule == "bec-load" and missing in u.missing for u in unknown)


def test_without_a_stated_burst_it_is_the_rating() -> None:
    """A 1 A BEC whose servos ask for 2.1 A at once; it would pass with `burst: 2.2 A`."""
    (message,) = found(", rated: 1 A")
    asked = float(re.search(r"can take ([0-9.]+) A at once", message).group(1))  # type: ignore[union-attr]
    assert "not said to give more than its rated 1 A" in message
    assert 1.8 < asked < BURST  # the leads take a little of it
    assert found(", rated: 1 A, burst: 2.2 A") == []


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


def test_the_size_that_is_advised_ends_it() -> None:
    """The next one that is sold, with a fifth to spare: 0.95 A and 2.1 A want 2 A and 3 A."""
    report = report_of(PLAN.format(bec=", rated: 0.5 A", plug="rx.3"))
    (finding,) = [f for f in report.findings if f.rule == "bec-load"]
    ((rated, burst),) = re.findall(r"rated ([\d.]+ A) and ([\d.]+ A) for seconds", finding.help)
    assert (rated, burst) == ("2 A", "3 A")
    assert found(f", rated: {rated}, burst: {burst}") == []


def test_two_currents_that_differ_are_not_written_alike() -> None:
    assert apart(144.32, 144.28) == ("144.32 A", "144.28 A")
    assert apart(2.0, 1.0) == ("2 A", "1 A")
