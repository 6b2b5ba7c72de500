from __future__ import annotations

import pytest
from control_support import found, missing

RULE = "throttle-failsafe"
ESC = "escs: {esc: {plug: rx.3}}\n"


def plan(failsafe: str, function: str = "throttle") -> str:
    said = f", failsafe: {failsafe}" if failsafe else ""
    return f"channels: {{3: {{function: {function}{said}}}}}\n{ESC}"


# "throttle to off, never hold or empty": common practice, no source; idle on loss of signal:
# UK CAA CAP 658 as quoted by a club
@pytest.mark.parametrize("failsafe", ["", "hold", "neutral", "30 %", "up", "100"])
def test_anything_but_off_is_reported(failsafe: str) -> None:
    (finding,) = found(RULE, plan(failsafe))
    assert finding.parts == ("esc",)


def test_a_fan_has_no_propeller_to_take_off() -> None:
    (finding,) = found(RULE, plan("hold") + "ducted-fans: {fan: {full-throttle: 30 A, plug: esc}}")
    assert "propeller" not in finding.help
    assert "fans unplugged" in finding.help


@pytest.mark.parametrize("failsafe", ["off", "idle", "0 %", "-100 %", "low", "no-pulses"])
def test_off_is_right(failsafe: str) -> None:
    assert found(RULE, plan(failsafe)) == []


@pytest.mark.parametrize(
    "text",
    [
        "channels: {3: throttle}",
        # the ESC on a stick's channel is the wrong-channel rule's
        plan("hold", "elevator"),
    ],
)
def test_stays_silent_without_a_motor_on_it(text: str) -> None:
    assert found(RULE, text) == []


def test_a_lift_motor_counts() -> None:
    assert len(found(RULE, plan("hold", "lift"))) == 1


def test_the_receiver_of_an_autopilot_counts() -> None:
    bus = "receivers: {rx: {sockets: 1, plug: ap.rc}}\n"
    pilot = bus + "autopilots: {ap: {sockets: 8, outputs: {3: throttle}}}\n"
    text = pilot + "channels: {3: {function: throttle, failsafe: %s}}\nescs: {esc: {plug: ap.3}}"
    assert len(found(RULE, text % "hold")) == 1
    assert found(RULE, text % "off") == []


def test_a_plan_without_channels_is_not_known() -> None:
    assert found(RULE, ESC) == []
    (unknown,) = missing(RULE, ESC)
    assert unknown.part == "esc"


def test_each_throttle_is_judged() -> None:
    text = "channels: {3: {function: throttle-left, failsafe: off}, 5: throttle-right}\n"
    (finding,) = found(RULE, text + "escs: {l-left: {plug: rx.3}, r-right: {plug: rx.5}}")
    assert finding.parts == ("r-right",)
