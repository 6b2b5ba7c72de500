"""When doors and legs move: a sequencer's steps laid against what hangs on its outlets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from harness.base.functions import plain
from harness.base.span import Span
from harness.facts.signals import channel_key, drive_of, drives, function_of
from harness.parts.figure import Figure
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
