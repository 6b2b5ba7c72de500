"""A sequencer's steps and its outlets do not match.

What it looks for
    A step for an outlet that the sequencer does not have, a step that ends before it starts, and
    an outlet with a servo or leg on it that no step moves, or that moves one way only.

Why it matters
    A door that never opens or a leg that never comes down is found on the first landing.

An example that fails
    receivers:
      rx: {sockets: 6}
    retracts:
      leg-left: {kind: self-contained, travel: 3 s, plug: gear-box.legs}
    sequencers:
      gear-box:
        plug: rx.5
        outlets: [legs, doors]
        power-up: holds
        steps:
          down:
            - {outlet: leg, start: 0 s, end: 4 s, to: down}
          up:
            - {outlet: legs, start: 0 s, end: 4 s, to: up}

The same, mended
    sequencers:
      gear-box:
        steps:
          down:
            - {outlet: legs, start: 0 s, end: 4 s, to: down}

Where it comes from
    The plan itself: a sequencer's steps against its outlets.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import hint, spoken
from harness.facts.signals import named
from harness.parts.sequencer import Sequencer, Step
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.gear import DIRECTIONS, is_door, on_outlets, steps_of


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each wrong step; where all steps are right, each outlet that is left out."""
    for box in desk.plan.of(Sequencer):
        steps = [(way, step) for way in DIRECTIONS for step in steps_of(box, way)]
        strange = [(way, step) for way, step in steps if step.outlet not in box.outlets]
        for way, step in strange:
            yield _no_outlet(box, way, step)
        yield from (_backwards(box, way, step) for way, step in steps if step.end < step.start)
        if steps and not strange:
            yield from _left_out(desk, box)


def _no_outlet(box: Sequencer, way: str, step: Step) -> Finding:
    return check.finding(
        f'{way}: a step moves "{step.outlet}", but {box.named()} has no such outlet',
        step.spans["outlet"],
        box,
        help=hint(step.outlet, box.outlets),
    )


def _backwards(box: Sequencer, way: str, step: Step) -> Finding:
    return check.finding(
        f'{way}: a step of {box.named()} moves "{step.outlet}" from {step.start:g} s to'
        f" {step.end:g} s: it ends before it starts",
        step.spans["end"],
        box,
        help="both times count from the switch: write the earlier one as `start`",
    )


def _left_out(desk: Desk, box: Sequencer) -> Findings:
    for name, parts in on_outlets(desk.wiring, box).items():
        ways = [w for w in DIRECTIONS if any(s.outlet == name for s in steps_of(box, w))]
        stays = parts and all(is_door(part) for part in parts)
        if not parts or len(ways) == 2 or (ways and stays):
            continue
        never = "never moves" if not ways else f"moves {ways[0]} and never back"
        missing = spoken(way for way in DIRECTIONS if way not in ways)
        yield check.finding(
            f'outlet "{name}" of {box.named()} {never}, and {named(parts)}'
            f" {'hangs' if len(parts) == 1 else 'hang'} on it",
            box.at("steps"),
            box,
            *parts,
            spot=name,
            help=f"add a step for `{name}` to {missing}",
        )
