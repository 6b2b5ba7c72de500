"""Gear doors are in the way of the legs.

What it looks for
    A sequencer's steps, down and up, against the legs that run: doors must be open half a second
    before a leg starts, and must not close before the slowest leg has had its time and 30 % more.
    Also a leg that runs into doors nobody opened, and doors on the gear's channel with no
    sequencer. Doors are laid against the legs of their own place, or against all legs.

Why it matters
    Models go by time alone: nothing tells the box where a leg is. A low battery makes a leg slow,
    and doors timed to the fastest one close on the slowest.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      door: {moves: gear-door, plug: gear-box.doors}
    retracts:
      leg-left: {kind: self-contained, travel: 3 s, plug: leg-y.1}
      leg-right: {kind: self-contained, travel: 5 s, plug: leg-y.2}
    leads:
      leg-y: {kind: y, plug: gear-box.legs}
    sequencers:
      gear-box:
        plug: rx.5
        outlets: [doors, legs]
        power-up: holds
        steps:
          down:
            - {outlet: doors, start: 0 s, end: 1 s, to: open}
            - {outlet: legs, start: 1.5 s, end: 6 s, to: down}
            - {outlet: doors, start: 6 s, end: 7 s, to: closed}
          up:
            - {outlet: doors, start: 0 s, end: 1 s, to: open}
            - {outlet: legs, start: 1.5 s, end: 8 s, to: up}
            - {outlet: doors, start: 8 s, end: 9 s, to: closed}

The same, mended
    sequencers:
      gear-box:
        steps:
          down:
            - {outlet: doors, start: 0 s, end: 1 s, to: open}
            - {outlet: legs, start: 1.5 s, end: 8 s, to: down}
            - {outlet: doors, start: 8 s, end: 9 s, to: closed}

Where it comes from
    Door-open time plus 0.5 s before the gear starts; the slowest leg plus 30 % before doors close.
    Common practice; no published source.
"""

from __future__ import annotations

import math

from harness.base.data import replace
from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.span import Span
from harness.facts import motion
from harness.facts.motion import DoorMoves, LegRun
from harness.facts.signals import named
from harness.facts.wording import in_plan, with_origin
from harness.parts.part import Part, of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer, Step
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.gear import DIRECTIONS, door_way, is_door, on_outlets, steps_of

NEARLY = 1e-9


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each step at fault once, and each door servo that nothing delays."""
    for part, span, with_legs in motion.stray_doors(desk.wiring):
        if with_legs:
            yield _no_delay(part, span)
        else:
            desk.not_known(part, "when the transmitter moves it against the legs", "plug")
    for box in desk.plan.of(Sequencer):
        legs = _legs(desk, box)
        if legs and _can_judge(desk, box, legs):
            yield from _box(desk, box)


def _no_delay(part: Part, span: Span) -> Finding:
    return check.finding(
        f"{part.named()} and the legs share a channel with no sequencer before the door: it closes"
        " while the legs still move",
        span,
        part,
        spot="plug",
        help="plug it into a sequencer that moves doors and legs one after the other",
    )


def _legs(desk: Desk, box: Sequencer) -> list[Retract]:
    """Return the legs that the doors on a box are for, on it or on another channel."""
    parts = [part for found in on_outlets(desk.wiring, box).values() for part in found]
    if not any(map(is_door, parts)):
        return []
    runs = motion.unsequenced_legs(desk.wiring, box)
    legs = [*of_kind(Retract, parts), *(leg for run in runs for leg in run.legs)]
    if not legs and any(True for _ in desk.plan.of(Retract)):
        desk.not_known(box, "when the legs on another channel start", "steps")
    return legs


def _can_judge(desk: Desk, box: Sequencer, legs: list[Retract]) -> bool:
    """List what is missing. An outlet that is not there, or is another's, is another rule's."""
    parts = on_outlets(desk.wiring, box)
    steps = [step for way in DIRECTIONS for step in steps_of(box, way)]
    if not steps:
        desk.not_known(box, "its steps: what moves when", "steps")
    if not steps or any(step.outlet not in box.outlets for step in steps):
        return False
    if any(motion.exchanged(desk.wiring, box)):
        return False
    vague = [s for s in steps if any(map(is_door, parts[s.outlet])) and not door_way(s)]
    if vague:
        missing = f'whether the step of "{vague[0].outlet}" opens or closes the doors (to)'
        desk.not_known(box, missing, "steps")
    slow = [leg for leg in legs if leg.travel_time(desk.plan.catalogue) is None]
    for leg in slow:
        desk.not_known(leg, "its travel from end to end, or its class", "travel")
    return not vague and not slow


def _box(desk: Desk, box: Sequencer) -> Findings:
    early: dict[Span, tuple[float, Finding]] = {}
    for moves in motion.door_moves(desk.wiring, box):
        for step in _behind(moves):
            yield from _closing(desk, box, moves, step)
        for run in moves.runs:
            need, finding = _opening(desk, box, moves, run)
            if finding and need > early.get(run.span, (-1.0, finding))[0]:
                early[run.span] = (need, finding)
    yield from (finding for _, finding in early.values())


def _behind(moves: DoorMoves) -> list[Step]:
    """Return the steps that close behind a leg: one that ends before the doors open does not."""
    first = [step.start for step in moves.opens]
    return [step for step in moves.closes if all(step.end > start for start in first)]


def _closing(desk: Desk, box: Sequencer, moves: DoorMoves, step: Step) -> Findings:
    share = desk.figure("doors", "slowest-leg")
    arrives, leg, travel, run = motion.slowest(desk.plan, moves.runs, share.number)
    if step.start >= arrives - NEARLY:
        return
    yield check.finding(
        f'{moves.direction}: doors on "{moves.outlet}" of {box.named()} start to close at'
        f" {step.start:g} s, but {leg.named()} may be on its way until {arrives:.3g} s",
        step.spans["start"],
        box,
        leg,
        *moves.doors,
        spot=moves.outlet,
        help=f"start closing at {_moved(step, arrives)} or later",
        numbers=(
            ("doors start to close", in_plan(f"{step.start:g} s", step.spans["start"])),
            ("leg starts", in_plan(f"{run.start:g} s", run.span)),
            (f"travel of {leg.id}", with_origin(f"{travel.number:g} s", travel)),
            ("added for a low battery", with_origin(f"{share.number * 100:g} %", share)),
        ),
    )


def _opening(
    desk: Desk, box: Sequencer, moves: DoorMoves, run: LegRun
) -> tuple[float, Finding | None]:
    """Return when the leg may start, and the finding when it starts before."""
    if not moves.opens:
        return 0.0, _never_opened(box, moves, run) if moves.before == "closed" else None
    margin = desk.figure("doors", "margin")
    step = min(moves.opens, key=lambda s: s.end)
    need = step.end + margin.number
    if run.start >= need - NEARLY:
        return need, None
    return need, check.finding(
        f"{moves.direction}: {named(run.legs)} start at {run.start:g} s, but the doors on"
        f' "{moves.outlet}" of {box.named()} are open at {step.end:g} s: not before {need:g} s',
        run.span,
        box,
        *run.legs,
        *moves.doors,
        spot=moves.outlet,
        help=_delayed(desk, box, moves, run, need),
        numbers=(
            ("doors are open", in_plan(f"{step.end:g} s", step.spans["end"])),
            ("leg starts", in_plan(f"{run.start:g} s", run.span)),
            ("between them", with_origin(f"{margin.number:g} s", margin)),
        ),
    )


def _never_opened(box: Sequencer, moves: DoorMoves, run: LegRun) -> Finding:
    return check.finding(
        f"{moves.direction}: {named(run.legs)} run into the doors on"
        f' "{moves.outlet}" of {box.named()}: no step opens them, and they were left closed',
        run.span,
        box,
        *run.legs,
        *moves.doors,
        spot=moves.outlet,
        help=f"add a step to `{moves.direction}` that opens them before the legs start",
    )


def _moved(step: Step, start: float) -> str:
    """Say when a step starts and ends that takes as long as before. Times in s, rounded up."""
    start = math.ceil(start * 10 - NEARLY) / 10
    return f"{start:g} s (`end: {start + step.end - step.start:.4g} s`)"


def _delayed(desk: Desk, box: Sequencer, moves: DoorMoves, run: LegRun, need: float) -> str:
    """Say when the legs start, and when each door may then close behind them."""
    if run.step is None:
        return f"plug the legs into {box.named()}, with a step that starts them at {need:g} s"
    says, share = (
        [f"start the legs at {_moved(run.step, need)}"],
        desk.figure("doors", "slowest-leg"),
    )
    for other in motion.door_moves(desk.wiring, box):
        late = [replace(r, start=need) if r.span == run.span else r for r in other.runs]
        if other.direction != moves.direction or late == list(other.runs):
            continue
        arrives, *_ = motion.slowest(desk.plan, tuple(late), share.number)
        says += [
            f'closing "{other.outlet}" at {_moved(step, arrives)}'
            for step in _behind(other)
            if step.start < arrives - NEARLY
        ]
    return f"{spoken(says)}, or later"
