"""A part hangs on a channel of another function or side.

What it looks for
    A servo, ESC, retract leg or switched load that moves one thing while the channel its lead
    comes from is for another, or for the other side. On an autopilot the `outputs` count. Doors
    on a sequencer belong to the gear; a servo without `moves` takes its channel's function.

Why it matters
    The wrong surface moves, or a motor answers to a stick whose centre means half throttle.

An example that fails
    channels: {1: aileron, 2: elevator, 4: rudder, 5: lights}
    receivers:
      rx: {sockets: 6}
    servos:
      elevator: {moves: elevator, plug: rx.2}
      rudder: {moves: rudder, plug: rx.5}

The same, mended
    servos:
      rudder: {moves: rudder, plug: rx.4}

Where it comes from
    The plan itself: its channels against what its parts move. A mix's channel (flaperon, elevon,
    v-tail) takes both halves, and a rudder's takes nose steering; common practice.
"""

from __future__ import annotations

from harness.base.finding import Finding, Numbers, Severity
from harness.base.near import spoken
from harness.facts import signals
from harness.facts.homes import NO_HOME, plug_named, stick_on, ways_home
from harness.facts.signals import Drive, channel_function, function_of, named
from harness.facts.wording import in_plan, verb
from harness.parts.contacts import Port
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR, Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report a whole lead's parts once when all are wrong, else each wrong part at its own plug."""
    misfed = [one for one in signals.steadied(desk.wiring) if one.misfed(desk.plan)]
    elsewhere = {d.part.id for one in misfed for d in one.hung if _of(desk, d, one.axis)}
    elsewhere |= {part.id for part, *_ in signals.on_other_side(desk.wiring)}
    for group in signals.by_channel(desk.wiring).values():
        socket = group[0].socket
        if socket is None or not channel_function(desk.plan, socket):
            continue
        if socket.id in signals.misprints(desk.wiring):
            continue
        wrong = [drive for drive in group if not signals.belongs(desk.plan, drive)]
        wrong = [drive for drive in wrong if drive.part.id not in elsewhere]
        if wrong and len(wrong) == len(group):
            yield _finding(desk, wrong, socket, wrong[0].chain[-1], whole=True)
            continue
        for drive in wrong:
            if not drive.sequenced:
                yield _finding(desk, [drive], socket, drive.chain[0])


def _finding(
    desk: Desk, wrong: list[Drive], socket: Port, mate: Mate, *, whole: bool = False
) -> Finding:
    """Point at the one plug that all the wrong parts come through."""
    worst = min(wrong, key=lambda d: (not d.part.drives, d.part.id))
    parts = [worst.part, *(d.part for d in wrong if d is not worst)]
    danger = worst.part.drives and not _is_side(desk, worst)
    then = ": a centred stick would be half throttle" if danger else ""
    return check.finding(
        f"{named(parts)} {_what(desk, wrong)}, but {socket.part.id}.{socket.name} is"
        f" {channel_function(desk.plan, socket)}{then}",
        mate.span,
        *parts,
        socket.part,
        severity=Severity.DANGER if danger else None,
        spot="plug",
        help=_not_a_word(desk, worst, socket) + _help(desk, mate.plug, socket, whole),
        numbers=_numbers(desk, socket),
    )


def _of(desk: Desk, drive: Drive, axis: str) -> bool:
    """Whether it is right on its outlet, whose own lead is plugged wrong: `wrong-axis` speaks."""
    return desk.plan.words.agree(function_of(desk.plan, drive), axis)


def _is_side(desk: Desk, drive: Drive) -> bool:
    """Whether the function is right and only the side is wrong."""
    return desk.plan.words.agree(
        function_of(desk.plan, drive), channel_function(desk.plan, drive.socket)
    )


def _what(desk: Desk, wrong: list[Drive]) -> str:
    if all(_is_side(desk, drive) for drive in wrong):
        side = spoken(sorted({signals.side_of(desk.plan, drive.part) for drive in wrong}))
        return f"{verb(wrong, 'works', 'work')} on the {side}"
    return f"{verb(wrong)} for {spoken(sorted({function_of(desk.plan, d) for d in wrong}))}"


def _not_a_word(desk: Desk, drive: Drive, socket: Port) -> str:
    """Say how a word of another language gets its meaning, where just one of the two is known."""
    words = function_of(desk.plan, drive), channel_function(desk.plan, socket)
    own, other = sorted(words, key=lambda word: desk.plan.words.find(word) is not None)
    if desk.plan.words.find(own) or not desk.plan.words.find(other):
        return ""
    line = f"functions: {{{own}: {desk.plan.words.base(other)}}}"
    return f'"{own}" is no word known here: if it is that, write `{line}`; else '


def _help(desk: Desk, plug: Port, socket: Port, whole: bool) -> str:
    """Send it where it belongs; a channel that the radio's own order fixes is right as it is."""
    (way,) = ways_home(desk.wiring, [plug], socket.part, socket)
    stick = stick_on(desk.plan, socket)
    right = stick and desk.plan.words.agree(stick, channel_function(desk.plan, socket))
    other = ", or correct the channels" if whole and not right else ""
    return f"put {plug_named(plug)} {way}{other}" if way else f"{NO_HOME}{other}"


def _numbers(desk: Desk, socket: Port) -> Numbers:
    channel = desk.plan.channels.get(socket.channel)
    if socket.part.sets_outputs or channel is None:
        return ()
    span = channel.spans.get("function", channel.span)
    return ((f"channel {socket.channel}", in_plan(channel.function, span)),)
