"""A receiver's sockets are printed in another order than its channels have.

What it looks for
    A socket with the name of a stick's function printed at it, such as `thro`, which by its place
    in the list, or as stated, gives another channel than the plan has for that function, while
    that channel's socket is printed with another stick's name.

Why it matters
    One of the two is wrong. Plugged by the print, a motor may run with the elevator stick; plugged
    by the number, with another. Nothing else about these sockets can be judged until it is known.

An example that fails
    transmitter: {order: AETR}
    channels: {1: aileron, 2: elevator, 3: {function: throttle, failsafe: off}, 4: rudder}
    receivers:
      rx: {sockets: [thro, aile, elev, rudd]}
    escs:
      esc: {bec: none, plug: rx.thro}

The same, mended
    receivers:
      rx: {sockets: {thro: 3, aile: 1, elev: 2, rudd: 4}}

Where it comes from
    Common practice; no published source: receivers print their sockets in the order of their own
    maker's radios, and the order differs from maker to maker.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.signals import Misprint, misprints
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each receiver once."""
    by_receiver: dict[str, list[Misprint]] = defaultdict(list)
    for found in misprints(desk.wiring).values():
        by_receiver[found.receiver.id].append(found)
    for some in by_receiver.values():
        receiver = some[0].receiver
        said = (
            f"{one.socket} gives channel {receiver.channels[one.socket]}, but {one.function} is"
            f" channel {one.meant}"
            for one in some
        )
        throttle = any(one.function == "throttle" for one in some)
        yield check.finding(
            f"{receiver.named()} is printed in another order than the channels have: "
            + spoken(said),
            receiver.at("sockets"),
            receiver,
            severity=Severity.DANGER if throttle else None,
            spot=some[0].socket,
            help="look up in its instructions which channel each socket gives, and write that:"
            f" `sockets: {{{_meant(some)}}}` if the channels are right",
        )


def _meant(some: list[Misprint]) -> str:
    meant = {one.socket: one.meant for one in some}
    sockets = some[0].receiver.channels
    return ", ".join(f"{name}: {meant.get(name, number)}" for name, number in sockets.items())
