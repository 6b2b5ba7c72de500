"""Which doors and legs can be held fast at one time, by the steps of the boxes that move them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import prod

from harness.parts.figure import rule_figure
from harness.parts.part import Part
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer, Step
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.wiring.gear import DIRECTIONS, steps_of

MOST = 16
"""Sets of things that move together that are told apart; beyond that all may move at once."""

Some = frozenset[str]
"""Ids of doors and legs."""


def outlet_of(plan: Plan, part: Part) -> tuple[Sequencer, str] | None:
    """Return the sequencer and its outlet that a part's plug leads to, by the plan's joins."""
    boxes = {box.id: box for box in plan.of(Sequencer)}
    port, seen = "plug", set[str]()
    while part.id not in seen:
        seen.add(part.id)
        join = dict(part.joins()).get(port)
        above = plan.parts.get(join.part) if join else None
        if join is None or above is None:
            return None
        if above.id in boxes:
            box = boxes[above.id]
            return box, join.socket or (box.outlets[0] if len(box.outlets) == 1 else "")
        port = f"plug-{join.socket}" if above.circuits or above.relays else "plug"
        part = above
    return None


def together_sets(plan: Plan, gear: Sequence[Servo | Retract]) -> list[Some]:
    """Return the largest sets of doors and legs that can be held fast at one time.

    What no box delays, or a box without steps, may move whenever anything does; a leg that finds
    its own end is on its way until its slow travel is over, whatever its step says.
    """
    loose = {part.id for part in gear}
    by_box: dict[str, list[tuple[Sequencer, str, Servo | Retract]]] = {}
    for part in gear:
        found = outlet_of(plan, part)
        steps = [s.outlet for way in DIRECTIONS for s in steps_of(found[0], way)] if found else []
        if found and found[1] in steps:
            by_box.setdefault(found[0].id, []).append((*found, part))
            loose.discard(part.id)
    each = [_of_box(plan, rows) for _, rows in sorted(by_box.items())]
    if not 0 < prod(map(len, each)) <= MOST:  # boxes multiply: counted before any is put together
        return [frozenset(part.id for part in gear)]
    return [frozenset(loose).union(*sets) for sets in product(*each)]


def _of_box(plan: Plan, rows: list[tuple[Sequencer, str, Servo | Retract]]) -> list[Some]:
    """Return the largest sets that one box moves at a moment at which something starts."""
    found: list[Some] = []
    for way in DIRECTIONS:
        spans = [
            (step.start, _end(plan, step, part), part.id)
            for box, outlet, part in rows
            for step in steps_of(box, way)
            if step.outlet == outlet
        ]
        found += [
            frozenset(name for start, end, name in spans if start <= now < end)
            for now, _, _ in spans
        ]
    return [one for one in dict.fromkeys(found) if not any(one < other for other in found)]


def _end(plan: Plan, step: Step, part: Servo | Retract) -> float:
    if not part.is_leg or part.kind != "self-contained":
        return step.end
    leg = next(leg for leg in plan.of(Retract) if leg is part)
    more = rule_figure(plan.catalogue, "doors", "slowest-leg").number
    usual = leg.figure(plan.catalogue, "travel", "travel-time").number
    return max(step.end, step.start + (leg.slow or usual * (1 + more)))
