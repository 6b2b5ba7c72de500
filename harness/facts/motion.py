"""What moves which way and when: surfaces on one pulse, doors and legs in sequence, what turns.

Parity of shafts, arms, horns and reversals:

    relation = shafts * arms * horns * reversals        each +1 or -1
    +1: both surfaces turn the same way about the aeroplane's axis; -1: opposite ways

Common practice; no published source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from harness.base.functions import plain
from harness.base.near import spoken
from harness.base.span import Span
from harness.facts.signals import Drive, channel_key, drive_of, drives, function_of, side_of
from harness.parts.figure import Figure
from harness.parts.motor import Motor
from harness.parts.part import Part, of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer, Step
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.gear import (
    DIRECTIONS,
    in_bay,
    is_door,
    last_step,
    on_outlets,
    opens_or_closes,
    steps_of,
)

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
    (servo,) = of_kind(Servo, [drive.part])
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


@dataclass(frozen=True, slots=True)
class LegRun:
    """Legs that start together. `start` in s from the switch."""

    start: float
    legs: tuple[Retract, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class DoorMoves:
    """What one door outlet does in one direction, and the leg runs of its own bay."""

    outlet: str
    doors: tuple[Servo, ...]
    direction: str
    opens: tuple[Step, ...]
    closes: tuple[Step, ...]
    before: str
    """Where the last step before this direction left the doors: open, closed or ""."""
    runs: tuple[LegRun, ...]


def slowest(
    plan: Plan, runs: tuple[LegRun, ...], share: float
) -> tuple[float, Retract, Figure, LegRun]:
    """Return the latest arrival in s, its leg, that leg's travel and its run."""
    every = [
        (run.start + travel.number * (1 + share), leg, travel, run)
        for run in runs
        for leg in run.legs
        if (travel := leg.travel_time(plan.catalogue)) is not None
    ]
    return max(every, key=lambda found: found[0])


def unsequenced_legs(wiring: Wiring, box: Sequencer) -> list[LegRun]:
    """Return legs on the sequencer's own channel that it does not delay: they start at 0 s."""
    above = drive_of(wiring, box)
    own = channel_key(above) if above else None
    return [
        LegRun(0.0, (leg,), drive.span)
        for drive in drives(wiring)
        for leg in of_kind(Retract, [drive.part])
        if own and not drive.sequenced and channel_key(drive) == own
    ]


def door_moves(wiring: Wiring, box: Sequencer) -> Iterator[DoorMoves]:
    """Yield each door outlet's moves, one way and the other, where legs move too."""
    parts = on_outlets(wiring, box)
    loose = unsequenced_legs(wiring, box)
    for outlet, found in parts.items():
        doors = tuple(p for p in of_kind(Servo, found) if is_door(p))
        if not doors:
            continue
        for direction in DIRECTIONS:
            runs = _own_bay(doors, [*_runs(box, parts, direction), *loose])
            steps = [step for step in steps_of(box, direction) if step.outlet == outlet]
            if runs:
                yield DoorMoves(
                    outlet,
                    doors,
                    direction,
                    tuple(s for s in steps if opens_or_closes(s) == "open"),
                    tuple(s for s in steps if opens_or_closes(s) == "closed"),
                    _left(box, outlet, direction),
                    tuple(runs),
                )


def _runs(box: Sequencer, parts: dict[str, list[Part]], direction: str) -> list[LegRun]:
    found = []
    for step in steps_of(box, direction):
        legs = tuple(of_kind(Retract, parts.get(step.outlet, ())))
        if legs:
            found.append(LegRun(step.start, legs, step.spans["start"]))
    return found


def _own_bay(doors: tuple[Servo, ...], runs: list[LegRun]) -> list[LegRun]:
    """Keep the legs of the doors' own bay."""
    near = in_bay(doors, [leg for run in runs for leg in run.legs])
    kept = [LegRun(r.start, tuple(leg for leg in r.legs if leg in near), r.span) for r in runs]
    return [run for run in kept if run.legs]


def _left(box: Sequencer, outlet: str, direction: str) -> str:
    """Return where the other direction, or else the last time this one, left the doors."""
    step = last_step(box, outlet, direction)
    return opens_or_closes(step) if step else ""


def stray_doors(wiring: Wiring) -> Iterator[tuple[Part, Span, bool]]:
    """Yield each door servo no sequencer delays: (servo, its plug, legs on the same channel)."""
    legs = [drive for drive in drives(wiring) if drive.part.is_leg]
    channels = {channel_key(drive) for drive in legs} - {None}
    for drive in drives(wiring):
        door = drive.part.swings and plain(function_of(wiring.plan, drive)).startswith("gear-door")
        if door and not drive.sequenced and legs:
            yield drive.part, drive.span, channel_key(drive) in channels


_ON = {"off": "on", "unplugged": "plugged in"}
_ORDER = {"off": "take {}s off", "unplugged": "unplug {}s"}
_DEAD = {"off": "{} off, motor unplugged", "unplugged": "{} unplugged"}


@dataclass(frozen=True, slots=True)
class Turning:
    """What turns, one of each sort; a plan that names nothing that turns has propellers.

    Every word is said of the sorts that are there and of no other.
    """

    sorts: tuple[type[Part], ...]

    @property
    def one(self) -> str:
        """Propeller, or: propeller or fan."""
        return spoken([sort.spins for sort in self.sorts], "or")

    @property
    def many(self) -> str:
        """Propellers, or: propellers and fans."""
        return spoken([f"{sort.spins}s" for sort in self.sorts])

    @property
    def off(self) -> str:
        """How they are before a test: propellers off, fans unplugged."""
        return ", ".join(f"{sort.spins}s {sort.made_safe}" for sort in self.sorts)

    @property
    def on(self) -> str:
        """How they are for a test under power: propellers on, fans plugged in."""
        return ", ".join(f"{sort.spins}s {_ON[sort.made_safe]}" for sort in self.sorts)

    @property
    def one_on(self) -> str:
        """The same of one: propeller on."""
        return " or ".join(f"{sort.spins} {_ON[sort.made_safe]}" for sort in self.sorts)

    @property
    def order(self) -> str:
        """What is done before a test: take propellers off and unplug fans."""
        return " and ".join(_ORDER[sort.made_safe].format(sort.spins) for sort in self.sorts)

    @property
    def dead(self) -> str:
        """How a motor is kept still while its ESC is tried: propeller off, motor unplugged."""
        return "; ".join(_DEAD[sort.made_safe].format(sort.spins) for sort in self.sorts)

    @property
    def tried_bare(self) -> str:
        """How it is seen on the bench which way they turn."""
        return "; ".join(sort.tried_bare for sort in self.sorts)


def turning(plan: Plan) -> Turning:
    """Return what turns on a plan."""
    return turning_of(plan.of(Motor))


def turning_of(parts: Iterable[Part]) -> Turning:
    """Return what some parts turn."""
    sorts = {type(part) for part in parts if part.spins}
    return Turning(tuple(sorted(sorts, key=lambda sort: sort.rank))) if sorts else PROPELLERS


PROPELLERS = Turning((Motor,))
