"""Connectors of two kinds that are to meet, and what can be fitted so that they go together."""

from __future__ import annotations

from collections.abc import Iterator

from harness.facts.cures import changed
from harness.facts.currents import currents, plug_bears
from harness.parts.contacts import Form, Port
from harness.wiring.build import Mate, PortId, Wiring, with_parts
from harness.wiring.fact import fact
from harness.wiring.ratings import mating

WORDS = ("connector", "connector-in", "connector-out", "motor-connector")
"""The keys that state the class of a plug or socket."""


@fact
def unlike(wiring: Wiring) -> dict[PortId, Mate]:
    """Return the plugs of batteries and motors that do not go into their sockets."""
    found = dict[PortId, Mate]()
    for mate in wiring.mates:
        socket, forms = mate.socket, {Form.POWER, Form.MOTOR}
        if socket is None or Form.BALANCE in socket.forms or socket.form not in forms:
            continue
        kinds = [mating(wiring.plan, p.connector) for p in (mate.plug, socket) if p.connector]
        if len(set(kinds)) > 1:
            found[mate.plug.id] = mate
    return found


def goes_together(wiring: Wiring, mate: Mate, stays: Port, goes: Port) -> bool:
    """Say whether one side can have the other's class: what else it joins still goes, and bears it.

    A lead states one class for all its sockets.
    """
    if goes.part.as_made:
        return False
    before = set(unlike(wiring)) - {mate.plug.id}
    return any(set(unlike(after)) <= before and _bears(after, mate.plug.id)
               for after in _refitted(wiring, goes, stays.connector))  # fmt: skip


def _bears(wiring: Wiring, plug: PortId) -> bool:
    """Nothing is known of the current while something must be mended first."""
    bears = plug_bears(wiring.plan, wiring.ports[plug].connector)
    return bears is None or not bears.exceeded(currents(wiring).port(*plug))


def _refitted(wiring: Wiring, port: Port, connector: str) -> Iterator[Wiring]:
    """Yield the wirings with another class at a port; the other ends as they were, or not."""
    part = port.part
    own = [word.replace("-", "_") for word in WORDS if part.has_key(word)]
    for name in own:
        unsaid = {other: port.connector for other in own if not getattr(part, other)}
        for keep in (unsaid, {}):
            after = with_parts(wiring, [changed(part, **{**keep, name: connector})])
            if after.ports[port.id].connector == connector:
                yield after
