"""What goes wrong between the doors, legs and steps of one run."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.electrics.gear.motion import HERE, MotionStretch, Mover, Track
from harness.parts.part import of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.wiring.gear import DIRECTIONS, goal_of, in_bay, is_door, steps_of

KINDS: Mapping[str, str] = {
    "door-not-open": "a leg moves while its door is not fully open",
    "doors-close-early": "doors start to close before the slowest leg has arrived",
    "two-steps": "two steps move one outlet at the same time",
    "stops-short": "a leg is no longer driven before it has arrived",
    "wrong-way": "a bare-motor leg goes up when the box says down, and down when it says up",
    "raised-at-power-up": "the gear goes up under a standing aeroplane",
}
"""What a clash can be."""


@dataclass(frozen=True, slots=True)
class Clash:
    """One thing that goes wrong from `start` to `end` (s): its kind, in words, and the parts."""

    kind: str
    about: str
    start: float
    end: float
    parts: tuple[str, ...]


def clashes_of(tracks: Sequence[Track], directions: Mapping[str, str]) -> tuple[Clash, ...]:
    """Return what clashes, by time. `directions`: which way each box runs, by its id."""
    found = [
        *_doors(tracks),
        *_short(tracks),
        *_backwards(tracks),
        *_two_steps({box.id: box for t in tracks if (box := t.mover.box)}, directions),
    ]
    return tuple(sorted(found, key=lambda c: (c.start, c.kind, c.parts)))


def raised(tracks: Iterable[Track]) -> Iterator[Clash]:
    """Yield a clash where a leg that was down goes up: for when the supply comes on."""
    for track in tracks:
        for s in track.stretches:
            if track.mover.part.is_leg and s.goal < s.begin:
                about = f"{track.id} folds up under the aeroplane when the supply comes on"
                yield Clash("raised-at-power-up", about, s.start, s.end, (track.id,))


def unjudged(movers: Iterable[Mover]) -> list[str]:
    """Return the doors of which no step tells where they are."""
    return sorted(m.part.id for m in movers if is_door(m.part) and not _told(m))


def _told(mover: Mover) -> bool:
    if mover.box is None:
        return True
    steps = [s for way in DIRECTIONS for s in steps_of(mover.box, way)]
    return any(s.outlet == mover.outlet and goal_of(s) is not None for s in steps)


def _doors(tracks: Sequence[Track]) -> Iterator[Clash]:
    """Doors of one outlet move as one: lay them against the legs of their bay."""
    groups: dict[tuple[str, str], list[Track]] = defaultdict(list)
    legs: dict[str, Track] = {}
    for track in tracks:
        mover = track.mover
        if is_door(mover.part) and _told(mover):
            groups[(mover.box.id, mover.outlet) if mover.box else ("", track.id)].append(track)
        elif mover.part.is_leg:
            legs[track.id] = track
    every = of_kind(Retract, (t.mover.part for t in legs.values()))
    for _, doors in sorted(groups.items()):
        for leg in in_bay([d.mover.part for d in doors], every):
            yield from _pair(doors, legs[leg.id])


def _pair(doors: list[Track], leg: Track) -> Iterator[Clash]:
    """Lay a leg's travel against doors; one that is stuck is on its way until the run ends."""
    door, parts = doors[0], (leg.id, *(d.id for d in doors))
    names, are = spoken([d.id for d in doors]), "is" if len(doors) == 1 else "are"
    for travel in leg.stretches:
        if travel.state == "stalled" and not leg.jammed:
            continue
        closing = [s for s in door.stretches if s.goal < s.begin - HERE and s.end > travel.start]
        first = min((max(s.start, travel.start) for s in closing), default=travel.end)
        shut = _not_open(door, travel.start, min(first, travel.end))
        if shut:
            about = f"{leg.id} moves while {names} {are} not fully open"
            yield Clash("door-not-open", about, *shut, parts)
        if first < travel.end:
            late = "is stuck" if leg.jammed else "is still moving"
            about = f"{names} close{'s' * (len(doors) == 1)} while {leg.id} {late}"
            yield Clash("doors-close-early", about, first, travel.end, parts)


def _not_open(door: Track, start: float, end: float) -> tuple[float, float] | None:
    """Return from when until when a door is not open between two moments, or None."""
    edges = sorted({start, end, *(e for e in door.edges if start < e < end)})
    shut = [
        (a, b) for a, b in pairwise(edges) if door.position(np.array([(a + b) / 2]))[0] < 1.0 - HERE
    ]
    return (shut[0][0], shut[-1][1]) if shut else None


def _backwards(tracks: Sequence[Track]) -> Iterator[Clash]:
    for track in tracks:
        if track.mover.backwards and track.stretches:
            about = f"{track.id} is driven the wrong way: its two wires are crossed"
            yield Clash("wrong-way", about, track.edges[0], track.edges[-1], (track.id,))


def _short(tracks: Sequence[Track]) -> Iterator[Clash]:
    for track in tracks:
        moving = [s for s in track.stretches if s.state == "moving"]
        for s in moving if track.mover.part.is_leg else ():
            if HERE < s.goal < 1.0 - HERE and not _asked(track, s):
                about = f"{track.id} is no longer driven at {s.end:g} s, {s.goal:.0%} of the way"
                yield Clash("stops-short", about + " down", s.end, s.end, (track.id,))


def _asked(track: Track, stretch: MotionStretch) -> bool:
    """Whether a step asked for the share of the way at which a leg stops."""
    box = track.mover.box
    steps = [s for way in DIRECTIONS for s in steps_of(box, way)] if box else []
    goals = [goal_of(s) for s in steps if s.outlet == track.mover.outlet]
    return any(goal is not None and abs(goal - stretch.goal) < HERE for goal in goals)


def _two_steps(boxes: Mapping[str, Sequencer], directions: Mapping[str, str]) -> Iterator[Clash]:
    for name, box in sorted(boxes.items()):
        steps = steps_of(box, directions[name]) if directions.get(name) else ()
        for outlet in sorted({step.outlet for step in steps}):
            own = sorted((s for s in steps if s.outlet == outlet), key=lambda s: (s.start, s.end))
            for one, other in pairwise(own):
                if other.start < one.end - HERE:
                    about = f"two steps move outlet {outlet} of {name} at the same time"
                    end = min(one.end, other.end)
                    yield Clash("two-steps", about, other.start, end, (name, outlet))
