"""The words for functions, as builders write them; common practice, no source."""

from __future__ import annotations

import pytest

from harness.catalogue import load
from harness.catalogue.functions import BESIDE, PAIRS, TABLE, vocabulary

WORDS = vocabulary()


@pytest.mark.parametrize(
    ("text", "base", "side"),
    [
        ("ailerons", "aileron", ""),
        ("aileron-l", "aileron", "left"),
        ("R-aileron", "aileron", "right"),
        ("left-aileron", "aileron", "left"),
        ("aileron1", "aileron", ""),
        ("Aileron_2", "aileron", ""),
        ("aileron-port", "aileron", "left"),
        ("starboard-flap", "flap", "right"),
        ("flap-inner-left", "flap", "left"),
        ("inner-flap", "flap", ""),
        ("elevator-half", "elevator", ""),
        ("elevator-halves", "elevator", ""),
        ("rudder-top", "rudder", ""),
        ("v-tail-left", "v-tail", "left"),
        ("V-Tail", "v-tail", ""),
        ("vtail", "v-tail", ""),
        ("ruddervators", "v-tail", ""),
        ("elevon-2", "elevon", ""),
        ("delta-wing", "elevon", ""),
        ("tailerons", "taileron", ""),
        ("flaperon-r", "flaperon", "right"),
        ("spoilerons", "spoileron", ""),
        ("airbrakes", "spoiler", ""),
        ("air-brake", "spoiler", ""),
        ("slats", "slat", ""),
        ("canards", "canard", ""),
        ("thrust-vectoring", "thrust-vector", ""),
        ("tail-wheel", "tail-wheel", ""),
        ("nosewheel", "steering", ""),
        ("nose-gear", "gear", ""),
        ("main-gear-left", "gear", "left"),
        ("nose-gear-door", "gear-door", ""),
        ("doors", "gear-door", ""),
        ("bomb-bay", "bay-door", ""),
        ("motors", "throttle", ""),
        ("motor-tilt", "tilt", ""),
        ("thrust-reverser", "thrust-reverser", ""),
        ("camera-pan", "camera", ""),
        ("camera-tilt", "camera", ""),
        ("landing-lights", "light", ""),
        ("tow-release", "hook", ""),
        ("wheel-brakes", "brake", ""),
        ("brake-chute", "parachute", ""),
        ("payload-drop", "payload", ""),
    ],
)
def test_builders_words(text: str, base: str, side: str) -> None:
    assert WORDS.find(text) is not None
    assert (WORDS.base(text), WORDS.side(text)) == (base, side)


@pytest.mark.parametrize(
    "text", ["querruder", "gear-motor", "lift-1", "rear-wheel", "left", "", "r"]
)
def test_other_words_stay_the_builders_own(text: str) -> None:
    assert WORDS.find(text) is None
    assert WORDS.pair(text) == ""


@pytest.mark.parametrize(
    ("moves", "channel", "agree"),
    [
        ("aileron", "flaperon", True),
        ("aileron-left", "flaperon-right", False),
        ("elevon", "aileron", True),
        ("steering", "rudder", True),
        ("gear-door", "gear", True),
        ("slats", "flaps", True),
        ("canard", "elevator", True),
        ("inner-flap", "flap", True),
        ("motor-2", "throttle", True),
        ("flap", "aileron", False),
        ("v-tail", "aileron", False),
        ("hook", "throttle", False),
        ("hook-left", "hook", True),
        ("wedge-big", "wedge", True),
        ("wedge", "keel", False),
    ],
)
def test_what_belongs_on_which_channel(moves: str, channel: str, agree: bool) -> None:
    assert WORDS.agree(moves, channel) is agree


def test_what_moves_for_two_sticks_needs_a_channel_each() -> None:
    both = {name: set(f.mixes) for name, f in WORDS.functions.items() if f.mixes}
    assert both == {
        "elevon": {"elevator", "aileron"}, "taileron": {"elevator", "aileron"},
        "v-tail": {"elevator", "rudder"}, "a-tail": {"elevator", "rudder"},
        "flaperon": {"aileron", "flap"}, "spoileron": {"aileron", "spoiler"},
    }  # fmt: skip
    assert all(WORDS.pair(name) == "own" for name in both)
    assert WORDS.sticks("elevon") == ("pitch", "roll")


def test_the_table_holds_together() -> None:
    catalogue = load()
    names = set(WORDS.functions)
    for function in WORDS.functions.values():
        assert function.pair in PAIRS
        assert function.beside in {"", *BESIDE}
        assert not function.beside or function.on
        assert {*function.mixes, *function.on, *function.shares} <= names
    for row in catalogue.rows(TABLE):
        means = catalogue.value(TABLE, row, "means")
        assert means is None or means.text in names
        assert means is None or WORDS.base(row) == means.text, row
        assert row not in names or WORDS.base(row) == row


def test_nearest_first_and_few() -> None:
    assert WORDS.nearest("flpa")[0] == "flap"
    assert WORDS.nearest("querruder")[0] == "rudder"
    assert len(WORDS.nearest("x")) == 4
