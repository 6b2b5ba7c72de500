"""What moves when, doors and legs in sequence, and what turns."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.base.data import dataclass, replace
from harness.base.near import spoken
from harness.base.span import Span
from harness.facts.signals import base_of, channel_key, drive_of, drives
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
    door_way,
    in_bay,
    is_door,
    last_step,
    on_outlets,
    opens_or_closes,
    steps_of,
)


@dataclass(frozen=True, slots=True)
class LegRun:
    """Legs that start together. `start` in s from the switch; no `step`: nothing delays them."""

    start: float
    legs: tuple[Retract, ...]
    span: Span
    step: Step | None = None


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
                    tuple(s for s in steps if door_way(s) == "open"),
                    tuple(s for s in steps if door_way(s) == "closed"),
                    _left(box, outlet, direction),
                    tuple(runs),
                )


def _runs(box: Sequencer, parts: dict[str, list[Part]], direction: str) -> list[LegRun]:
    found = []
    for step in steps_of(box, direction):
        legs = tuple(of_kind(Retract, parts.get(step.outlet, ())))
        if legs:
            found.append(LegRun(step.start, legs, step.spans["start"], step))
    return found


def _own_bay(doors: tuple[Servo, ...], runs: list[LegRun]) -> list[LegRun]:
    """Keep the legs of the doors' own bay."""
    near = in_bay(doors, [leg for run in runs for leg in run.legs])
    kept = [replace(r, legs=tuple(leg for leg in r.legs if leg in near)) for r in runs]
    return [run for run in kept if run.legs]


def _left(box: Sequencer, outlet: str, direction: str) -> str:
    """Return where the other direction, or else the last time this one, left the doors."""
    step = last_step(box, outlet, direction)
    return door_way(step) if step else ""


def exchanged(wiring: Wiring, box: Sequencer) -> Iterator[tuple[str, str]]:
    """Yield each outlet that opens and closes with a leg on it, and the one it was meant for.

    That is one that goes up and down with a door on it: of the same bay, if there is one; or "".
    """
    parts = on_outlets(wiring, box)
    shuts = {s.outlet for way in DIRECTIONS for s in steps_of(box, way) if opens_or_closes(s)}
    others = [name for name, on in parts.items() if name not in shuts and any(map(is_door, on))]
    for name, on in parts.items():
        if legs := [part for part in on if part.is_leg and name in shuts]:
            bay = {leg.place for leg in legs} - {""}
            others.sort(key=lambda one: not bay & {part.place for part in parts[one]})
            yield name, others.pop(0) if others else ""


def stray_doors(wiring: Wiring) -> Iterator[tuple[Part, Span, bool]]:
    """Yield each door servo no sequencer delays: (servo, its plug, legs on the same channel)."""
    legs = [drive for drive in drives(wiring) if drive.part.is_leg]
    channels = {channel_key(drive) for drive in legs} - {None}
    for drive in drives(wiring):
        door = drive.part.swings and base_of(wiring.plan, drive) == "gear-door"
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

    def made_ready(self, *, full: bool = False) -> str:
        """Fans are plugged in before motors are tried, propellers fitted for `full` throttle."""
        safe, words = ("off", "fit {}") if full else ("unplugged", "plug {} in")
        some = [f"{sort.spins}s" for sort in self.sorts if sort.made_safe == safe]
        return words.format(spoken(some)) if some else ""

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
