"""Mixes in a builder's words."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.near import spoken
from harness.plan.radio import Mix

MIXES: Mapping[str, tuple[str, str]] = {
    "flaperon": ("flaperon", "both ailerons droop together as flaps, and still work as ailerons"),
    "differential": ("differential", "each aileron goes further up than down"),
    "crow": ("crow", "ailerons up while flaps go down"),
    "v-tail": ("V-tail", "both halves go alike for the elevator and against each other for the"
               " rudder"),
    "elevon": ("elevon", "both halves go alike for the elevator and against each other for the"
               " ailerons"),
    "differential-thrust": ("differential thrust", "the rudder stick speeds up the motor on the"
                            " outside of the turn"),
    "own-trim": ("own trim", "each side is trimmed by itself"),
    "flap-to-elevator": ("flap to elevator", "the elevator is trimmed as the flaps go down, so that"
                         " the nose stays where it was"),
}  # fmt: skip
"""Each mix: its name, and what it does."""


def mix_words(mix: Mix) -> str:
    """Return what a mix does, with the functions it is said to be of."""
    of = f" ({spoken(mix.of)})" if mix.of else ""
    return f"{MIXES[mix.kind][1]}{of}"
