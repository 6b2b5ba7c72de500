"""Surfaces that share one signal would move the wrong way.

What it looks for
    Servos of one function on one signal (Y-lead, n-way lead, sequencer outlet, two receivers),
    whose shafts, arms, horns and reversals make their surfaces turn another way than they must:
    ailerons opposite ways; flaps, elevator halves, spoilers and twin rudders the same way; left and
    right gear doors opposite ways. What was measured overrides the geometry.

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
from harness.facts.motion import Sense, sense_of, shared, wanted
from harness.facts.signals import Drive, by_signal, named, side_of
from harness.facts.wording import in_plan, quoted, verb
from harness.rules.rule import Desk, Findings, rule

MUST = {
    "aileron": "ailerons must move opposite ways",
    "gear-door": "left and right gear doors must turn opposite ways, so that both open",
    "flap": "flaps must move the same way",
    "elevator": "elevator halves must move the same way",
    "spoiler": "spoilers must move the same way",
    "rudder": "rudders must move the same way",
}


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each shared signal and function once."""
    for group in by_signal(desk.wiring).values():
        for function, drives in shared(desk.wiring, group).items():
            senses = _comparable(desk, drives)
            ways = _ways(desk, senses, function) if len(senses) > 1 else {}
            if len(set(ways.values())) > 1:
                yield _finding(desk, senses, ways, function)


def _comparable(desk: Desk, drives: list[Drive]) -> list[Sense]:
    """Return the senses in the frame most servos share; list what is missing for the others."""
    found = {drive.part.id: sense_of(drive) for drive in drives}
    senses = [sense for sense in found.values() if sense is not None]
    for drive in drives:
        if found[drive.part.id] is None:
            missing = "which way its shaft faces, or what a longer pulse does (shaft or measured)"
            desk.not_known(drive.part, missing, "shaft")
    if not senses:
        return []
    frames = [sense.frame for sense in senses]
    frame = max(sorted(set(frames)), key=frames.count)
    kept = [sense for sense in senses if sense.frame == frame]
    for sense in senses:
        if sense.frame != frame:
            missing = f"what a longer pulse does, measured as for {kept[0].drive.part.id}"
            desk.not_known(sense.drive.part, missing, "measured")
    return kept if kept[0].measured else _alike(desk, kept)


def _alike(desk: Desk, senses: list[Sense]) -> list[Sense]:
    """Drop servos whose arm or horn is not stated while another's is."""
    kept = senses
    for word in ("arm", "horn"):
        silent = [sense for sense in senses if not getattr(sense.drive.part, word)]
        if len(silent) < len(senses):
            for sense in silent:
                desk.not_known(sense.drive.part, f"its {word}, as others have it", word)
            kept = [sense for sense in kept if sense not in silent]
    return kept


def _ways(desk: Desk, senses: list[Sense], function: str) -> dict[str, int]:
    """Return +1 for each servo that agrees with the first, -1 for one that moves against it."""
    ways: dict[str, int] = {}
    first = max(senses, key=lambda sense: side_of(desk.plan, sense.drive.part) != "")
    for sense in senses:
        must = 1 if sense is first else wanted(desk.wiring, first, sense, function)
        if must is None:
            missing = (
                f"how it must move against {first.drive.part.id}: the side of both (a place with"
                " `side`, or an id that ends in -left or -right)"
            )
            desk.not_known(sense.drive.part, missing, "place")
        else:
            ways[sense.drive.part.id] = sense.way * first.way * must
    return ways


def _finding(desk: Desk, senses: list[Sense], ways: dict[str, int], function: str) -> Finding:
    judged = [sense for sense in senses if sense.drive.part.id in ways]
    split = {way: [s for s in judged if ways[s.drive.part.id] == way] for way in (1, -1)}
    few = min(split.values(), key=lambda part: (len(part), -_rank(desk, part[0])))
    many = [sense for sense in judged if sense not in few]
    culprit = max(few, key=lambda sense: _rank(desk, sense)).drive
    return check.finding(
        f"{_who(few, many)} on {culprit.outlet.part.id}.{culprit.outlet.name}: {MUST[function]}",
        culprit.span,
        culprit.part,
        *(sense.drive.part for sense in judged),
        spot="plug",
        help=f"reverse {named([sense.drive.part for sense in few])}, put an in-line reverser in"
        " that lead, turn the servo over, or give each side a channel",
        numbers=tuple((sense.drive.part.id, _said(sense)) for sense in judged),
    )


def _rank(desk: Desk, sense: Sense) -> int:
    """Order servos without their names: the right-hand one is the one to mark."""
    return {"right": 2, "": 1}.get(side_of(desk.plan, sense.drive.part), 0)


def _who(few: list[Sense], many: list[Sense]) -> str:
    odd, rest = ([sense.drive.part for sense in senses] for senses in (few, many))
    if len(odd) == len(rest):
        every = sorted((*rest, *odd), key=lambda part: part.id)
        return f"{named(every)} would move the wrong way against each other"
    return f"{named(odd)} {verb(odd, 'moves', 'move')} against {quoted(part.id for part in rest)}"


def _said(sense: Sense) -> str:
    return in_plan(sense.facts, sense.drive.part.at("measured" if sense.measured else "shaft"))
