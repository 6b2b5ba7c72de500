"""Gear doors, legs and sequencers: what hangs on which outlet, and which door is whose."""

from __future__ import annotations

from collections.abc import Iterable

from harness.parts.contacts import Contact
from harness.parts.part import Part
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer, Step
from harness.wiring.build import Wiring

OPENS = frozenset({"open", "opens", "opened"})
CLOSES = frozenset({"closed", "close", "closes", "shut"})
DIRECTIONS = ("down", "up")


def is_door(servo: Part) -> bool:
    """Say whether a servo moves a gear door."""
    return servo.swings and servo.does == "gear-door"


def on_outlets(wiring: Wiring, box: Sequencer) -> dict[str, list[Part]]:
    """Return the servos and legs that hang on each outlet of a sequencer, by id."""
    found: dict[str, list[Part]] = {}
    for name in box.outlets:
        ports = wiring.downstream((box.id, name))
        parts = {p.part.id: p.part for p in ports if (p.part.swings or p.part.is_leg)}
        found[name] = [parts[name] for name in sorted(parts)]
    return found


def runs_backwards(wiring: Wiring, leg: Part) -> bool:
    """Say whether a bare motor has its two wires the wrong way round on the box that drives it."""
    pole = Contact(leg.id, "body", "positive")
    net = wiring.nets.net(pole) if leg.reverses else ()
    return any(end.pin == "negative" and _drives(wiring, end) for end in net)


def _drives(wiring: Wiring, end: Contact) -> bool:
    return end in wiring.roles and wiring.plan.parts[end.part].sequences


def steps_of(box: Sequencer, direction: str) -> tuple[Step, ...]:
    """Return a sequencer's steps one way."""
    return tuple(getattr(box.steps, direction)) if box.steps else ()


def opens_or_closes(step: Step) -> str:
    """Return open, closed, or "" when the step does not say."""
    word = step.to.strip().lower()
    return "open" if word in OPENS else "closed" if word in CLOSES else ""


def goal_of(step: Step) -> float | None:
    """Return where a step goes, 0 to 1, or None when it does not say."""
    word = step.to.strip().lower()
    if word in OPENS | {"down"}:
        return 1.0
    if word in CLOSES | {"up"}:
        return 0.0
    share, percent = word.removesuffix("%").strip(), word.endswith("%")
    try:
        value = float(share) / (100 if percent else 1)
    except ValueError:
        return None
    return value if 0 <= value <= 1 else None


def door_way(step: Step) -> str:
    """Return whether a door's step opens or closes it by any word, or "": down is open."""
    goal = goal_of(step)
    return "" if goal not in (0.0, 1.0) else "open" if goal else "closed"


def in_bay(doors: Iterable[Part], legs: Iterable[Retract]) -> tuple[Retract, ...]:
    """Return the legs in the doors' own places, or all of them where no place is shared."""
    every = tuple(legs)
    places = {door.place for door in doors} - {""}
    return tuple(leg for leg in every if leg.place in places) or every


def last_step(box: Sequencer, outlet: str, direction: str) -> Step | None:
    """Return the step that left an outlet where it is before a movement.

    The last of the other direction, or else of the last time this one.
    """
    other = DIRECTIONS[direction == "down"]
    for way in (other, direction):
        steps = [step for step in steps_of(box, way) if step.outlet == outlet]
        if steps:
            return max(steps, key=lambda step: step.end)
    return None
