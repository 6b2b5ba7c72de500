"""A plug names a socket that is not there.

What it looks for
    A plug whose socket does not exist on the part it names: a wrong number or name, a part
    with no socket at all, or a part alone where it has several sockets to choose from.

Why it matters
    The lead has nowhere to go. On assembly day it ends up in some free socket, and the wrong
    surface moves.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      rudder: {plug: rx.7}

The same, mended
    servos:
      rudder: {plug: rx.4}

Where it comes from
    The thing itself: a plug needs a socket.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import nearest, spoken
from harness.facts.homes import NO_HOME, ways_home
from harness.facts.signals import free_sockets
from harness.parts.contacts import Port
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each plug without a socket."""
    for mate in desk.wiring.mates:
        tap = mate.join.socket.startswith("balance.")  # `part-of-the-cells` speaks of those
        if mate.socket is None and not tap:
            owner = desk.plan.parts[mate.join.part]
            pool = [port for port in desk.wiring.by_part[owner.id] if not port.is_plug]
            yield check.at_plug(
                f"{mate.plug.part.named()} goes into {mate.join.into}, but {owner.named()} has"
                f" {_what(mate.join.socket, pool)}",
                mate,
                owner,
                help=_help(desk, mate, pool),
            )


def _what(name: str, pool: list[Port]) -> str:
    if name and pool:
        return f'no socket "{name}"'
    return f"{len(pool)} sockets and the plan does not say which" if pool else "no socket"


def _help(desk: Desk, mate: Mate, pool: list[Port]) -> str:
    if not pool:
        return "name the part that takes the plug"
    owner, said = pool[0].part, mate.join.socket
    sent = [name for name, number in owner.channels.items() if number == said]
    if sent:
        return f"channel {said} comes out of {owner.id}.{sent[0]}"
    free = free_sockets(desk.wiring, owner.id, mate.plug)
    near = nearest(said, free) if said and not said.isdigit() else None
    if near is not None:
        return f'did you mean "{owner.id}.{near}"?'
    if mate.plug.data and owner.has_channels and not free:
        named = said if said and not said.isdigit() else "tele"
        return f"name the socket of {owner.id} for it: `telemetry: {named}`"
    if not owner.has_channels:
        return f"free sockets of {owner.id}: {spoken(free) or 'none'}"
    (way,) = ways_home(desk.wiring, [mate.plug], owner)
    return f"plug it {way}" if way else NO_HOME
