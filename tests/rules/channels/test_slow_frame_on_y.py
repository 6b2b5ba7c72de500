from __future__ import annotations

import pytest
from control_support import found, missing, numbers

RULE = "slow-frame-on-y"
Y = "leads: {y: {kind: y, plug: rx.1}}\n"
PAIR = "servos: {a: {%s, plug: y.1}, b: {%s, plug: y.2}}\n" + Y


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("signal: analogue", "signal: digital"),
        ("class: 9g-analogue", "class: 17g-digital"),
        ("class: 17g-digital, signal: analogue", "class: 17g-digital"),
    ],
)
def test_a_mixed_pair_is_reported(one: str, other: str) -> None:
    (finding,) = found(RULE, PAIR % (one, other))
    # 20 ms: ArduPilot SRV_Channel; Arduino Servo
    assert numbers(finding)["frame"].startswith("20 ms")
    assert finding.parts[0] == "a"


@pytest.mark.parametrize(
    "text",
    [
        PAIR % ("signal: digital", "signal: digital"),
        PAIR % ("signal: analogue", "signal: analogue"),
        PAIR % ("moves: aileron", "moves: aileron"),
        "servos: {a: {signal: analogue, plug: rx.1}, b: {signal: digital, plug: rx.2}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []
    assert missing(RULE, text) == []


def test_half_a_pair_is_not_known() -> None:
    (unknown,) = missing(RULE, PAIR % ("signal: analogue", "moves: aileron"))
    assert unknown.part == "b"
