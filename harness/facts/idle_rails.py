"""The rails that have a source: what they should give, and those that are asked too much."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from harness.facts.radio_contacts import overloaded
from harness.facts.rails import rails, volts_from
from harness.facts.sources import embattled
from harness.facts.supplied import weak_supplies
from harness.parts.contacts import Contact
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact


@dataclass(frozen=True, slots=True)
class IdleRail:
    """A rail that has a source; `idle` is what the source gives without load, V."""

    part: Part
    plus: Contact
    minus: Contact
    source: Part
    idle: float


def idle_rails(wiring: Wiring, part: Part) -> Iterator[IdleRail]:
    """Yield the rails of a part that are fed, each with its highest source."""
    minus = Contact(part.id, "rail", "negative")
    for inside in part.rails:
        plus = Contact(part.id, inside, "positive")
        there = plus in rails(wiring).wiring.nets.root
        volts = [(volts_from(wiring, feed, minus, "nominal"), feed.source.owner)
                 for feed in (rails(wiring).feeds(plus) if there else ())]  # fmt: skip
        known = [(idle, owner) for idle, owner in volts if idle is not None]
        if known:
            idle, owner = max(known)
            yield IdleRail(part, plus, minus, wiring.plan.parts[owner], idle)


@fact
def asked_too_much(wiring: Wiring) -> frozenset[str]:
    """Return the rails whose supply plugs, and the sources that, are asked too much or fight."""
    heavy = {joint.rail for joint in overloaded(wiring)}
    return frozenset(heavy | weak_supplies(wiring) | embattled(wiring))
