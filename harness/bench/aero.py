"""Which way a surface must move for a movement of a stick, from what it has to do in the air.

A stick asks for a turn of the aeroplane; the turn needs a push of the air on the surface; the
trailing edge goes to the side the push must not come from: a surface whose edge goes up throws the
air up and is itself pushed down. So with the push F that is wanted and the surface's own upper (or
right) side n, the edge goes towards n where F . n < 0. Axes: y to the right, z up, as seen from
behind. Common practice; no published source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from harness.base.functions import plain

Vector = tuple[float, float]
"""(to the right, up), as seen from behind."""


@dataclass(frozen=True, slots=True)
class Stick:
    """A movement at the transmitter: its word in the ids of tests, and what is done."""

    id: str
    words: str

    @property
    def is_switch(self) -> bool:
        """Say whether it is a switch, and so can be turned round by itself."""
        return " switch" in self.words


ROLL = Stick("roll", "aileron stick to the right")
PITCH = Stick("pitch", "elevator stick back, towards you")
YAW = Stick("yaw", "rudder stick to the right")
FLAPS = Stick("flaps", "flap switch to landing")
BRAKES = Stick("brakes", "spoiler or airbrake switch to out")
CROW = Stick("crow", "crow or butterfly switch on")
STEER = Stick("steer", "steering stick to the right")
GEAR = Stick("gear", "gear switch moved, when its turn comes")

STICKS = (ROLL, PITCH, YAW, FLAPS, BRAKES, CROW, STEER, GEAR)

ON_STICKS: Mapping[str, tuple[Stick, ...]] = {
    "aileron": (ROLL,),
    "elevator": (PITCH,),
    "rudder": (YAW,),
    "v-tail": (PITCH, YAW),
    "elevon": (PITCH, ROLL),
    "taileron": (PITCH, ROLL),
    "flaperon": (ROLL, FLAPS),
    "spoileron": (ROLL, BRAKES),
    "flap": (FLAPS,),
    "spoiler": (BRAKES,),
    "steering": (STEER,),
    "gear-door": (GEAR,),
}
"""What each kind of surface answers to."""

INPUTS: Mapping[str, str] = {
    ROLL.id: "aileron", PITCH.id: "elevator", YAW.id: "rudder", FLAPS.id: "flap",
    BRAKES.id: "spoiler", CROW.id: "crow", STEER.id: "steering", GEAR.id: "gear",
}  # fmt: skip
"""What the input of a mix is called, by stick."""

STEERED = frozenset({ROLL.id, PITCH.id, YAW.id})
UPRIGHT = ("right", "left")
LEVEL = ("up", "down")
_PLAIN: Mapping[str, tuple[str, tuple[str, ...]]] = {
    FLAPS.id: ("down", LEVEL),
    BRAKES.id: ("up", LEVEL),
    STEER.id: ("right", UPRIGHT),
    GEAR.id: ("open", ("open", "closed")),
}
"""What needs no thought: flaps go down, spoilers up, wheels where the stick goes, doors open."""


@dataclass(frozen=True, slots=True)
class SurfaceWay:
    """How a surface must move: the word as seen from behind, the words it can be, and why."""

    stick: Stick
    word: str
    choices: tuple[str, ...]
    why: str


def base_of(function: str) -> str:
    """Return the kind of surface a function moves, or "" when nothing is known of it."""
    word = plain(function)
    if word in ON_STICKS:
        return word
    return next((kind for kind in ON_STICKS if word.startswith(f"{kind}-")), "")


def ways_of(function: str, side: str, *, crow: bool = False) -> tuple[SurfaceWay, ...] | None:
    """Return how a surface must move; None when its side is needed and not known.

    `side`: left, right or "". `crow`: it takes part in a crow mix.
    """
    kind = base_of(function)
    sticks = ON_STICKS.get(kind, ())
    if side == "" and any(_sided(kind, stick) for stick in sticks):
        return None
    found = [_way(kind, stick, side) for stick in sticks]
    if crow and kind in {"aileron", "flap", "flaperon"}:
        word = "down" if kind == "flap" else "up"
        why = "crow brakes: the ailerons go up while the flaps go down"
        found.append(SurfaceWay(CROW, word, LEVEL, why))
    return tuple(found)


def _sided(kind: str, stick: Stick) -> bool:
    return stick is ROLL or (kind == "v-tail" and stick is YAW)


def _way(kind: str, stick: Stick, side: str) -> SurfaceWay:
    if stick.id not in STEERED:
        word, choices = _PLAIN[stick.id]
        what = "switch" if stick.is_switch else "stick"
        return SurfaceWay(stick, word, choices, f"what the {what} says")
    push, turn = _push(stick, side)
    upper = _upper(kind, side)
    towards = push[0] * upper[0] + push[1] * upper[1] < 0
    words = UPRIGHT if kind == "rudder" else LEVEL
    word = words[0] if towards else words[1]
    return SurfaceWay(stick, word, words, f"{turn}: {_aim(push)}, so its trailing edge goes {word}")


def _push(stick: Stick, side: str) -> tuple[Vector, str]:
    """Return what the air must do to a surface, and the turn of the aeroplane that asks for it."""
    if stick is ROLL:
        up = 1.0 if side == "left" else -1.0
        return (0.0, up), "roll to the right"
    if stick is PITCH:
        return (0.0, -1.0), "nose up, which is tail down"
    return (-1.0, 0.0), "nose to the right, which is tail to the left"


def _upper(kind: str, side: str) -> Vector:
    """Return the upper side of a surface, of a fin its right one.

    The two halves of an upright V lean outwards: the upper side of each looks inwards too.
    """
    if kind == "rudder":
        return (1.0, 0.0)
    if kind == "v-tail":
        return (1.0 if side == "left" else -1.0, 1.0)
    return (0.0, 1.0)


def _aim(push: Vector) -> str:
    words = {(0.0, 1.0): "up", (0.0, -1.0): "down", (-1.0, 0.0): "to the left"}
    return f"the air must push it {words[push]}"
