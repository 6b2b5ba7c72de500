"""Surfaces that share one signal would move the wrong way.

What it looks for
    Servos of one function on one signal (Y-lead, n-way lead, sequencer outlet, two receivers),
    whose shafts, arms, horns and reversals make their surfaces turn another way than they must:
    ailerons opposite ways; flaps, elevator halves, spoilers and twin rudders the same way; left and
    right doors opposite ways. Between two servos that were measured, what was measured decides;
    geometry judges the rest. A word for a function that is not known is listed as not judged.

Why it matters
    A Y-lead gives every servo the same pulse, and the transmitter cannot reverse one of them. Both
    ailerons go up together, or one flap goes down and the other up.

An example that fails
    channels: {6: flap}
    receivers:
      rx: {sockets: 6}
    servos:
      flap-left: {moves: flap, shaft: left, plug: flap-y.1}
      flap-right: {moves: flap, shaft: right, plug: flap-y.2}
    leads:
      flap-y: {kind: y, plug: rx.6}

The same, mended
    servos:
      flap-right: {moves: flap, shaft: right, plug: flap-reverser.1}
    leads:
      flap-reverser: {kind: reverser, plug: flap-y.2}

Where it comes from
    relation = shafts * arms * horns * reversals, each +1 or -1. Common practice; no published
    source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.homes import ways_home
from harness.facts.parity import Sense, SideBySide, compare, pair_of, shared
from harness.facts.signals import Drive, by_signal, function_of, named, side_of
from harness.facts.wording import in_plan, quoted, verb
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule

MUST = {
    "same": "must move the same way",
    "seen": "must move the same way",
    "opposite": "must move opposite ways",
    "mirrored": "must turn opposite ways, so that both open",
}


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each shared signal and function once."""
    for group in by_signal(desk.wiring).values():
        for function, drives in shared(desk.wiring, group).items():
            pair = pair_of(desk.plan, function, (drive.part for drive in drives))
            if not pair:
                _not_known(desk, drives[0])
            elif pair != "any" and len(drives) > 1:
                yield from _judged(desk, pair, function, drives)


def _not_known(desk: Desk, drive: Drive) -> None:
    """List a word whose meaning nobody said."""
    word = function_of(desk.plan, drive)
    known = ", ".join(desk.plan.words.nearest(word))
    missing = f'what "{word}" is: {known} ... (`harness keys functions`); or add it to `functions`'
    desk.not_known(drive.part, missing if word else "what it moves (moves)", "moves")


def _judged(desk: Desk, pair: str, function: str, drives: list[Drive]) -> Findings:
    by_part = {drive.part.id: drive for drive in drives}
    turns = {name: drive.reversals for name, drive in by_part.items()}
    found, gaps = compare(desk.plan, pair, turns)
    for gap in gaps:
        desk.not_known(gap.part, gap.missing, gap.key)
    known = desk.plan.words.find(function)
    must = f"{known.many if known else function} {MUST[pair]}"
    for compared in found:
        if len(set(compared.ways.values())) > 1:
            yield _finding(desk, compared, by_part, must)


def _finding(desk: Desk, compared: SideBySide, by_part: dict[str, Drive], must: str) -> Finding:
    ways, senses = compared.ways, list(compared.senses.values())
    split = {way: [s for s in senses if ways[s.part.id] == way] for way in (1, -1)}
    few = min(split.values(), key=lambda part: (len(part), -_rank(desk, part[0])))
    many = [sense for sense in senses if sense not in few]
    culprit = by_part[max(few, key=lambda sense: _rank(desk, sense)).part.id]
    return check.finding(
        f"{_who(few, many)} on {culprit.outlet.part.id}.{culprit.outlet.name}: {must}",
        culprit.span,
        culprit.part,
        *(sense.part for sense in senses),
        spot="plug",
        help=_cures(desk, [sense.part for sense in few], culprit),
        numbers=tuple((sense.part.id, _said(sense)) for sense in senses),
    )


def _cures(desk: Desk, odd: list[Part], culprit: Drive) -> str:
    """What came fitted stays as it lies; a channel of its own only where one is free."""
    it, outlet = verb(odd, "it", "them"), culprit.outlet
    over = "" if any(part.stays_put for part in odd) else f", turn {it} over"
    plugs = [desk.wiring.ports[part.id, "plug"] for part in odd]
    ways = ways_home(desk.wiring, plugs, outlet.part) if outlet.part.has_channels else [""]
    own = f", or plug {it} {' and '.join(ways)}" if all(ways) else ""
    return (
        f"programme {named(odd)} reversed, if that can be done, put an in-line reverser in"
        f" {verb(odd, 'its lead', 'their leads')}{over}{own}"
    )


def _rank(desk: Desk, sense: Sense) -> int:
    """Order servos without their names: the right-hand one is the one to mark."""
    return {"right": 2, "": 1}.get(side_of(desk.plan, sense.part), 0)


def _who(few: list[Sense], many: list[Sense]) -> str:
    odd, rest = ([sense.part for sense in senses] for senses in (few, many))
    if len(odd) == len(rest):
        every = sorted((*rest, *odd), key=lambda part: part.id)
        return f"{named(every)} would move the wrong way against each other"
    return f"{named(odd)} {verb(odd, 'moves', 'move')} against {quoted(part.id for part in rest)}"


def _said(sense: Sense) -> str:
    return in_plan(sense.facts, sense.part.at("measured" if sense.measured else "shaft"))
