"""A sequencer's steps and its outlets do not match.

What it looks for
    A step for an outlet that the sequencer does not have, a step that ends before it starts, an
    outlet with a servo or leg on it that no step moves, or that moves one way only, and a leg on
    an outlet that opens and closes.

Why it matters
    A door that never opens or a leg that never comes down is found on the first landing; legs and
    doors exchanged run into each other on the first switch of the gear.

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

from harness.base.finding import Severity
from harness.base.near import hint, spoken
from harness.facts.homes import plug_named
from harness.facts.motion import exchanged
from harness.facts.signals import named
from harness.facts.wording import verb
from harness.parts.sequencer import Sequencer
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.gear import DIRECTIONS, is_door, on_outlets, steps_of


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each wrong step; where all steps are right, each outlet that is left out."""
    for box in desk.plan.of(Sequencer):
        yield from _wrong(box)
        steps = [step for way in DIRECTIONS for step in steps_of(box, way)]
        if steps and all(step.outlet in box.outlets for step in steps):
            yield from _left_out(desk, box)
            yield from _exchanged(desk, box)


def _wrong(box: Sequencer) -> Findings:
    for way, step in [(w, step) for w in DIRECTIONS for step in steps_of(box, w)]:
        if step.outlet not in box.outlets:
            yield check.finding(
                f'{way}: a step moves "{step.outlet}", but {box.named()} has no such outlet',
                step.spans["outlet"],
                box,
                help=hint(step.outlet, box.outlets),
            )
        if step.end < step.start:
            yield check.finding(
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
            f" {verb(parts, 'hangs', 'hang')} on it",
            box.at("steps"),
            box,
            *parts,
            spot=name,
            help=f"add a step for `{name}` to {missing}",
        )


def _exchanged(desk: Desk, box: Sequencer) -> Findings:
    parts, by_socket = on_outlets(desk.wiring, box), desk.wiring.by_socket
    for outlet, other in exchanged(desk.wiring, box):
        mate, legs = by_socket[box.id, outlet][0], [p for p in parts[outlet] if p.is_leg]
        at, to = f"{box.id}.{outlet}", f"{box.id}.{other}"
        words, help = "", "plug it into an outlet that goes up and down, or"
        if other:
            doors = [part for part in parts[other] if is_door(part)]
            words = f', and {named(doors)} on "{other}", which goes up and down'
            there = plug_named(by_socket[box.id, other][0].plug)
            help = f"exchange them: put {plug_named(mate.plug)} into {to} and {there} into {at}; or"
        yield check.finding(
            f'{named(legs)} {verb(legs, "hangs", "hang")} on outlet "{outlet}" of {box.named()},'
            f" which opens and closes doors{words}",
            mate.span,
            mate.plug.part,
            box,
            *parts[outlet],
            *parts.get(other, ()),
            spot=mate.plug.name,
            help=f"{help}, if it is plugged right, correct `to` in its steps",
        )
