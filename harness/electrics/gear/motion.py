"""What a function moves and how: servos, doors and legs after a switch, as positions over time.

0 is up or closed, 1 is down or open. A step of a sequencer takes a servo from where it is to its
goal between the step's start and end. A leg moves at its own pace from the start: a self-contained
one until it is there, a bare motor as long as its box drives it.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.refusal import Refusal
from harness.electrics.solver.circuit import Array
from harness.parts.figure import Figure, rule_figure, stated
from harness.parts.part import of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.gear import goal_of, is_door, last_step, runs_backwards, steps_of

STOP_TIME = 0.2
"""s that a self-contained leg pushes against its end before its electronics see the current rise
and switch off: our own assumption, a few of the 20 ms frames that it reads its pulse by."""

SWING = 0.5
"""s in which a servo that no sequencer slows goes from end to end: our own assumption, slower than
the 0.1 to 0.2 s for 60 degrees of common servos (memory), so that its current lasts longer."""

ENDS = {"down": 1.0, "up": 0.0}
FOREVER = float("inf")
HERE = 1e-9
"""Positions nearer than this are the same."""


@dataclass(frozen=True, slots=True)
class Mover:
    """A servo or leg of a function, and the box and outlet that drive it, if there is a box."""

    part: Servo | Retract
    box: Sequencer | None = None
    outlet: str = ""
    backwards: bool = False
    """A bare motor with its wires crossed: it goes the other way."""

    @property
    def own_end(self) -> bool:
        """Whether it is a leg that finds its own end."""
        return self.part.is_leg and self.part.kind == "self-contained"


@dataclass(frozen=True, slots=True)
class MotionStretch:
    """From `start` to `end` (s) a part goes from `begin` to `goal`, or pushes (`stalled`)."""

    start: float
    end: float
    begin: float
    goal: float
    state: str = "moving"


@dataclass(frozen=True, slots=True)
class Track:
    """What one part does in a run: where it is at first, and its stretches in order.

    `jammed`: held fast; `lasting`: what it does in its last stretch goes on for good.
    """

    mover: Mover
    rest: float
    stretches: tuple[MotionStretch, ...]
    jammed: bool = False
    lasting: bool = False

    @property
    def id(self) -> str:
        """The part's id."""
        return self.mover.part.id

    @property
    def edges(self) -> tuple[float, ...]:
        """The moments at which something changes, s."""
        return tuple(edge for s in self.stretches for edge in (s.start, s.end))

    def position(self, times: Array) -> Array:
        """Return where it is at some moments."""
        at, where = [0.0], [self.rest]
        for s in self.stretches:
            at += [s.start, s.end]
            where += [s.begin, s.goal]
        return np.asarray(np.interp(times, at, where))

    def state(self, time: float) -> str:
        """Return still, moving or stalled: what it does from a moment on."""
        if self.lasting and time >= self.stretches[-1].start:
            return self.stretches[-1].state
        return next((s.state for s in self.stretches if s.start <= time < s.end), "still")


@dataclass(frozen=True, slots=True)
class MoveOrder:
    """What an outlet asks of a part: from `start` on, and until `end`, go to `goal`."""

    start: float
    end: float
    goal: float


@dataclass(frozen=True, slots=True)
class Pace:
    """How fast legs travel from end to end in s, by id; which part is jammed.

    `horizon`: when the run is over at the latest, s.
    """

    travel: Mapping[str, float]
    jammed: str = ""
    horizon: float = 0.0


def rest_of(mover: Mover, stands: str) -> float:
    """Return where a part is while the gear has gone `stands`, down or up, and come to rest."""
    if mover.part.is_leg or mover.box is None:
        return ENDS[stands]
    step = last_step(mover.box, mover.outlet, "up" if stands == "down" else "down")
    goal = goal_of(step) if step else None
    return goal if goal is not None else 0.0 if is_door(mover.part) else ENDS[stands]


def orders_of(mover: Mover, direction: str, rest: float) -> list[MoveOrder]:
    """Return what a part is asked to do, by time; nothing where nothing is switched."""
    if not direction:
        return []
    if mover.box is None:
        end = FOREVER if mover.part.is_leg else SWING
        return [MoveOrder(0.0, end, ENDS[direction])]
    steps = [s for s in steps_of(mover.box, direction) if s.outlet == mover.outlet]
    found, here = [], rest
    for step in sorted(steps, key=lambda s: (s.start, s.end)):
        goal = goal_of(step)
        if goal is None:
            goal = 1.0 - here if is_door(mover.part) else ENDS[direction]
        goal = 1.0 - goal if mover.backwards else goal
        found.append(MoveOrder(step.start, max(step.start, step.end), goal))
        here = goal
    return found


def track_of(mover: Mover, direction: str, stands: str, pace: Pace) -> Track:
    """Follow one part through a run that starts with the gear where it `stands`."""
    rest = rest_of(mover, stands)
    orders = orders_of(mover, direction, rest)
    jammed = bool(orders) and mover.part.id == pace.jammed
    found: list[MotionStretch] = []
    here = rest
    for order, after in pairwise([*orders, MoveOrder(FOREVER, FOREVER, 0.0)]):
        if jammed:
            found += _stuck(mover, order, here, min(after.start, pace.horizon))
        elif mover.part.is_leg:
            found += _leg(mover, order, here, after.start, pace.travel[mover.part.id])
        else:
            found += _servo(order, here, after.start)
        here = found[-1].goal if found else here
    lasting = jammed and bool(found) and found[-1].end >= round(pace.horizon, 9)
    return Track(mover, rest, tuple(found), jammed, lasting)


def _servo(order: MoveOrder, here: float, until: float) -> list[MotionStretch]:
    if abs(order.goal - here) < HERE:
        return []
    end = min(order.end, until)
    whole = order.end - order.start
    share = (end - order.start) / whole if whole > 0 else 1.0
    return [_stretch(order.start, end, here, here + (order.goal - here) * share)]


def _leg(
    mover: Mover, order: MoveOrder, here: float, until: float, travel: float
) -> list[MotionStretch]:
    """A self-contained leg pays no heed to the step's end; a bare motor is driven until then."""
    own_stop = mover.own_end or mover.box is None
    driven = min(until, FOREVER if own_stop else order.end)
    arrives = order.start + travel * abs(order.goal - here)
    if driven < arrives:
        share = (driven - order.start) / (arrives - order.start)
        return [_stretch(order.start, driven, here, here + (order.goal - here) * share)]
    pushes = min(arrives + STOP_TIME, until) if own_stop else driven
    found = []
    if arrives > order.start:
        found.append(_stretch(order.start, arrives, here, order.goal))
    if pushes > arrives and not (own_stop and not found):
        found.append(_stretch(arrives, pushes, order.goal, order.goal, "stalled"))
    return found


def _stuck(mover: Mover, order: MoveOrder, here: float, until: float) -> list[MotionStretch]:
    """Held fast where it is: a bare motor as long as it is driven, all else to the end."""
    bare = mover.part.is_leg and not mover.own_end and mover.box is not None
    end = min(order.end, until) if bare else until
    if abs(order.goal - here) <= HERE or end <= order.start:
        return []
    return [_stretch(order.start, end, here, here, "stalled")]


def _stretch(
    start: float, end: float, begin: float, goal: float, state: str = "moving"
) -> MotionStretch:
    """Moments to the nanosecond, so that those of two parts that agree are the same number."""
    return MotionStretch(round(start, 9), round(end, 9), begin, goal, state)


def functions_of(wiring: Wiring) -> dict[str, tuple[Mover, ...]]:
    """Return the functions that move servos or legs, and what they move by id.

    A function is that of the channel whose pulse comes down the wires; where no channel says, that
    of the legs on the same box, or of the part itself.
    """
    movers = {m.part.id: m for m in _movers(wiring)}
    found: dict[str, list[Mover]] = {}
    for _, mover in sorted(movers.items()):
        word = _function(wiring, mover) or _of_box(movers, mover)
        found.setdefault(word, []).append(mover)
    return {word: tuple(found[word]) for word in sorted(found) if word}


def movers_of(wiring: Wiring, function: str) -> tuple[Mover, ...]:
    """Return what a function moves, by id. Raises Refusal when nothing does.

    A function by its own name, else every one that is the same without side and number.
    """
    every = functions_of(wiring)
    if function in every:
        return every[function]
    plain = wiring.plan.words.plain
    same = [m for word, ms in every.items() if plain(word) == plain(function) for m in ms]
    if same:
        return tuple(sorted(same, key=lambda m: m.part.id))
    there = f"it can be {spoken(every, 'or')}" if every else "the plan has no servo and no leg"
    raise Refusal(f'no servo or leg is moved by "{function}": {there}')


def _movers(wiring: Wiring) -> list[Mover]:
    found = []
    parts: list[Servo | Retract] = [*wiring.plan.of(Servo), *wiring.plan.of(Retract)]
    for part in parts:
        sockets = [m.socket for m in wiring.upstream(part.id) if m.socket and m.fits]
        boxes = of_kind(Sequencer, (s.part for s in sockets))
        outlets = [s.name for s in sockets if s.part.sequences]
        driver = (boxes[0] if boxes else None, outlets[0] if outlets else "")
        found.append(Mover(part, *driver, runs_backwards(wiring, part)))
    return found


def _function(wiring: Wiring, mover: Mover) -> str:
    """Return the function of the channel above a part, or "" when no channel is known."""
    return wiring.plan.gives(wiring.driver(mover.part.id))


def _of_box(movers: Mapping[str, Mover], mover: Mover) -> str:
    """A door on the outlet of a box moves with the legs of that box."""
    if mover.box is None:
        return mover.part.moves
    legs = [m for m in movers.values() if m.box == mover.box and m.part.is_leg]
    return legs[0].part.moves if legs else mover.part.moves


def travels(plan: Plan, legs: list[Retract]) -> dict[str, Figure]:
    """Return the travel of legs from end to end, in s."""
    return {leg.id: leg.figure(plan.catalogue, "travel", "travel-time") for leg in legs}


def slow_travels(plan: Plan, legs: list[Retract]) -> dict[str, Figure]:
    """Return the slow travel of legs in s: stated, or with the allowance for a low battery."""
    more = rule_figure(plan.catalogue, "doors", "slowest-leg")
    found = {}
    for leg in legs:
        usual = leg.figure(plan.catalogue, "travel", "travel-time")
        raised = Figure(usual.number * (1 + more.number), f"{usual.origin}, and {more.origin}")
        found[leg.id] = stated(leg, "slow", leg.slow) or raised
    return found
