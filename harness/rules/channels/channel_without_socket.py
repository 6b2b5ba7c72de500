"""A channel is declared that no receiver can give out.

What it looks for
    Channels of the plan for which no receiver has a socket, or which lie beyond what the
    transmitter sends. Where a receiver hands its channels on by a bus, only the transmitter counts.

Why it matters
    More functions than sockets: a larger receiver, a second one or a Y-lead has to be found before
    the cover is on.

An example that fails
    channels: {1: aileron, 2: elevator, 3: rudder, 7: hook}
    receivers:
      rx: {sockets: 6}

The same, mended
    channels: {1: aileron, 2: elevator, 3: rudder, 6: hook}

Where it comes from
    The plan itself: its channels against the sockets of its receivers.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.homes import open_channels
from harness.facts.signals import astray, has_bus
from harness.facts.wording import in_plan
from harness.parts.receiver import Receiver
from harness.plan.radio import Channel
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each channel once; a plug that names the missing socket is reported instead of it."""
    receivers = sorted(desk.plan.of(Receiver), key=lambda r: r.id)
    there = {name for receiver in receivers for name in receiver.channels.values()}
    there |= {mate.join.socket for mate in desk.wiring.mates if mate.socket is None}
    there |= {*astray(desk.wiring)}
    sent = desk.plan.transmitter.channels
    for name, channel in desk.plan.channels.items():
        if sent is not None and name.isdigit() and int(name) > sent:
            yield _not_sent(desk, name, channel, receivers)
        elif receivers and not has_bus(desk.plan) and name not in there:
            yield _no_socket(desk, name, channel, receivers)


def _not_sent(desk: Desk, name: str, channel: Channel, receivers: list[Receiver]) -> Finding:
    radio = desk.plan.transmitter
    return check.finding(
        f"channel {name} ({channel.function}) is beyond the {radio.channels} channels the"
        " transmitter sends",
        channel.spans.get("function", channel.span),
        *receivers,
        help=f"{_free(desk, channel)}fly it with a transmitter of {name} channels or more",
        numbers=(("channels sent", in_plan(f"{radio.channels}", radio.spans["channels"])),),
    )


def _free(desk: Desk, channel: Channel) -> str:
    """Name the channels that are free for its function."""
    found = spoken(open_channels(desk.wiring, channel.function), "or")
    return f"write it as channel {found}, " if found else ""


def _no_socket(desk: Desk, name: str, channel: Channel, receivers: list[Receiver]) -> Finding:
    counts = spoken(f"{r.id} has {len(r.channels)}" for r in receivers)
    return check.finding(
        f"no receiver has a socket for channel {name}, {channel.function} ({counts})",
        channel.spans.get("function", channel.span),
        *receivers,
        help=f"{_free(desk, channel)}take a receiver that has it, or say which channel each"
        " socket gives (`sockets: {aile: 1, ...}`)",
        numbers=tuple(
            (f"sockets of {r.id}", in_plan(f"{len(r.channels)}", r.at("sockets")))
            for r in receivers
        ),
    )
