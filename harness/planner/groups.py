"""Which plugs may share one pulse, and what must be mended so that they move the right way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, cast

from harness.facts.motion import Sense, judged, sense_of, wanted
from harness.facts.signals import Drive
from harness.parts.servo import Servo
from harness.planner.items import Device, Unplugged
from harness.wiring.build import Wiring

MOST = 4
"""Most plugs on one pulse: what two steps of Y-leads carry; our own limit."""
PROGRAMME, TURN, REVERSER = "programme", "turn", "reverser"
RANKS = {PROGRAMME: 1, TURN: 2, REVERSER: 3}
"""What one mend costs when bought parts, joints and lengths are equal: the order of preference."""
OPPOSITE = {"left": "right", "right": "left", "up": "down", "down": "up", "open": "closed"}
OPPOSITE |= {"closed": "open"}


@dataclass(frozen=True, order=True)
class Mend:
    """One part that must be turned round, and how: programmed, turned over, a reverser."""

    part: str
    how: str


Choice = tuple[tuple[Mend, ...], tuple[str, ...]]
"""Mends, and the limits of the plan that stand in their way."""


def subsets(items: Sequence[Unplugged]) -> Iterator[tuple[Unplugged, ...]]:
    """Yield every set of one to four plugs of one family."""
    families: dict[tuple[str, str], list[Unplugged]] = {}
    for item in items:
        families.setdefault(item.family, []).append(item)
    for family, members in sorted(families.items()):
        most = 1 if family[0] == "box" else MOST
        for count in range(1, min(most, len(members)) + 1):
            yield from combinations(members, count)


def _sense(device: Device) -> Sense | None:
    if not device.part.swings:
        return None
    sense = sense_of(Drive(device.part, (), cast(Any, None), None))
    return sense and Sense(sense.drive, sense.frame, sense.way * device.sign, sense.facts)


def _comparable(senses: list[Sense]) -> list[Sense]:
    """Return the senses the rule can lay side by side: in the frame that most of them share.

    Where one states its arm or horn, those that do not are not judged.
    """
    if not senses:
        return []
    frames = [sense.frame for sense in senses]
    frame = max(sorted(set(frames)), key=frames.count)
    kept = [sense for sense in senses if sense.frame == frame]
    if kept[0].measured:
        return kept
    for word in ("arm", "horn"):
        if any(getattr(sense.drive.part, word) for sense in senses if sense in kept):
            kept = [sense for sense in kept if getattr(sense.drive.part, word)]
    return kept


def ways(wiring: Wiring, devices: Sequence[Device]) -> list[dict[str, int]]:
    """Return for each judged function +1 or -1 a servo: those of one sign move as they must."""
    by_function: dict[str, list[Sense]] = {}
    for device in devices:
        sense = _sense(device)
        if sense is not None and judged(device.function):
            by_function.setdefault(judged(device.function), []).append(sense)
    found = []
    for function, senses in sorted(by_function.items()):
        kept = _comparable(sorted(senses, key=lambda s: s.drive.part.id))
        if len(kept) < 2:
            continue
        first = max(kept, key=lambda s: wiring.plan.side(s.drive.part) != "")
        told = {first.drive.part.id: 1}
        for sense in kept:
            must = 1 if sense is first else wanted(wiring, first, sense, function)
            if must is not None:
                told[sense.drive.part.id] = sense.way * first.way * must
        found.append(told)
    return found


def mends(
    wiring: Wiring, items: Sequence[Unplugged], already: Sequence[Device], signs: Sequence[int] = ()
) -> list[Choice]:
    """Return the least mends that make a group move as it must: (mends, limits in the way).

    One entry a choice of who is turned round; none where it cannot be done.
    """
    turns = list(signs) or [1] * len(items)
    devices = [
        Device(d.part, d.function, d.side, d.sign * turn)
        for item, turn in zip(items, turns, strict=True)
        for d in item.devices
    ]
    found: list[Choice] = [((), ())]
    for told in ways(wiring, [*devices, *already]):
        sets = [frozenset(p for p, way in told.items() if way == sign) for sign in (-1, 1)]
        chosen = [m for turned in sets for m in _mended(items, turned, told)]
        least = [m for m in chosen if not any(_less(o, m) for o in chosen)]
        found = [(a[0] + b[0], a[1] + b[1]) for a in found for b in dict.fromkeys(least)]
    return [(tuple(sorted(m)), limits) for m, limits in found]


def _less(one: Choice, other: Choice) -> bool:
    """Say whether one choice of mends needs only a part of another's, and no more limits."""
    return set(one[0]) < set(other[0]) and set(one[1]) <= set(other[1])


def _mended(
    items: Sequence[Unplugged], turned: frozenset[str], told: dict[str, int]
) -> Iterator[Choice]:
    """Yield how the servos `turned` are mended; nothing when one of them is plugged in already.

    A servo that is built in could be turned over if it were not: that is a limit of the plan.
    """
    for loose in (False, True):
        made: list[Mend] = []
        limits: list[str] = []
        left = set(turned)
        for item in items:
            mine = [d for d in item.devices if d.part.id in turned]
            left -= {d.part.id for d in mine}
            own = [_own_mend(d, loose, limits) for d in mine]
            if all(own):
                made += [m for m in own if m]
            elif len(mine) == sum(d.part.id in told for d in item.devices):
                made.append(Mend(item.id, REVERSER))
            else:
                left.add(item.id)
        if not left and loose == bool(limits):
            yield tuple(made), tuple(limits)


def _own_mend(device: Device, loose: bool, limits: list[str]) -> Mend | None:
    """Return how a servo itself can be turned round, the better way; None: only by a reverser."""
    servo = device.part
    assert isinstance(servo, Servo)
    if servo.programmable:
        return Mend(servo.id, PROGRAMME)
    if not servo.shaft or servo.measured or (servo.fixed and not loose):
        return None
    limits += [f"{servo.named()} is built in"] if servo.fixed else []
    return Mend(servo.id, TURN)
