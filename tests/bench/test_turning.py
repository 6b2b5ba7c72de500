"""What to turn round when surfaces go wrong, against a model of the radio and the servos by hand.

A surface moves by `servo sense x channel sense x (pitch x elevator + roll x aileron)`; the advice
is applied to the model, and then every surface must go right.
"""

from __future__ import annotations

from itertools import product

import pytest
from bench.bench_plan import PLAN, bench_test, compared, protocol
from support import report_of

from harness.documents.transmitter import transmitter_chapter
from harness.paper.sheet import Table

WING = """\
plan: 1
aircraft: Test
places: {body: {}, wing-left: {joins: body, side: left}, wing-right: {joins: body, side: right}}
mixes: [{kind: elevon, made-in: transmitter}]
channels: {1: elevon-left, 2: elevon-right, 4: steering}
receivers: {rx: {sockets: 6}}
servos:
  left: {class: 9g-analogue, place: wing-left, moves: elevon, plug: rx.1}
  right: {class: 9g-analogue, place: wing-right, moves: elevon, plug: rx.2}
  nose: {class: 9g-analogue, moves: steering, plug: rx.4}
packs: {pack: {chemistry: nimh, cells: 4, capacity: 2 Ah, plug: rx.batt}}
"""
OPPOSITE = {"up": "down", "down": "up"}
RIGHT = {("left", "pitch"): "up", ("right", "pitch"): "up",
         ("left", "roll"): "down", ("right", "roll"): "up"}  # fmt: skip
"""Common practice: stick back, both up; stick to the right, left down and right up."""


def advice(wrong: set[tuple[str, str]], done: set[tuple[str, str]] | None = None) -> dict[str, str]:
    """Record the four directions, some of them wrong; return what to do by test."""
    lines = ""
    for (servo, stick), way in RIGHT.items():
        if done is None or (servo, stick) in done:
            seen = OPPOSITE[way] if (servo, stick) in wrong else way
            lines += f"  direction.{servo}.{stick}: {seen}\n"
    return {one.id: one.mend for one in compared(lines, WING).compared if one.mend}


@pytest.mark.parametrize("reversed_", list(product([1, -1], repeat=2)), ids=str)
def test_a_channel_set_wrong_is_reversed_and_never_the_mix(reversed_: tuple[int, int]) -> None:
    """Channel sense -1 turns both sticks of that servo: two of two are wrong."""
    senses = dict(zip(("left", "right"), reversed_, strict=True))
    wrong = {(servo, stick) for servo, stick in RIGHT if senses[servo] < 0}
    found = advice(wrong)
    assert set(found) == {f"direction.{servo}.{stick}" for servo, stick in wrong}
    for name, said in found.items():
        channel = {"left": "1", "right": "2"}[name.split(".")[1]]
        assert f"reverse channel {channel} in the transmitter" in said
        assert "input of its mix" not in said


@pytest.mark.parametrize(("stick", "word"), [("pitch", "elevator"), ("roll", "aileron")])
def test_an_input_of_the_mix_set_wrong_is_turned_round_and_never_the_channel(
    stick: str, word: str
) -> None:
    """Weight -1 of one stick: that stick is wrong on both servos, the other right on both."""
    found = advice({(servo, one) for servo, one in RIGHT if one == stick})
    assert set(found) == {f"direction.left.{stick}", f"direction.right.{stick}"}
    for said in found.values():
        assert f"turn the {word} input of its mix round in the transmitter" in said
        assert "reverse channel" not in said


def test_swapped_plugs_look_the_same_and_are_told_apart() -> None:
    """left = p + r, right = p - r: swapped, p is right and r wrong on both sides."""
    found = advice({("left", "roll"), ("right", "roll")})
    said = found["direction.left.roll"]
    assert "pull the plug out of rx.1" in said
    assert "If right does instead, the two plugs are swapped" in said


def test_one_direction_alone_says_both_and_does_not_guess() -> None:
    said = advice({("left", "roll")}, {("left", "roll")})["direction.left.roll"]
    assert said == bench_test("direction.left.roll", WING).mend
    assert "every direction of left wrong: reverse channel 1" in said
    assert "only this direction wrong: turn the aileron input" in said


@pytest.mark.parametrize(
    ("kind", "base", "sticks"),
    [("v-tail", "v-tail", {"pitch", "yaw"}), ("flaperon", "flaperon", {"roll", "flaps"}),
     ("crow", "aileron", {"roll", "crow"})],
)  # fmt: skip
def test_every_mixed_surface_has_both_ways_out(kind: str, base: str, sticks: set[str]) -> None:
    text = WING.replace("kind: elevon", f"kind: {kind}").replace("elevon", base)
    for stick in sticks:
        said = bench_test(f"direction.left.{stick}", text).mend
        assert "every direction of left wrong: reverse channel 1" in said
        assert "only this direction wrong: turn the" in said
        assert "not the channel" in said
        assert "Y-lead" not in said


def test_a_mix_in_the_autopilot_is_turned_round_there() -> None:
    said = bench_test("direction.left.roll", WING.replace("made-in: transmitter",
                                                          "made-in: autopilot")).mend  # fmt: skip
    assert "input of its mix round in the autopilot" in said


def test_ailerons_on_a_y_lead_turn_together_or_by_a_reverser() -> None:
    both = "  direction.aileron-left.roll: {}\n  direction.aileron-right.roll: {}\n"
    for left, right, words, never in (
        ("up", "down", "reverse channel 1", "reverser"),
        ("up", "up", "an in-line reverser into the lead of aileron-left", "reverse channel"),
    ):
        found = {c.id: c.mend for c in compared(both.format(left, right)).compared if c.mend}
        said = found["direction.aileron-left.roll"]
        assert words in said
        assert never not in said
    assert "on the same Y-lead" in bench_test("direction.aileron-left.roll").mend


def test_a_servo_that_is_fixed_is_not_turned_over() -> None:
    assert "turn the servo over" in bench_test("direction.aileron-left.roll").mend
    fixed = PLAN.replace("shaft: left,", "shaft: left, fixed: yes,")
    assert "turn the servo over" not in bench_test("direction.aileron-left.roll", fixed).mend


def test_steering_has_a_stick_and_a_channel_and_nothing_else() -> None:
    said = bench_test("direction.nose.steer", WING).mend
    assert "reverse channel 4" in said
    assert not [word for word in ("switch", "Y-lead", "sequencer", "mix") if word in said]


def test_nothing_speaks_of_what_the_plan_has_not() -> None:
    for test in protocol(WING).tests.values():
        words = f"{test.title} {test.mend} {' '.join(test.how)}"
        assert not [w for w in ("sequencer", "door", "Y-lead") if w in words], test.id


def test_legs_without_a_sequencer_have_no_steps_to_set() -> None:
    legs = WING + (
        "retracts: {leg: {kind: self-contained, travel: 4 s, running: 0.4 A, stop: 1 A,"
        " moves: gear, plug: rx.5}}\n"
    )
    said = bench_test("gear-time.leg.down", legs).mend
    assert "sequencer" not in said
    assert "into the plan, as its travel" in said


def test_the_transmitter_sheet_says_the_same() -> None:
    (table,) = [b for b in transmitter_chapter(report_of(WING)).blocks
                if isinstance(b, Table) and b.title.startswith("Directions")]  # fmt: skip
    assert "for every stick: reverse its channel" in table.about
    assert "for one stick only: turn that input of its mix round" in table.about
    (plain,) = [b for b in transmitter_chapter(report_of(PLAN)).blocks
                if isinstance(b, Table) and b.title.startswith("Directions")]  # fmt: skip
    assert "mix" not in plain.about
    assert "an in-line reverser in its lead" in plain.about


def test_ailerons_on_two_channels_may_be_swapped_and_flaps_look_the_same_either_way() -> None:
    two = WING.replace("mixes: [{kind: elevon, made-in: transmitter}]\n", "").replace("elevon", "@")
    said = bench_test("direction.left.roll", two.replace("@", "aileron")).mend
    assert "reverse channel 1" in said
    assert "the two plugs are swapped" in said
    assert "swapped" not in bench_test("direction.left.flaps", two.replace("@", "flap")).mend
