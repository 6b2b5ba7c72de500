"""Where a signal goes on from one port to another without a ground beside it."""

from __future__ import annotations

from harness.facts.poles import put_right
from harness.parts.contacts import COPPER, Contact, LinkKind, Port
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
