"""A channel is declared and nothing is plugged into it.

What it looks for
    Channels whose socket is empty on every receiver, while no stray part of that function
    explains it. Channels handed on by a bus lead are left out.

Why it matters
    Either a part is missing from the plan, or the transmitter carries a channel nobody uses.

An example that fails
    channels: {1: aileron, 2: elevator}
    receivers:
      rx: {sockets: 6}
    servos:
      elevator: {moves: elevator, plug: rx.2}

The same, mended
    channels: {2: elevator}

Where it comes from
    The plan itself.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.signals import functions_astray, has_bus
from harness.parts.receiver import Receiver
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each empty channel once."""
    if has_bus(desk.plan):
        return
    receivers = sorted(desk.plan.of(Receiver), key=lambda r: r.id)
    astray = functions_astray(desk.wiring)
    for name, channel in desk.plan.channels.items():
        owners = [r for r in receivers if name in r.channels.values()]
        sockets = [(r.id, s) for r in owners for s, number in r.channels.items() if number == name]
        used = any(desk.wiring.by_socket.get(socket) for socket in sockets)
        homeless = any(desk.plan.words.agree(moves, channel.function) for moves in astray)
        if owners and not used and not homeless:
            yield check.finding(
                f"nothing is plugged into channel {name} ({channel.function})",
                channel.spans.get("function", channel.span),
                *owners,
                spot=sockets[0][1],
                help="plug in what it is for, or take the channel out of the plan",
            )
