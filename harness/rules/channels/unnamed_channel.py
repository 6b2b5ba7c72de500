"""A device hangs on a channel that the plan gives no function.

What it looks for
    A servo, ESC, retract leg or switched load on a receiver's socket that `channels` does not
    name, or on an autopilot's output that `outputs` does not name. Where the plan has no channels
    at all this is listed as unknown.

Why it matters
    Nobody can check what moves it, what it does without signal, or set up the transmitter to match.

An example that fails
    channels: {1: aileron, 2: elevator}
    receivers:
      rx: {sockets: 6}
    servos:
      elevator: {moves: elevator, plug: rx.2}
      tow-hook: {moves: hook, plug: rx.6}

The same, mended
    channels: {1: aileron, 2: elevator, 6: hook}

Where it comes from
    The plan itself: every channel in use has a function.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.signals import (
    Drive,
    astray,
    by_channel,
    channel_function,
    function_of,
    misprints,
    named,
)
from harness.facts.wording import verb
from harness.parts.contacts import Port
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each socket once."""
    for group in by_channel(desk.wiring).values():
        socket = group[0].socket
        assert socket is not None
        if channel_function(desk.plan, socket) or socket.id in misprints(desk.wiring):
            continue
        if socket.part.sets_outputs and not socket.part.outputs:
            desk.not_known(socket.part, "the functions of its outputs", "outputs")
        elif not socket.part.sets_outputs and not desk.plan.channels:
            desk.plan_not_known("the functions of the channels", desk.plan.channels_span)
        else:
            yield _finding(desk, group, socket)


def _finding(desk: Desk, group: list[Drive], socket: Port) -> Finding:
    parts = [drive.part for drive in group]
    box, name = socket.part, socket.name
    word = f"outputs of {box.id}" if box.sets_outputs else "channels"
    number = socket.channel
    twin = next((channel for channel, to in astray(desk.wiring).items() if to == number), "")
    moves = function_of(desk.plan, group[0]) or "its function"
    return check.finding(
        f"{named(parts)} {verb(parts, 'hangs', 'hang')} on {box.id}.{name},"
        f' but the {word} do not name "{number}"',
        group[0].chain[-1].span,
        box,
        *parts,
        spot=name,
        help=f"write channel `{twin}` as `{number}`, that of its socket"
        if twin and not box.sets_outputs
        else f"add `{number}: {moves}` to the {word}",
    )
