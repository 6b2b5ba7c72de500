"""Ways through the wiring: a lead from end to end, all that serves one function."""

from __future__ import annotations

from collections.abc import Iterable

from harness.diagram.stages import PortId
from harness.parts.capacitor import Capacitor
from harness.parts.contacts import Port
from harness.wiring.build import Mate, Wiring
from harness.wiring.graph import runs


def ends_of(mates: Iterable[Mate]) -> set[str]:
    """Return the parts at both ends of some mates."""
    found: set[str] = set()
    for mate in mates:
        found.add(mate.plug.part.id)
        if mate.socket is not None:
            found.add(mate.socket.part.id)
    return found


def traced(wiring: Wiring, plugs: Iterable[PortId]) -> list[Mate]:
    """Return the mates from some plugs up to their source and down to their devices."""
    from networkx import descendants

    found: set[PortId] = set()
    for plug in plugs:
        found |= {plug, *_above(wiring, plug), *descendants(runs(wiring), plug)}
    return [mate for mate in wiring.mates if mate.plug.id in found]


def _above(wiring: Wiring, plug: PortId) -> set[PortId]:
    from networkx import ancestors

    return ancestors(runs(wiring), plug)


def serving(wiring: Wiring, function: str) -> set[str]:
    """Return the parts that serve a function, from its socket to the motor and the pack."""
    found: set[str] = set()
    for port in wiring.ports.values():
        if not port.is_plug and _does(wiring, port) == function:
            found |= {port.part.id, *(plug.part.id for plug in wiring.downstream(port.id))}
    for part in wiring.plan.parts.values():
        if getattr(part, "moves", "") == function:
            found |= {part.id, *ends_of(wiring.upstream(part.id))}
    for name in sorted(found):
        if wiring.plan.parts[name].drives:
            found |= _drive(wiring, name)
    return found


def _does(wiring: Wiring, port: Port) -> str:
    if port.part.sets_outputs:
        return port.part.outputs.get(port.name, "")
    channel = wiring.plan.channels.get(port.name)
    return channel.function if port.part.is_radio and channel else ""


def _drive(wiring: Wiring, esc: str) -> set[str]:
    """Return what an ESC drives, what sits at it, and what feeds it."""
    motors = {mate.plug.part.id for mate in wiring.by_socket.get((esc, "motor"), ())}
    caps = {c.id for c in wiring.plan.of(Capacitor) if c.across == esc}
    supply = (esc, "supply")
    if supply not in wiring.by_plug:
        return motors | caps
    above = {supply, *_above(wiring, supply)}
    return motors | caps | ends_of(mate for mate in wiring.mates if mate.plug.id in above)
