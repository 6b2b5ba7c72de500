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


# what moves for two sticks: common practice, no source
@pytest.mark.parametrize(
    "moves", ["v-tail", "ruddervators", "elevon", "flaperons", "taileron", "spoileron", "a-tail"]
)
@pytest.mark.parametrize("ids", [("s-left", "s-right"), ("one", "two")])
def test_a_surface_of_two_sticks_needs_no_mix_to_be_told(moves: str, ids: tuple[str, str]) -> None:
    text = pair(moves).replace(f"{moves}-left", ids[0]).replace(f"{moves}-right", ids[1])
    (finding,) = found(RULE, text)
    assert finding.parts == ids
    assert "need a channel each" in finding.message


@pytest.mark.parametrize(
    ("channels", "servos", "parts"),
    [
        # the channel says what the surfaces are
        ("1: flaperon", {"a-left": "aileron", "b-right": "aileron"}, {"a-left", "b-right"}),
        ("1: v-tail", {"a": "elevator", "b": "rudder"}, {"a", "b"}),
        # a half of a V-tail with something else on its pulse
        ("1: v-tail", {"a-left": "v-tail", "b": "rudder"}, {"a-left", "b"}),
        ("1: elevator", {"a-left": "elevon", "b-left": "elevator"}, {"a-left", "b-left"}),
        # one side of a surface, twice
        ("1: elevon-left", {"a-left": "elevon", "b-left": "elevon"}, set()),
        ("1: flaperon", {"a-left": "aileron", "b-left": "flaperon"}, set()),
        ("1: rudder", {"a": "rudder", "b": "steering"}, set()),
    ],
)
def test_what_hangs_beside_it(channels: str, servos: dict[str, str], parts: set[str]) -> None:
    lines = ", ".join(f"{name}: {{moves: {moves}, plug: y.{n}}}"
                      for n, (name, moves) in enumerate(servos.items(), 1))  # fmt: skip
    text = f"channels: {{{channels}}}\nservos: {{{lines}}}\n{ONE_Y}"
    assert {part for finding in found(RULE, text) for part in finding.parts} == parts


def test_halves_by_another_name_get_channels_for_what_they_are() -> None:
    text = "channels: {1: v-tail}\nservos: {a: {moves: elevator, plug: y.1}, b: {plug: y.2}}\n"
    (finding,) = found(RULE, text + ONE_Y)
    assert "`v-tail-left`" in finding.help


def test_a_written_mix_and_its_surface_are_one_report() -> None:
    (finding,) = found(RULE, "mixes: [{kind: v-tail}]\n" + pair("v-tail"))
    assert "the mix v-tail cannot be made" in finding.message
    assert "take the mix out" not in finding.help


@pytest.mark.parametrize("mix", ["crow", "flap-to-elevator"])
def test_flaps_that_go_alike_in_a_mix_may_share(mix: str) -> None:
    """Crow lowers both flaps, common practice; only the ailerons need a channel each."""
    of = f"mixes: [{{kind: {mix}, of: [aileron, flap]}}]\n"
    assert found(RULE, of + pair("flap")) == []
    assert len(found(RULE, of + pair("aileron"))) == (mix == "crow")


def test_what_belongs_elsewhere_is_told_once() -> None:
    text = "channels: {4: v-tail-right}\nservos: {v-right: {moves: v-tail, plug: y.1},"
    text += " wheel: {moves: tail-wheel, plug: y.2}}\nleads: {y: {kind: y, plug: rx.4}}\n"
    assert found(RULE, text) == []
    assert len(found("wrong-channel", text)) == 1
