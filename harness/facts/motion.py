"""Which way surfaces move on one pulse: parity of shafts, arms, horns and reversals.

    relation = shafts * arms * horns * reversals        each +1 or -1
    +1: both surfaces turn the same way about the aeroplane's axis; -1: opposite ways

Common practice; no published source.
"""

from __future__ import annotations

from dataclasses import dataclass

from harness.base.functions import plain
from harness.facts.signals import Drive, function_of, side_of
from harness.parts.servo import Servo
from harness.wiring.build import Wiring

TOGETHER = frozenset({"flap", "elevator", "spoiler", "rudder"})
"""Functions whose surfaces all turn the same way."""
APART = frozenset({"aileron", "gear-door"})
"""Functions whose left and right turn opposite ways."""

_SHAFTS = {"left": ("across", 1), "right": ("across", -1), "up": ("upright", 1)}
_SHAFTS["down"] = ("upright", -1)
_SEEN = {"up": ("up or down", 1), "down": ("up or down", -1), "left": ("left or right", 1)}
_SEEN |= {"right": ("left or right", -1), "open": ("open or closed", 1)}
_SEEN["closed"] = ("open or closed", -1)


@dataclass(frozen=True, slots=True)
class Sense:
    """Which way one servo's surface goes on a longer pulse, as far as the plan tells.

    Senses compare only within one `frame` ("across", "upright", or a pair of measured words).
    """

    drive: Drive
    frame: str
    way: int
    facts: str

    @property
    def measured(self) -> bool:
        """Say whether it was seen on the bench."""
        return self.frame in {"up or down", "left or right", "open or closed"}


def judged(function: str) -> str:
    """Return the base function when parity has something to say about it, else ""."""
    base = plain(function)
    base = next((word for word in sorted(TOGETHER | APART) if base.startswith(f"{word}-")), base)
    return base if base in TOGETHER | APART else ""


def wanted(wiring: Wiring, one: Sense, other: Sense, function: str) -> int | None:
    """Return +1 or -1: how two surfaces must turn on one pulse; None when a side is not known."""
    if one.frame == "open or closed" or function in TOGETHER:
        return 1
    sides = (side_of(wiring.plan, one.drive.part), side_of(wiring.plan, other.drive.part))
    if "" in sides:
        return None
    if sides[0] == sides[1]:
        return None if function == "gear-door" else 1
    return -1


def sense_of(drive: Drive) -> Sense | None:
    """Return a servo's sense; None when neither a measurement nor its shaft is stated."""
    servo = drive.part
    assert isinstance(servo, Servo)
    reversals = drive.reversals
    tail = "" if reversals > 0 else ", in-line reverser"
    if servo.measured:
        frame, way = _SEEN[servo.measured]
        return Sense(drive, frame, way * reversals, f"longer pulse: {servo.measured}{tail}")
    if not servo.shaft:
        return None
    frame, way = _SHAFTS[servo.shaft]
    way *= {"down": -1}.get(servo.arm, 1) * {"bottom": -1}.get(servo.horn, 1)
    way *= -1 if servo.reversed else 1
    return Sense(drive, frame, way * reversals, _facts(servo) + tail)


def _facts(servo: Servo) -> str:
    said = [f"shaft {servo.shaft}"]
    said += [f"arm {servo.arm}"] if servo.arm else []
    said += [f"horn {servo.horn}"] if servo.horn else []
    said += ["reversed"] if servo.reversed else []
    return ", ".join(said)


def shared(wiring: Wiring, group: list[Drive]) -> dict[str, list[Drive]]:
    """Return the servos of a shared signal by the function parity judges."""
    found: dict[str, list[Drive]] = {}
    for drive in group:
        if drive.part.swings:
            function = judged(function_of(wiring.plan, drive))
            found.setdefault(function, []).append(drive)
    found.pop("", None)
    return {function: drives for function, drives in found.items() if len(drives) > 1}
