"""A part sits on one side of the aeroplane and moves a surface of the other.

What it looks for
    A servo or leg whose `moves` names one side, while its place (`side`) or its id says the other.
    A word in `moves` that is none known here (aileron-links) may be a side's: it is listed.

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

from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.signals import on_other_side, stated_function
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each word once: what is mirrored has it from the other side."""
    told = set()
    for part, sits, moves in on_other_side(desk.wiring):
        if part.at("moves") not in told:
            yield _finding(desk, part, sits, moves)
        told.add(part.at("moves"))
    for part, word in _unread_words(desk.plan):
        desk.not_known(
            part,
            f'whether "{word}" is a word for a side: then write'
            f" `functions: {{{word}: {{side: left}}}}`, or right",
            "moves",
        )


def _unread_words(plan: Plan) -> Iterator[tuple[Part, str]]:
    """Yield parts of a side whose `moves` has, behind a function and no side, a word not known."""
    for part in plan.parts.values():
        meaning = plan.words.read(stated_function(part))
        if meaning.function and not meaning.exact and not meaning.side and plan.side(part):
            yield part, meaning.plain.removeprefix(f"{meaning.function.name}-")


def _finding(desk: Desk, part: Part, sits: str, moves: str) -> Finding:
    plan, said = desk.plan, stated_function(part)
    where, then = f"is on the {sits} by its id", "give it an id that says so"
    if any(plan.places[place].side for place in plan.holds(part.place)):
        other = spoken([name for name, place in plan.places.items() if place.side == moves], "or")
        where = f"sits in {part.place}, on the {sits},"
        then = f"correct its place{f' ({other})' if other else ''}"
    return check.finding(
        f'{part.named()} {where} but moves "{said}"',
        part.at("moves"),
        part,
        help=f"write `moves: {plan.words.plain(said)}-{sits}`; or, if it sits on the {moves},"
        f" {then}",
    )
