"""Surfaces that share one signal would move the wrong way.

What it looks for
    Servos on one signal (Y-lead, n-way lead, sequencer outlet, two receivers), whose shafts, arms,
    horns and reversals make their surfaces turn another way than they must: ailerons opposite ways;
    flaps, elevator halves, spoilers and twin rudders the same way; left and right doors opposite
    ways. Things of two functions are judged against each other too: slats go with the flaps, wheels
    with the rudder, a canard against the elevator. Between two servos that were measured, what was
    measured decides; geometry judges the rest. A word that is not known is listed as not judged.

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
from harness.facts.homes import in_kit, ways_home
from harness.facts.parity import Sense, SideBySide, Team, on_one_pulse
from harness.facts.signals import Drive, base_of, by_signal, function_of, named, side_of
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
    """Report each shared signal and function once; things unlike where those alike are right."""
    for group in by_signal(desk.wiring).values():
        told: set[str] = set()
        by_part = {drive.part.id: drive for drive in group}
        for team in on_one_pulse(desk.wiring, group):
            drives = {name: by_part[name] for name in team.turns}
            if team.beside and told & drives.keys():
                continue
            if not team.pair:
                _not_known(desk, team, list(drives.values()))
            elif team.pair != "any" and len(drives) > 1:
                found = list(_judged(desk, team, drives))
                told |= drives.keys() if found else set()
                yield from found


def _not_known(desk: Desk, team: Team, drives: list[Drive]) -> None:
    """List a word whose meaning nobody said, and things that nobody said how to go together."""
    if team.beside:
        missing = (
            f"what {team.function} must do on one pulse with {team.beside} (beside, in functions)"
        )
        desk.not_known(drives[0].part, missing, "moves")
        return
    if len({base_of(desk.plan, drive) for drive in drives}) > 1:
        desk.not_known(drives[0].part, f"what {team.function} must do on one pulse", "moves")
        return
    word = function_of(desk.plan, drives[0])
    known = ", ".join(desk.plan.words.nearest(word))
    missing = f'what "{word}" is: {known} ... (`harness keys functions`); or add it to `functions`'
    desk.not_known(drives[0].part, missing if word else "what it moves (moves)", "moves")


def _judged(desk: Desk, team: Team, by_part: dict[str, Drive]) -> Findings:
    found, gaps = team.compare(desk.plan)
    asked = {one.part for one in desk.unknown if one.rule == check.name}
    for gap in gaps:
        if gap.part.id not in asked:
            desk.not_known(gap.part, gap.missing, gap.key)
    for compared in found:
        if len(set(compared.ways.values())) > 1:
            yield _finding(desk, compared, by_part, team)


def _must(desk: Desk, team: Team) -> str:
    known = desk.plan.words.find(team.function)
    many = known.many if known else team.function
    if not team.beside:
        return f"{many} {MUST[team.pair]}"
    against = known is not None and known.beside == "opposite"
    return f"{many} must move {'against' if against else 'with'} the {team.beside}"


def _finding(desk: Desk, compared: SideBySide, by_part: dict[str, Drive], team: Team) -> Finding:
    ways, senses = compared.ways, list(compared.senses.values())
    split = {way: [s for s in senses if ways[s.part.id] == way] for way in (1, -1)}

    def rank(sense: Sense) -> tuple[bool, int]:
        """Order them without their names: what hangs on another, then the right-hand one."""
        hangs = bool(team.beside) and base_of(desk.plan, by_part[sense.part.id]) != team.beside
        return hangs, {"right": 2, "": 1}.get(side_of(desk.plan, sense.part), 0)

    few = max(split.values(), key=lambda part: (-len(part), *rank(part[0])))
    many = [sense for sense in senses if sense not in few]
    culprit = by_part[max(few, key=rank).part.id]
    return check.finding(
        f"{_who(few, many)} on {culprit.outlet.part.id}.{culprit.outlet.name}: {_must(desk, team)}",
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
    can = [part.programmed(desk.plan.catalogue) for part in odd]
    perhaps = "" if all(can) else ", if that can be done"
    programme = "" if False in can else f"programme {named(odd)} reversed{perhaps}, "
    leads = verb(odd, "its lead", "their leads") if programme else f"the lead of {named(odd)}"
    spare = in_kit(desk.plan, "reverser")
    return f"{programme}put an in-line reverser{spare} in {leads}{over}{own}"


def _who(few: list[Sense], many: list[Sense]) -> str:
    odd, rest = ([sense.part for sense in senses] for senses in (few, many))
    if len(odd) == len(rest):
        every = sorted((*rest, *odd), key=lambda part: part.id)
        return f"{named(every)} would move the wrong way against each other"
    return f"{named(odd)} {verb(odd, 'moves', 'move')} against {quoted(part.id for part in rest)}"


def _said(sense: Sense) -> str:
    return in_plan(sense.facts, sense.part.at("measured" if sense.measured else "shaft"))
