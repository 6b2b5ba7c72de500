"""Where a signal goes on from one port to another without a ground beside it."""

from __future__ import annotations

from harness.facts.poles import put_right
from harness.parts.contacts import COPPER, Contact, LinkKind, Port, Role
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact


@fact
def _joined(wiring: Wiring) -> set[tuple[Contact, str, str]]:
    """Every contact with the ports that a link joins it to, by copper or as a signal."""
    kinds = COPPER | {LinkKind.RELAY}
    links = [link for link in put_right(wiring).links if link.kind in kinds]
    there = {(link.a, link.b.part, link.b.port) for link in links}
    return there | {(link.b, link.a.part, link.a.port) for link in links}


def loses_ground(wiring: Wiring, one: Port, other: Port) -> bool:
    """Say whether the signal goes on from one port to the other and the negative does not."""
    signal, ground = (
        (one.pin(pin), *other.id) in _joined(wiring) for pin in ("signal", "negative")
    )
    return signal and not ground


@fact
def _listening(wiring: Wiring) -> set[str]:
    """The parts with a terminal of their own for the signal that comes in."""
    ends = [contact for contact, role in wiring.roles.items() if role is Role.SIGNAL]
    ports = ((end.part, wiring.ports.get((end.part, end.port))) for end in ends)
    return {part for part, port in ports if port is None or port.is_plug}


def wants_ground(wiring: Wiring, part: Part) -> bool:
    """Say whether a part needs a ground beside its signal; a bare motor by what drives it."""
    return part.obeys or part.id in _listening(wiring)
