from __future__ import annotations

import pytest
from control_support import found, missing

RULE = "mix-needs-own-channel"
ONE_Y = "leads: {y: {kind: y, plug: rx.1}}\n"
PAIR = "servos: {%s-left: {moves: %s, plug: %s}, %s-right: {moves: %s, plug: %s}}\n"


def pair(moves: str, left: str = "y.1", right: str = "y.2") -> str:
    return PAIR % (moves, moves, left, moves, moves, right) + ONE_Y


# which mixes need a channel a servo: common practice, no source
@pytest.mark.parametrize(
    ("mix", "moves"),
    [
        ("{kind: flaperon}", "aileron"),
        ("{kind: flaperon}", "flaperon"),
        ("{kind: differential}", "aileron"),
        ("{kind: crow}", "aileron"),
        ("{kind: v-tail}", "v-tail"),
        ("{kind: elevon}", "elevon"),
        ("{kind: own-trim, of: flap}", "flap"),
    ],
)
def test_reports_a_mix_on_a_y(mix: str, moves: str) -> None:
    (finding,) = found(RULE, f"mixes: [{mix}]\n{pair(moves)}")
    assert finding.parts == (f"{moves}-left", f"{moves}-right")
    assert found(RULE, f"mixes: [{mix}]\n{pair(moves, 'rx.1', 'rx.2').replace(ONE_Y, '')}") == []


def test_differential_thrust_on_a_throttle_y() -> None:
    text = "mixes: [{kind: differential-thrust}]\n" + ONE_Y
    (finding,) = found(RULE, text + "escs: {e-left: {plug: y.1}, e-right: {plug: y.2}}")
    assert finding.parts == ("e-left", "e-right")


def test_mixes_on_one_y_are_one_report() -> None:
    mixes = "mixes: [{kind: differential}, {kind: crow}]\n"
    (finding,) = found(RULE, mixes + pair("aileron"))
    assert "crow and differential" in finding.message


def test_two_receivers_give_the_same_channel() -> None:
    text = "receivers: {a: {sockets: 4}, b: {sockets: 4}}\nmixes: [{kind: v-tail}]\n"
    assert len(found(RULE, text + pair("v-tail", "a.2", "b.2").replace(ONE_Y, ""))) == 1


@pytest.mark.parametrize(
    "text",
    [
        pair("aileron"),
        # crow drives the ailerons apart; its flaps may share a Y
        "mixes: [{kind: crow}]\n" + pair("flap"),
        # two servos of one side on the Y
        "mixes: [{kind: elevon}]\nservos: {a-left: {moves: elevon, plug: y.1},"
        " b-left: {moves: elevon, plug: y.2}, c-right: {moves: elevon, plug: rx.2}}\n" + ONE_Y,
    ],
)
def test_stays_silent(text: str) -> None:
    assert found(RULE, text) == []


def test_own_trim_of_nothing_is_not_known() -> None:
    assert len(missing(RULE, "mixes: [{kind: own-trim}]")) == 1
