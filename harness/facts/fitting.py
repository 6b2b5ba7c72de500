"""Connectors of two kinds that are to meet, and what can be fitted so that they go together."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from harness.base.near import spoken
from harness.base.units import WireSize
from harness.facts.cures import changed
from harness.facts.currents import currents, plug_bears, plugs_for
from harness.facts.stronger import gauge_wanted, too_thin
from harness.facts.wording import joined
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


def classes_for(wiring: Wiring, ports: Collection[Port]) -> tuple[list[str], str]:
    """Return what the joints at some ports may have on both sides, and which then have it too.

    They bear what flows and take the wires, as thick as these have to be. Bare bullets, which go
    together either way round, only where such are there or nothing else bears it; first those of
    as many poles as there are.
    """
    every = list(ports)
    for port in every:
        every += [p for p in _along(wiring, port) if p not in every]
    if any(port.part.as_made for port in every):
        return [], ""

    def said(row: str, key: str) -> str:
        found = wiring.plan.catalogue.value("plugs", row, key)
        return found.text if found else ""

    rows = [
        plugs_for(wiring.plan, currents(wiring).port(*p.id), _size(wiring, p), p.form)
        for p in every
    ]
    fit = [row for row in rows[0] if all(row in some for some in rows)]
    if not any(said(port.connector, "keyed") == "no" for port in every):
        fit = [row for row in fit if said(row, "keyed") == "yes"] or fit
    poles = said(every[0].connector, "contacts")
    fit.sort(key=lambda row: said(row, "contacts") != poles)
    mates = (wiring.by_plug.get(port.id) for port in every)
    more = [m for m in mates if m and m.plug not in ports and m.socket not in ports]
    return fit, f", and on those of {spoken(map(joined, more))}" if more else ""


def _along(wiring: Wiring, port: Port) -> Iterator[Port]:
    """Yield what changes with a port: what it is joined with, what the same key is the class of."""
    part, mate = port.part, wiring.by_plug.get(port.id)
    mates = [mate] if mate else wiring.by_socket.get(port.id, ())
    yield from (p for m in mates if (p := m.socket if port.is_plug else m.plug) is not None)
    apart = part.has_key("connector-in") or part.has_key("connector-out")
    yield from (
        p
        for p in wiring.by_part[part.id]
        if p.form is port.form and not (apart and p.is_plug is not port.is_plug)
    )


def _size(wiring: Wiring, port: Port) -> WireSize | None:
    """Return the gauge of a port's wire, as thick as it has to be."""
    wanted = gauge_wanted(wiring, port) if port.id in too_thin(wiring) else None
    return wanted.size if wanted else port.wire.size


def goes_together(wiring: Wiring, mate: Mate, stays: Port, goes: Port) -> bool:
    """Say whether one side can have the other's class: what else it joins still goes, and bears it.

    A lead states one class for all its sockets.
    """
    if goes.part.as_made:
        return False
    before = set(unlike(wiring)) - {mate.plug.id}
    return any(
        set(unlike(after)) <= before and _bears(after, mate.plug.id)
        for after in _refitted(wiring, goes, stays.connector)
    )


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
