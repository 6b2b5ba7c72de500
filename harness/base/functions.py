"""The functions of an aeroplane in builders' words: which words mean the same, and which side."""

from __future__ import annotations

import re
from functools import cache

SIDES = ("left", "right")

_SAME = {
    "motor": "throttle",
    "thrust": "throttle",
    "landing-gear": "gear",
    "retract": "gear",
    "undercarriage": "gear",
    "door": "gear-door",
    "airbrake": "spoiler",
    "air-brake": "spoiler",
    "ruddervator": "v-tail",
    "vtail": "v-tail",
    "nose-wheel": "steering",
    "nosewheel": "steering",
    "nose-steering": "steering",
}
_CARRIES = {
    "flaperon": {"aileron", "flap"},
    "spoileron": {"aileron", "spoiler"},
    "elevon": {"aileron", "elevator"},
    "taileron": {"aileron", "elevator"},
    "v-tail": {"elevator", "rudder"},
    "rudder": {"steering"},
    "gear": {"gear-door"},
}
"""What else hangs on a channel of that name: both halves of a mix, and what a Y-lead may join."""

FAMILIAR = frozenset(
    {*_CARRIES, *(word for words in _CARRIES.values() for word in words), "throttle", "spoiler"}
)
"""Functions every builder knows; any other word is the plan's own."""


def side_in(function: str) -> str:
    """Return the side a function names: left, right or ""."""
    words = function.lower().split("-")
    return next((side for side in SIDES if side in words), "")


@cache
def plain(function: str) -> str:
    """Return a function without side, number and plural: ailerons-left is aileron."""
    words = [w for w in function.lower().split("-") if w not in SIDES]
    while len(words) > 1 and words[-1].isdigit():
        words.pop()
    word = re.sub(r"[0-9]+$", "", "-".join(words)) or function.lower()
    word = word[:-1] if word.endswith("s") and not word.endswith("ss") else word
    return _SAME.get(word, word)


def agree(moves: str, channel: str) -> bool:
    """Say whether a part that moves one function belongs on a channel of another name.

    Either way round: aileron on flaperon, flap-inner on flap, steering on rudder.
    """
    one, other = plain(moves), plain(channel)
    if side_in(moves) and side_in(channel) and side_in(moves) != side_in(channel):
        return False
    return (
        one == other
        or one.startswith(f"{other}-")
        or other.startswith(f"{one}-")
        or one in _CARRIES.get(other, ())
        or other in _CARRIES.get(one, ())
    )


def is_familiar(function: str) -> bool:
    """Say whether a function is one that every builder knows."""
    return plain(function) in FAMILIAR
