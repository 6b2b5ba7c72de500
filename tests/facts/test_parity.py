"""Which way surfaces go on one pulse, against rotations that are turned through vector by vector.

The rule of parity (shafts, arms, horns, reversals) is common practice, no source. What it is held
against here is plain mechanics: a shaft that turns, an arm on it, a rod that keeps its length, a
horn on a hinged surface.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np
import pytest
from control_support import found, missing
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from support import plan_of

from harness.facts.parity import compare

RULE = "shared-channel-motion"
FORWARD, RIGHT, UP = np.eye(3)
Vector = NDArray[np.float64]
SHAFTS = {"left": -RIGHT, "right": RIGHT, "up": UP, "down": -UP}
ASIDE = {"left": (UP, RIGHT), "right": (UP, RIGHT), "up": (RIGHT, UP), "down": (RIGHT, UP)}
"""By shaft: where an arm stands that is `up`, and the hinge line of the surface."""


@dataclass(frozen=True)
class Made:
    """A servo as it is built in, and what the plan says of it."""

    id: str
    side: str
    shaft: str = "left"
    arm: str = "up"
    horn: str = "top"
    reversed: bool = False
    reverser: bool = False
    stated: bool = True
    measured: str = ""

    def keys(self) -> str:
        said = []
        if self.stated:
            turned = "yes" if self.reversed else "no"
            said = [f"shaft: {self.shaft}", f"arm: {self.arm}", f"horn: {self.horn}",
                    f"reversed: {turned}"]  # fmt: skip
        return ", ".join([*said, *([f"measured: {self.measured}"] if self.measured else [])])


def turned(servo: Made, way: float = 1.0) -> float:
    """Return how far a surface turns about its hinge on a longer pulse, worked out by vectors.

    `way`: whether a longer pulse turns servos of this make forwards or backwards.
    """
    arm, hinge = ASIDE[servo.shaft]
    arm = arm if servo.arm == "up" else -arm
    pulse = way * (-1.0 if servo.reversed else 1.0) * (-1.0 if servo.reverser else 1.0)
    tip = np.cross(pulse * SHAFTS[servo.shaft], arm)  # of the arm, on a small turn
    rod = float(tip @ FORWARD)
    horn = np.cross(hinge, FORWARD) * -1.0  # the upper face, or of a fin its one side
    horn = horn if servo.horn == "top" else -horn
    return rod / float(np.cross(hinge, horn) @ FORWARD)


def whole(servos: list[Made], moves: str) -> str:
    """Return a plan with all of them on one channel."""
    ends = {s.id: f"r{n}.1" if s.reverser else f"n.{n}" for n, s in enumerate(servos, 1)}
    lines = [f"  {s.id}: {{moves: {moves}-{s.side}, plug: {ends[s.id]}, {s.keys()}}}".replace(
        ", }", "}") for s in servos]  # fmt: skip
    leads = [f"  r{n}: {{kind: reverser, plug: n.{n}}}"
             for n, s in enumerate(servos, 1) if s.reverser]  # fmt: skip
    head = f"servos:\n{chr(10).join(lines)}\nleads:\n  n: {{kind: n-way, ways: 4, plug: rx.1}}\n"
    return head + "\n".join(leads)


def wrong(servos: list[Made], moves: str) -> bool:
    """Say whether the surfaces go another way than they must, by their turns."""
    ways = {turned(s) * (-1 if moves == "aileron" and s.side == "right" else 1) for s in servos}
    return len({way > 0 for way in ways}) > 1


def made(shafts: tuple[str, ...]) -> st.SearchStrategy[list[Made]]:
    flags = st.booleans()
    one = st.builds(
        Made,
        id=st.just(""),
        side=st.sampled_from(["left", "right"]),
        shaft=st.sampled_from(shafts),
        arm=st.sampled_from(["up", "down"]),
        horn=st.sampled_from(["top", "bottom"]),
        reversed=flags,
        reverser=flags,
    )
    several = st.lists(one, min_size=2, max_size=4)
    return several.map(lambda every: [replace(s, id=f"s{n}") for n, s in enumerate(every)])


FLYING = st.sampled_from(
    [("aileron", ("left", "right")), ("flap", ("left", "right")), ("elevator", ("left", "right")),
     ("rudder", ("up", "down"))]
)  # fmt: skip


@settings(max_examples=100, deadline=None)
@given(FLYING.flatmap(lambda kind: st.tuples(st.just(kind[0]), made(kind[1]))))
def test_parity_is_what_the_rotations_do(drawn: tuple[str, list[Made]]) -> None:
    moves, servos = drawn
    assert bool(found(RULE, whole(servos, moves))) == wrong(servos, moves)


@pytest.mark.parametrize("shaft", ["left", "up"])
@pytest.mark.parametrize("keys", list(itertools.product("ud", "tb", [False, True])))
def test_the_simulation_turns_round_once_for_each_fact(
    shaft: str, keys: tuple[str, str, bool]
) -> None:
    """The oracle itself, by hand: each of arm, horn and reversal turns the surface round."""
    arm, horn, back = (
        {"u": "up", "d": "down"}[keys[0]],
        {"t": "top", "b": "bottom"}[keys[1]],
        keys[2],
    )
    flips = (arm == "down") + (horn == "bottom") + back
    plain = turned(Made("s", "left", shaft))
    assert turned(Made("s", "left", shaft, arm, horn, back)) == pytest.approx(plain * (-1) ** flips)


MEASURES = st.sampled_from(["", "", "up", "down"])


@st.composite
def partly_told(draw: st.DrawFn) -> tuple[str, list[Made]]:
    """Servos of which some are measured, rightly or not, and some have no shaft stated."""
    moves, shafts = draw(FLYING)
    servos = draw(made(shafts))
    return moves, [replace(s, stated=draw(st.booleans()), measured=draw(MEASURES)) for s in servos]


def contradicts(servos: list[Made], one: Made) -> bool:
    """Say whether what was measured of a servo does not go with another that was measured too.

    Measured at the servo itself: the reverser in its lead is left out.
    """

    def tie(servo: Made) -> float:
        seen = 1.0 if servo.measured == "up" else -1.0
        return seen * turned(replace(servo, reverser=False))

    known = [s for s in servos if s.stated and s.measured]
    return one.stated and any(tie(s) != tie(one) for s in known)


@settings(max_examples=130, deadline=None)
@given(partly_told(), st.data())
def test_a_measured_fact_takes_no_error_away(
    drawn: tuple[str, list[Made]], data: st.DataObject
) -> None:
    moves, servos = drawn
    bare = [n for n, s in enumerate(servos) if not s.measured]
    assume(bare)
    n = data.draw(st.sampled_from(bare))
    more = list(servos)
    more[n] = replace(servos[n], measured=data.draw(st.sampled_from(["up", "down"])))
    assume(not contradicts(more, more[n]))
    if found(RULE, whole(servos, moves)):
        assert found(RULE, whole(more, moves))


@settings(max_examples=130, deadline=None)
@given(FLYING.flatmap(lambda kind: st.tuples(st.just(kind[0]), made(kind[1]))), st.data())
def test_what_is_told_truly_is_never_judged_wrongly(
    drawn: tuple[str, list[Made]], data: st.DataObject
) -> None:
    """Whatever is left out of a true plan: no false alarm, and silence only where it asks."""
    moves, servos = drawn
    way = data.draw(st.sampled_from([1.0, -1.0]))
    told = []
    for servo in servos:
        up = turned(replace(servo, reverser=False), way) > 0
        seen = ("up" if up else "down") if data.draw(st.booleans()) else ""
        told.append(replace(servo, measured=seen, stated=data.draw(st.booleans())))
    text = whole(told, moves)
    if found(RULE, text):
        assert wrong(servos, moves)
    elif not missing(RULE, text):
        assert not wrong(servos, moves)


@settings(max_examples=200, deadline=None)
@given(partly_told())
def test_all_that_is_not_compared_is_asked_for(drawn: tuple[str, list[Made]]) -> None:
    moves, servos = drawn
    plan = plan_of("receivers: {rx: {sockets: 8}}\n" + whole(servos, moves))
    turns = {s.id: -1 if s.reverser else 1 for s in servos}
    found_, gaps = compare(plan, "opposite" if moves == "aileron" else "same", turns)
    first = set(found_[0].ways) if found_ else set()
    asked = {gap.part.id for gap in gaps}
    assert len(first | asked) >= len(servos) - (not found_)
    assert not first & asked
    assert all(gap.key in {"shaft", "measured", "arm", "horn"} for gap in gaps)


PAIR = (
    "servos: {{f-left: {{moves: {0}, {1}, plug: y.1}}, f-right: {{moves: {0}, {2}, plug: y.2}}}}\n"
)
Y = "leads: {y: {kind: y, plug: rx.1}}\n"


# flaps on shafts that face opposite ways go against each other: the parity of them, common practice
@pytest.mark.parametrize(
    ("left", "right", "key"),
    [
        ("shaft: left, measured: up", "shaft: right", ""),
        ("shaft: left", "shaft: right, measured: down", ""),
        ("shaft: left, measured: up", "shaft: right, measured: down", ""),
        ("shaft: left, arm: up", "shaft: right", "arm"),
        ("shaft: left, arm: up, measured: up", "shaft: right, arm: up", ""),
        ("shaft: left, horn: top, measured: up", "shaft: right", "horn"),
    ],
)
def test_flaps_that_go_against_each_other_stay_told(left: str, right: str, key: str) -> None:
    text = PAIR.format("flap", left, right) + Y
    assert len(found(RULE, text)) == 1
    assert [gap.span.column > 0 and key in gap.missing for gap in missing(RULE, text)] == (
        [True] if key else []
    )


@pytest.mark.parametrize(
    ("left", "right", "who", "asked"),
    [
        # measured without a shaft: the other's measure ties them
        ("measured: up", "shaft: left", "f-right", "measured as for f-left"),
        ("shaft: left, arm: down", "shaft: left", "f-right", "its arm"),
        ("shaft: left, measured: up", "shaft: up", "f-right", "measured as for f-left"),
        ("measured: up", "measured: left", "f-right", "in the same words as f-left"),
        ("shaft: left", "shaft: up", "f-right", "also of f-left"),
    ],
)
def test_what_cannot_be_compared_is_asked_for(left: str, right: str, who: str, asked: str) -> None:
    text = PAIR.format("flap", left, right) + Y
    assert found(RULE, text) == []
    (gap,) = missing(RULE, text)
    assert gap.part == who
    assert asked in gap.missing


def test_two_measured_with_shafts_that_contradict_leave_the_third_open() -> None:
    """A and B were seen to agree although their shafts say otherwise: C agrees with either."""
    servos = [Made("a", "left", measured="up"), Made("b", "right", "right", measured="up"),
              Made("c", "left")]  # fmt: skip
    text = whole(servos, "flap")
    assert found(RULE, text) == []
    assert [gap.part for gap in missing(RULE, text)] == ["c"]


def test_a_third_servo_is_judged_through_one_that_is_known_both_ways() -> None:
    """C was only measured, B has only its shaft; A, known both ways, ties them."""
    servos = [Made("a", "left", measured="up"), Made("b", "right"),
              Made("c", "right", stated=False, measured="down")]  # fmt: skip
    (finding,) = found(RULE, whole(servos, "flap"))
    assert finding.parts[0] == "c"


@pytest.mark.parametrize(
    ("a", "c", "who"),
    [
        ("left", "right", "c"),
        ("right", "left", "c"),
        ("left", "left", "b"),
        ("right", "right", "b"),
    ],
)
def test_rudders_seen_to_go_left_and_right_are_tied_to_shafts_up_and_down(
    a: str, c: str, who: str
) -> None:
    """A and C were seen, A and B have shafts that face opposite ways: B goes against A."""
    servos = [Made("a", "left", "up", measured=a), Made("b", "right", "down"),
              Made("c", "right", stated=False, measured=c)]  # fmt: skip
    (finding,) = found(RULE, whole(servos, "rudder"))
    assert (finding.parts[0] == "a") == (who == "c")
    assert missing(RULE, whole(servos, "rudder")) == []
    pair = [servos[0], servos[2]]
    alone = [replace(servo, stated=False) for servo in pair]
    assert bool(found(RULE, whole(alone, "rudder"))) == (a != c)
    other = [alone[0], replace(alone[1], measured="up")]
    assert not found(RULE, whole(other, "rudder"))
    (gap,) = missing(RULE, whole(other, "rudder"))
    assert "in the same words" in gap.missing


@pytest.mark.parametrize(
    ("moves", "left", "right", "faults", "asked"),
    [
        # what geometry does not tell: both must be seen to do the same (common practice)
        ("wheel-brake", "shaft: left", "shaft: left", 0, 2),
        ("wheel-brake", "measured: closed", "measured: closed", 0, 0),
        ("wheel-brake", "measured: closed", "measured: open", 1, 0),
        # left and right doors are mirrored
        ("bomb-bay-door", "shaft: left", "shaft: left", 1, 0),
        ("bomb-bay-door", "shaft: left", "shaft: right", 0, 0),
        ("bomb-bay-door", "measured: open", "measured: open", 0, 0),
        ("canard", "shaft: left", "shaft: right", 1, 0),
        ("slats", "shaft: left", "shaft: right", 1, 0),
        ("camera", "shaft: left", "shaft: right", 0, 0),
        ("hokus", "shaft: left", "shaft: right", 0, 1),
    ],
)
def test_other_functions(moves: str, left: str, right: str, faults: int, asked: int) -> None:
    text = PAIR.format(moves, left, right) + Y
    assert len(found(RULE, text)) == faults
    assert len(missing(RULE, text)) == asked


@pytest.mark.parametrize("shaft", ["left", "up"])
def test_two_doors_on_one_side_are_asked_what_opens_them(shaft: str) -> None:
    doors = [Made(f"d{n}", side, shaft) for n, side in ((1, "left"), (2, "left"), (3, "right"))]
    text = whole(doors, "gear-door")
    assert len(found(RULE, text)) == 1  # d1 and d3 are mirrored, and lie the same hand
    (gap,) = missing(RULE, text)
    assert (gap.part, "opens it" in gap.missing) == ("d2", True)


@pytest.mark.parametrize("word", ["querruder", "frobnicator"])
def test_a_word_that_is_not_known_is_listed_with_the_nearest(word: str) -> None:
    text = PAIR.format(word, "shaft: left", "shaft: left") + Y
    (gap,) = missing(RULE, text)
    assert f'what "{word}" is' in gap.missing
    assert "functions" in gap.missing
    alone = f"servos: {{one: {{moves: {word}, plug: rx.1}}}}"
    assert missing(RULE, alone) == []


@pytest.mark.parametrize(("right", "faults"), [("left", 0), ("right", 1)])
def test_elevons_of_one_side_must_go_the_same_way(right: str, faults: int) -> None:
    text = PAIR.format("elevon", "shaft: left", f"shaft: {right}") + Y
    assert len(found(RULE, text.replace("f-right", "g-left"))) == faults
