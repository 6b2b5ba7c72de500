"""A stabiliser steadies a surface about an axis that is not its own.

What it looks for
    Outlets of a stabiliser or gyro whose axis (`axes`, or the outlet's own name) is not the
    function of the channel that its lead comes from, or not that of the surface on it.

Why it matters
    The box answers every bank with the elevator, or every pitch with the ailerons. The sticks work
    on the ground as they should; the first gust in the air turns into a dive.

An example that fails
    channels: {1: aileron, 2: elevator}
    receivers:
      rx: {sockets: 6}
    stabilisers:
      gyro: {plugs: {1: rx.1, 2: rx.2}, axes: {1: aileron, 2: aileron}}
    servos:
      aileron: {moves: aileron, plug: gyro.1}
      elevator: {moves: elevator, plug: gyro.2}

The same, mended
    stabilisers:
      gyro: {plugs: {1: rx.1, 2: rx.2}, axes: {1: aileron, 2: elevator}}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.homes import NO_HOME, plug_named, ways_home
from harness.facts.signals import Drive, Steadied, base_of, named, steadied
from harness.facts.wording import verb
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each outlet once."""
    for one in steadied(desk.wiring):
        if not one.axis:
            if any(drive.part.swings for drive in one.hung):
                missing = f"what outlet {one.outlet} is steadied for (axes)"
                desk.not_known(one.box, missing, "axes")
        elif wrong := [drive for drive in one.hung if _wrong(desk, one, drive)]:
            yield _surface(desk, one, wrong)
        elif one.misfed(desk.plan):
            yield _lead(desk, one)


def _wrong(desk: Desk, one: Steadied, drive: Drive) -> bool:
    """Say whether a surface agrees with its channel, but not with the axis between them.

    One that disagrees with its channel is told of by `wrong-channel`. A mixed surface may be
    steadied for one of its sticks, if all of its sort on that box are steadied for the same.
    """
    words, own = desk.plan.words, base_of(desk.plan, drive)
    if not (words.find(own) and words.find(one.axis)) or not words.agree(own, one.source or own):
        return False
    function, axis = words.find(own), words.base(one.axis)
    if function and axis in function.mixes:
        axes = {
            words.base(other.axis)
            for other in steadied(desk.wiring)
            if other.box is one.box
            for twin in other.hung
            if base_of(desk.plan, twin) == own
        }
        return len(axes - {own}) > 1
    return not words.agree(own, axis)


def _surface(desk: Desk, one: Steadied, wrong: list[Drive]) -> Finding:
    parts = [drive.part for drive in wrong]
    moves = spoken(sorted({base_of(desk.plan, drive) for drive in wrong}))
    return check.finding(
        f"{_steadies(one)}, but {named(parts)} there {verb(parts, 'moves', 'move')} {moves}",
        wrong[0].chain[0].span,
        wrong[0].part,
        one.box,
        *parts[1:],
        spot="plug",
        help=_help(desk, one, moves),
    )


def _steadies(one: Steadied) -> str:
    of = f" for {one.axis}" if one.axis != one.outlet else ""
    return f'{one.box.named()} steadies outlet "{one.outlet}"{of}'


def _help(desk: Desk, one: Steadied, moves: str) -> str:
    there = [
        s.outlet
        for s in steadied(desk.wiring)
        if s.box is one.box and s.axis and desk.plan.words.agree(moves, s.axis)
    ]
    if there:
        to = f"{one.box.id}.{there[0]}"
        return f"plug it into {to}, with that outlet's lead in the channel for {moves}"
    return (
        f"if the box is set so, write `axes: {{{one.outlet}: {moves}}}`; else plug it into"
        f" {one.socket.short}, where the lead of that outlet is now"
    )


def _lead(desk: Desk, one: Steadied) -> Finding:
    return check.at_plug(
        f"{_steadies(one)}, but its lead comes from the channel for {one.source}",
        one.mate,
        help=_lead_help(desk, one),
    )


def _lead_help(desk: Desk, one: Steadied) -> str:
    """Send the lead to the channel of what hangs on the outlet; what is free is not declared so."""
    if one.hung:
        (way,) = ways_home(desk.wiring, [one.mate.plug], one.socket.part, one.socket)
        return f"put {plug_named(one.mate.plug)} {way}" if way else NO_HOME
    return f"put it in a channel for {one.axis}, or, if the box is set so, write `axes:" + (
        f" {{{one.outlet}: {one.source}}}`"
    )
