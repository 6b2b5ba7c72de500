from __future__ import annotations

import pytest
from control_support import found, missing

RULE = "failsafe-moves-gear"
LEG = "retracts: {leg: {kind: self-contained, plug: rx.5}}\n"
FLAP = "servos: {f: {moves: flap, plug: rx.5}}\n"


def plan(function: str, failsafe: str) -> str:
    said = f", failsafe: {failsafe}" if failsafe else ""
    return f"channels: {{5: {{function: {function}{said}}}}}\n" + (
        LEG if function == "gear" else FLAP
    )


# gear does not retract; flaps hold or up: common practice, no source
@pytest.mark.parametrize(
    ("function", "failsafe"),
    [
        ("gear", "up"),
        ("gear", "retracted"),
        ("flap", "down"),
        ("flap", "neutral"),
        ("flap", "50 %"),
    ],
)
def test_movement_is_reported(function: str, failsafe: str) -> None:
    assert len(found(RULE, plan(function, failsafe))) == 1


@pytest.mark.parametrize(
    ("function", "failsafe"),
    [("gear", "hold"), ("gear", "down"), ("flap", "hold"), ("flap", "up"), ("flap", "0 %")],
)
def test_staying_is_right(function: str, failsafe: str) -> None:
    assert found(RULE, plan(function, failsafe)) == []
    assert missing(RULE, plan(function, failsafe)) == []


@pytest.mark.parametrize(("function", "failsafe"), [("gear", ""), ("flap", ""), ("gear", "70 %")])
def test_what_the_plan_does_not_say_is_not_known(function: str, failsafe: str) -> None:
    assert found(RULE, plan(function, failsafe)) == []
    assert len(missing(RULE, plan(function, failsafe))) == 1


def test_a_channel_with_nothing_on_it_is_left_alone() -> None:
    assert found(RULE, "channels: {5: {function: gear, failsafe: up}}") == []
