"""A part sits on one side of the aeroplane and moves a surface of the other.

What it looks for
    A servo or leg whose `moves` names one side, while its place (`side`) or its id says the other.

Why it matters
    Channels, bench protocol and transmitter sheet follow the word in `moves`. With left and right
    exchanged in it all of them agree with one another, and the aeroplane rolls the wrong way.

An example that fails
    channels: {1: aileron-left, 5: aileron-right}
    receivers:
      rx: {sockets: 6}
    places:
      fuselage: {}
      wing-left: {joins: fuselage, side: left}
      wing-right: {joins: fuselage, side: right}
    servos:
      one: {place: wing-left, moves: aileron-right, plug: rx.1}
      two: {place: wing-right, moves: aileron-right, plug: rx.5}

The same, mended
    servos:
      one: {place: wing-left, moves: aileron-left, plug: rx.1}

Where it comes from
    The plan itself: its words against its places.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.signals import on_other_side, stated_function
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each word once: what is mirrored has it from the other side."""
    told = set()
    for part, sits, moves in on_other_side(desk.wiring):
        if part.at("moves") not in told:
            yield _finding(desk, part, sits, moves)
        told.add(part.at("moves"))


def _finding(desk: Desk, part: Part, sits: str, moves: str) -> Finding:
    said, place = (
        stated_function(part),
        any(desk.plan.places[p].side for p in desk.plan.holds(part.place)),
    )
    right = f"{desk.plan.words.plain(said)}-{sits}"
    other = [name for name, p in desk.plan.places.items() if p.side == moves] if place else []
    if place:
        then = f"if it sits on the {moves}, correct its place"
        then += f" ({', '.join(other)})" if other else ""
    else:
        then = f"if it is on the {moves}, give it an id that says so"
    where = f"sits in {part.place}, on the {sits}," if place else f"is on the {sits} by its id"
    return check.finding(
        f'{part.named()} {where} but moves "{said}"',
        part.at("moves"),
        part,
        help=f"write `moves: {right}`; or, {then}",
    )
