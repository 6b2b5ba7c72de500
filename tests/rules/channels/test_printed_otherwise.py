"""Names printed at sockets against the numbers of channels: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Severity

CHANNELS = (
    "channels: {1: aileron, 2: elevator, 3: {function: throttle, failsafe: off}, 4: rudder}\n"
)
PARTS = """
servos: {a: {moves: aileron, plug: rx.aile}, e: {moves: elevator, plug: rx.elev}}
escs: {esc: {bec: none, plug: rx.thro}}
"""


def plan(sockets: str, more: str = PARTS) -> str:
    return f"{CHANNELS}receivers: {{rx: {{sockets: {sockets}}}}}\n{more}"


def test_a_print_against_the_numbers_is_told_once_and_instead_of_wrong_advice() -> None:
    found = [f for f in report_of(plan("[thro, aile, elev, rudd]")).findings
             if f.rule in {"printed-otherwise", "wrong-channel", "unnamed-channel"}]  # fmt: skip
    assert [(f.rule, f.severity) for f in found] == [("printed-otherwise", Severity.DANGER)]
    assert "`sockets: {thro: 3, aile: 1, elev: 2, rudd: 4}`" in found[0].help
    assert "thro gives channel 1, but throttle is channel 3" in found[0].message


def test_its_cure_leaves_nothing() -> None:
    rules = rules_of(plan("{thro: 3, aile: 1, elev: 2, rudd: 4}"), Severity.ERROR)
    assert not {"printed-otherwise", "wrong-channel", "unnamed-channel"} & set(rules)


@pytest.mark.parametrize(
    "text",
    [
        plan("[aile, elev, thro, rudd]"),
        plan("4", ""),
        # a second aileron on the socket for a rudder that is not there
        "channels: {1: aileron-left, 4: aileron-right}\n"
        "receivers: {rx: {sockets: [aile, elev, thro, rudd]}}",
        # flaps on the socket printed gear: nobody flies them with a stick
        "channels: {5: flap, 6: gear}\n"
        "receivers: {rx: {sockets: [aile, elev, thro, rudd, gear, flap]}}",
        # rudder on a spare channel whose print says nothing
        "channels: {4: aileron-right, 5: rudder}\n"
        "receivers: {rx: {sockets: [aile, elev, thro, rudd, aux1]}}",
    ],
)
def test_stays_silent(text: str) -> None:
    assert "printed-otherwise" not in rules_of(text)


def test_throttle_on_a_servo_order_is_an_error_without_the_throttle() -> None:
    text = "channels: {1: aileron, 2: elevator}\nreceivers: {rx: {sockets: [elev, aile]}}"
    (found,) = [f for f in report_of(text).findings if f.rule == "printed-otherwise"]
    assert found.severity is Severity.ERROR
