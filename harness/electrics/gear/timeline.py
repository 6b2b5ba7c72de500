"""The time line of a function: what moves when, what it draws, and how low the volts go.

Every run is a switch thrown, or the supply coming on. Between two edges the harness does the same
thing, so each state that differs is solved once, all of them as one batch.
"""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass
from harness.electrics.gear.clashes import Clash, clashes_of, raised, unjudged
from harness.electrics.gear.moments import Lowest, Moments, Observer
from harness.electrics.gear.motion import (
    STOP_TIME,
    SWING,
    Mover,
    Track,
    movers_of,
    slow_travels,
    travels,
)
from harness.electrics.gear.scenes import TAIL, RunStart, boxes_of, scenes_of, tracked
from harness.electrics.solver.circuit import Array
from harness.parts.part import of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.wiring.build import Wiring
from harness.wiring.gear import DIRECTIONS, goal_of, is_door, steps_of

STEP = 0.05
"""s between the moments of a run, besides its edges."""


@dataclass(frozen=True, slots=True)
class Event:
    """At `time` (s) a part begins or ends something."""

    time: float
    part: str
    what: str


@dataclass(frozen=True, slots=True, eq=False)
class GearRun:
    """One run. Every array has the shape of `times` (s); what it holds goes on to the next one.

    `name`: down, up, slow-down, slow-up, power-up-down-up (the switch stands down, the gear is
    up), jammed-LEG-down and so on. `direction`: the way it moves, or "". `positions` by part, 0
    is up or closed, 1 down or open; `states` by part: still, moving, stalled. `amps` given by
    each pack, BEC and regulator; `volts` at each device; `lowest`: the lowest of each against
    what it needs; `limited`: BECs and regulators that give all they can; `assumed`: in words.
    """

    name: str
    about: str
    direction: str
    times: Array
    positions: Mapping[str, Array]
    states: Mapping[str, tuple[str, ...]]
    amps: Mapping[str, Array]
    volts: Mapping[str, Array]
    events: tuple[Event, ...]
    clashes: tuple[Clash, ...]
    lowest: tuple[Lowest, ...]
    limited: tuple[str, ...]
    assumed: tuple[str, ...] = ()

    @property
    def brown_outs(self) -> tuple[Lowest, ...]:
        """The devices that get less than they need."""
        return tuple(low for low in self.lowest if low.short)


@dataclass(frozen=True, slots=True, eq=False)
class TimeLine:
    """Every run of a function. `movers` and `boxes` by id; `feeding`: the packs, BECs and
    regulators whose current changes in any run; `assumed` holds for all runs; `unknown`: the
    facts that nobody gave, each with what could not be told without it.
    """

    function: str
    movers: tuple[str, ...]
    boxes: tuple[str, ...]
    feeding: tuple[str, ...]
    runs: tuple[GearRun, ...]
    assumed: tuple[str, ...]
    unknown: tuple[str, ...]

    def run(self, name: str) -> GearRun:
        """Return a run by its name."""
        return next(run for run in self.runs if run.name == name)


def timeline(
    wiring: Wiring, function: str, *, step: float = STEP, only: tuple[str, ...] = ("",)
) -> TimeLine:
    """Follow a function through its runs: all, or `only` those whose names begin so.

    Every leg jams in runs of its own: all runs of a fleet take far longer than some of them.
    Raises Refusal when nothing is moved by it, NotSolved when a moment has no solution.
    """
    movers = movers_of(wiring, function)
    boxes = boxes_of(movers)
    observer = Observer(wiring, step)
    scenes = scenes_of(wiring, movers, boxes)
    runs = tuple(_run(observer, scene, movers) for scene in scenes if scene.name.startswith(only))
    feeding = {
        name for run in runs for name, amps in run.amps.items() if amps.max() - amps.min() > 1e-3
    }
    return TimeLine(
        function,
        tuple(m.part.id for m in movers),
        tuple(sorted(boxes)),
        tuple(sorted(feeding)),
        runs,
        (*observer.assumed, *_assumed(wiring, movers)),
        _unknown(observer, movers, boxes),
    )


def _run(observer: Observer, scene: RunStart, movers: tuple[Mover, ...]) -> GearRun:
    tracks = [tracked(scene, mover) for mover in movers]
    boxes = boxes_of(movers)
    steps = [s for name, box in boxes.items() if (w := scene.ways[name]) for s in steps_of(box, w)]
    edges = [e for t in tracks for e in t.edges] + [e for s in steps for e in (s.start, s.end)]
    # the run of a jammed part lasts to its horizon, which is beyond the last edge already
    edges, tail = ([*edges, scene.pace.horizon], 0.0) if scene.pace.jammed else (edges, TAIL)
    seen: Moments = observer.see(scene.name, tracks, edges, tail, scene.ground)
    clashes = clashes_of(tracks, scene.ways)
    if scene.ground and scene.stands == "down":
        clashes = (*clashes, *raised(tracks))
    direction = "/".join(sorted({w for w in scene.ways.values() if w and (steps or not boxes)}))
    events = tuple(sorted(_events(tracks), key=lambda e: (e.time, e.part, e.what)))
    return GearRun(
        scene.name,
        scene.about,
        direction,
        seen.times,
        {t.id: t.position(seen.times) for t in tracks},
        seen.states,
        seen.amps,
        seen.volts,
        events,
        clashes,
        seen.lowest,
        seen.limited,
        scene.assumed,
    )


def _events(tracks: list[Track]) -> list[Event]:
    found = []
    for track in tracks:
        for s in track.stretches:
            if s.state == "stalled":
                what = "is stuck" if track.jammed else "pushes against its end"
                found += [Event(s.start, track.id, what)]
                if not (track.lasting and s is track.stretches[-1]):
                    found.append(Event(s.end, track.id, "is switched off"))
            else:
                found.append(Event(s.start, track.id, _goes(track, s.goal > s.begin)))
                found.append(Event(s.end, track.id, _is(track, s.goal)))
    return found


def _goes(track: Track, more: bool) -> str:
    if track.mover.part.is_leg:
        return "goes down" if more else "goes up"
    if is_door(track.mover.part):
        return "opens" if more else "closes"
    return "moves"


def _is(track: Track, goal: float) -> str:
    words = ("up", "down") if track.mover.part.is_leg else ("closed", "open")
    if not track.mover.part.is_leg and not is_door(track.mover.part):
        return "has arrived"
    return {0.0: f"is {words[0]}", 1.0: f"is {words[1]}"}.get(goal, f"stops at {goal:.0%}")


def _assumed(wiring: Wiring, movers: tuple[Mover, ...]) -> list[str]:
    found = []
    if any(m.own_end for m in movers):
        found.append(f"a self-contained leg pushes {STOP_TIME:g} s against its end")
    if any(m.part.is_leg and not m.own_end for m in movers):
        found.append("a bare-motor leg pushes against its end until its step ends")
    if any(m.part.swings and m.box is None for m in movers):
        found.append(f"a servo that no sequencer slows needs {SWING:g} s from end to end")
    legs = of_kind(Retract, (m.part for m in movers))
    for name, figure in sorted(travels(wiring.plan, legs).items()):
        if not figure.origin.startswith("plan line"):
            found.append(f"{name} travels in {figure.number:g} s ({figure.origin})")
    for name, figure in sorted(slow_travels(wiring.plan, legs).items()):
        if wiring.plan.parts[name].at("slow") == wiring.plan.parts[name].span:
            found.append(f"{name} when slow: {figure.number:.3g} s ({figure.origin})")
    return found


def _unknown(
    observer: Observer, movers: tuple[Mover, ...], boxes: Mapping[str, Sequencer]
) -> tuple[str, ...]:
    found = list(observer.unknown)
    for name, box in sorted(boxes.items()):
        if not box.power_up:
            found.append(f"{name}: what it does when the supply comes on (power-up)")
        every = [(way, step) for way in DIRECTIONS for step in steps_of(box, way)]
        if not every:
            found.append(f"{name}: its steps: what moves when (steps)")
        for way, step in every:
            if goal_of(step) is None:
                found.append(f"{name}: where its {way} step of {step.outlet} goes (to)")
    for door in unjudged(movers):
        found.append(f"{door}: whether it is open while the legs move: no step moves it")
    return tuple(found)
