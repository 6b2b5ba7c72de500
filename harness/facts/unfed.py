"""What no source reaches."""

from __future__ import annotations

from collections import defaultdict

from harness.facts.rails import consumers, rails
from harness.parts.contacts import Contact
from harness.parts.part import Part
from harness.wiring.build import Wiring


def unfed_nets(wiring: Wiring) -> dict[Contact, list[Part]]:
    """Return the positive nets without a source, with the parts on them, by id.

    A part whose own lead goes nowhere is told by the rule about that plug, and left out here.
    """
    found: dict[Contact, list[Part]] = defaultdict(list)
    for consumer in consumers(wiring):
        if _is_plugged(wiring, consumer.part) and not rails(wiring).feeds(consumer.positive):
            found[rails(wiring).wiring.nets.root[consumer.positive]].append(consumer.part)
    return {net: sorted(parts, key=lambda part: part.id) for net, parts in found.items()}


def _is_plugged(wiring: Wiring, part: Part) -> bool:
    return part.has_channels or any(_is_whole(wiring, part.id, name) for name, _ in part.joins())


def _is_whole(wiring: Wiring, part: str, name: str) -> bool:
    """Whether the way from a plug up to its device has no fault."""
    mates = wiring.upstream(part, name)
    sound = all(mate.socket is not None and mate.fits and mate.first for mate in mates)
    return sound and wiring.driver(part, name) is not None


def bec_not_stated(wiring: Wiring, net: Contact) -> Part | None:
    """Return an ESC on a net of which nobody said whether it has a BEC."""
    contacts = rails(wiring).wiring.nets.net(net)
    names = sorted({contact.part for contact in contacts if contact.port == "body"})
    parts = [wiring.plan.parts[name] for name in names]
    return next((part for part in parts if part.drives and part.bec is None), None)


def found_dead(wiring: Wiring, part: Part) -> Part | None:
    """Return what was found dead on the bench, and not mended, on the way to or from a part."""
    plan = wiring.plan
    dead = [fact.end.partition(".")[0] for fact in plan.as_found if fact.fact == "dead"]
    open_ = {fact.end.partition(".")[0] for fact in plan.as_found if not fact.mended}
    above = {mate.socket.part.id for mate in wiring.upstream(part.id) if mate.socket}
    for name in dead:
        chain = wiring.upstream(name)
        last = chain[-1].socket if chain else None
        if name in open_ and (name in above or (last is not None and last.part is part)):
            return plan.parts[name]
    return None
