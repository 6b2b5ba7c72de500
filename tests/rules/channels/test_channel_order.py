from __future__ import annotations

import pytest
from control_support import found, missing, numbers

from harness.base.finding import Severity

RULE = "channel-order"
WORDS = {"A": "aileron", "E": "elevator", "T": "throttle", "R": "rudder"}
PILOT = "receivers: {rx: {sockets: 8, plug: ap.rc}}\nautopilots: {ap: {sockets: 8}}\n"
ESC = "escs: {esc: {plug: rx.3}}\n"


def plan(order: str, channels: str) -> str:
    table = ", ".join(f"{n}: {WORDS.get(c, c)}" for n, c in enumerate(channels, 1))
    head = f"transmitter: {{order: {order}}}\n" if order else ""
    return f"{head}channels: {{{table}}}\n"


# AETR: ArduPilot documentation, four-channel plane guide (1 aileron, 2 elevator, 3 throttle,
# 4 rudder); TAER: common practice, no source
@pytest.mark.parametrize(
    ("order", "channels", "lands"),
    [
        ("AETR", "TAER", "aileron stick would drive the motor"),
        ("TAER", "AETR", "elevator stick would drive the motor"),
        ("AETR", "AERT", "rudder stick would drive the motor"),
        ("aetr", "TAER", "aileron stick would drive the motor"),
    ],
)
def test_a_stick_on_the_throttle_is_dangerous(order: str, channels: str, lands: str) -> None:
    (finding,) = found(RULE, plan(order, channels))
    assert finding.severity is Severity.DANGER
    assert lands in finding.message
    assert "half throttle" in finding.message


def test_swapped_surfaces_are_an_error() -> None:
    (finding,) = found(RULE, plan("AETR", "EATR"))
    assert finding.severity is Severity.ERROR
    assert numbers(finding)["order"] == "AETR (plan line 5)"


@pytest.mark.parametrize(("order", "channels"), [("AETR", "AETR"), ("TAER", "TAER")])
def test_the_radio_s_own_order_is_right(order: str, channels: str) -> None:
    assert found(RULE, plan(order, channels)) == []


@pytest.mark.parametrize(
    "text",
    [
        "transmitter: {order: AETR}\nchannels: {1: elevon-left, 2: elevon-right, 3: throttle}",
        "transmitter: {order: AETR}\nchannels: {1: aileron, 5: gear}",
    ],
)
def test_mixes_and_missing_channels_are_not_judged(text: str) -> None:
    assert found(RULE, text) == []


def test_an_autopilot_expects_the_default() -> None:
    (finding,) = found(RULE, PILOT + plan("", "TAER"))
    assert "four-channel plane guide" in numbers(finding)["order"]
    assert found(RULE, PILOT + plan("", "AETR")) == []
    assert found(RULE, PILOT + plan("TAER", "TAER")) == []


@pytest.mark.parametrize("order", ["", "mode2"])
def test_without_an_order_it_is_not_known(order: str) -> None:
    text = plan(order, "AETR") + ESC
    assert found(RULE, text) == []
    assert len(missing(RULE, text)) == 1


@pytest.mark.parametrize("beside", ["1: flap", "3: gear", "4: camera, 6: rudder"])
def test_one_stick_is_judged_beside_what_is_none(beside: str) -> None:
    """Channel 2 of AETR is the elevator's."""
    text = f"transmitter: {{order: AETR}}\nchannels: {{{beside}, 2: aileron}}\n"
    (finding,) = found(RULE, text)
    assert "the radio sends elevator on channel 2" in finding.message
    assert found(RULE, text.replace("2: aileron", "2: elevator")) == []
