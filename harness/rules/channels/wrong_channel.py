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
from harness.facts.signals import Drive, channel_function, function_of, named
from harness.facts.wording import in_plan, verb
from harness.parts.contacts import Port
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR, Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report a whole lead's parts once when all are wrong, else each wrong part at its own plug."""
    for group in signals.by_channel(desk.wiring).values():
        socket = group[0].socket
        if socket is None or not channel_function(desk.plan, socket):
            continue
        wrong = [drive for drive in group if not signals.belongs(desk.plan, drive)]
        if len(wrong) == len(group):
            yield _finding(desk, wrong, socket, wrong[0].chain[-1])
            continue
        for drive in wrong:
            if not drive.sequenced:
                yield _finding(desk, [drive], socket, drive.chain[0])


def _finding(desk: Desk, wrong: list[Drive], socket: Port, mate: Mate) -> Finding:
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
        help=_help(desk, worst, socket),
        numbers=_numbers(desk, socket),
    )


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


def _help(desk: Desk, drive: Drive, socket: Port) -> str:
    moves = function_of(desk.plan, drive)
    sent = {name: channel.function for name, channel in desk.plan.channels.items()}
    fitting = [
        f"{part.id}.{name}"
        for part in desk.plan.parts.values()
        for name, function in part.channel_words(sent).items()
        if name in part.channels and desk.plan.words.agree(moves, function) and name != socket.name
    ]
    if fitting:
        return f"plug it into {spoken(sorted(fitting), 'or')}, or correct the channels"
    return f"give {moves} a channel of its own, or correct `moves`"


def _numbers(desk: Desk, socket: Port) -> Numbers:
    channel = desk.plan.channels.get(socket.name)
    if socket.part.sets_outputs or channel is None:
        return ()
    span = channel.spans.get("function", channel.span)
    return ((f"channel {socket.name}", in_plan(channel.function, span)),)
