"""Where a wire changes its pin: a turned plug, a wrong pin map, poles that are crossed.

A crossing is no fault in itself: two of them may undo each other. Which are at fault is told
by the roles of the terminals they join (`blamed`), never by the crossing alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace

from harness.base.span import Span
from harness.facts.below import behind, devices_of
from harness.parts.contacts import COPPER, Contact, Form, Link, LinkKind, Role
from harness.parts.join import PINS
from harness.parts.part import Part
from harness.wiring.build import Wiring, facts_at
from harness.wiring.fact import fact
from harness.wiring.mate import Mate
from harness.wiring.nets import Nets

CELLS = ("battery", "tap", "cells")
"""Insides on the battery side, where a stack of packs may join a plus to a minus by intent."""


@dataclass(frozen=True, slots=True)
class Crossing:
    """One cause for which wires change pin: a join (`mate`), or the inside of a lead.

    `outlet` is the socket of the lead whose branch is crossed, "" when all of it is.
    """

    owner: Part
    links: tuple[Link, ...]
    span: Span
    mate: Mate | None = None
    outlet: str = ""

    @property
    def three_pin(self) -> bool:
        """Whether it lies in the 3-pin leads, not on the battery side."""
        if self.mate is None:
            return self.owner.carries_signal
        ports = (self.mate.plug, self.mate.socket)
        return any(port is not None and port.form is Form.THREE_PIN for port in ports)

    def swaps(self, one: str, other: str) -> bool:
        """Whether one pin meets the other here."""
        return any({link.a.pin, link.b.pin} == {one, other} for link in self.links)


def crossings(wiring: Wiring) -> list[Crossing]:
    """Return every crossing, sorted by the id of its part."""
    mated: dict[str, dict[str, list[Link]]] = defaultdict(lambda: defaultdict(list))
    inside: dict[str, dict[str, list[Link]]] = defaultdict(lambda: defaultdict(list))
    for link in wiring.links:
        if link.kind in COPPER and _changes(link):
            group, word = (
                (mated, link.a.port) if link.kind is LinkKind.MATE else (inside, link.b.port)
            )
            group[link.owner][word].append(link)
    parts = wiring.plan.parts
    found = [
        _at_join(wiring, wiring.by_plug[owner, port], tuple(links))
        for owner, ports in mated.items()
        for port, links in ports.items()
    ]
    for owner, ports in inside.items():
        found += _inside(parts[owner], ports)
    return sorted(found, key=lambda c: (c.owner.id, c.mate.plug.name if c.mate else "", c.outlet))


def _changes(link: Link) -> bool:
    return link.a.pin in PINS and link.b.pin in PINS and link.a.pin != link.b.pin


def _at_join(wiring: Wiring, mate: Mate, links: tuple[Link, ...]) -> Crossing:
    """Point at the fact found on the bench, at what the join says, or at the join."""
    facts = facts_at(wiring.plan, mate.plug, mate.socket)
    stated = [f.span for f in facts if f.fact in {"turned", "crossed"}]
    stated += [mate.join.spans[w] for w in ("turned", "poles") if w in mate.join.spans]
    return Crossing(mate.plug.part, links, (*stated, mate.span)[0], mate)


def _inside(part: Part, ports: dict[str, list[Link]]) -> list[Crossing]:
    """A lead that is crossed to all its sockets is one cause, at its plug."""
    words = ("map", "ends", "crossed")
    span = next((part.spans[w] for w in words if w in part.spans), part.span)
    if not part.carries_signal or set(ports) == set(part.outlets):
        return [Crossing(part, tuple(link for links in ports.values() for link in links), span)]
    return [Crossing(part, tuple(links), span, outlet=name) for name, links in ports.items()]


def straightened(wiring: Wiring, faults: Iterable[Crossing]) -> Wiring:
    """Return the wiring as it would be with some crossings put right."""
    wrong = {link for fault in faults for link in fault.links}
    if not wrong:
        return wiring
    links = [
        replace(link, b=link.b._replace(pin=link.a.pin)) if link in wrong else link
        for link in wiring.links
    ]
    return Wiring(wiring.plan, wiring.ports, wiring.mates, links, wiring.roles)


@fact
def lead_faults(wiring: Wiring) -> tuple[Crossing, ...]:
    """Return the crossings of 3-pin leads that join terminals of different roles."""
    causes = [c for c in crossings(wiring) if c.three_pin and not refused(wiring, c.mate)]
    if not causes:
        return ()
    clean = _Clean(wiring, causes)
    found = [cause for cause in causes if clean.clashes([cause])]
    rest = [cause for cause in causes if cause not in found]
    if not found and clean.clashes(rest):
        found = [rest[0]]
    return tuple(found)


@fact
def leads_put_right(wiring: Wiring) -> Wiring:
    """Return the wiring with the faults of the 3-pin leads put right."""
    never = [c for c in crossings(wiring) if refused(wiring, c.mate)]
    return straightened(wiring, [*lead_faults(wiring), *never])


def refused(wiring: Wiring, mate: Mate | None) -> bool:
    """Whether a plug is said to sit turned in a socket that will not have it so."""
    if mate is None or mate.socket is None or not mate.turned:
        return False
    if mate.socket.form is Form.THREE_PIN:
        return mate.socket.keyed
    name = mate.socket.connector or mate.plug.connector
    keyed = wiring.plan.catalogue.value("plugs", name, "keyed") if name else None
    return keyed is not None and keyed.text == "yes"


def fits_turned(wiring: Wiring, mate: Mate) -> bool:
    """Whether both ends are for batteries and bare: classes that are known to have no key."""
    ports = [port for port in (mate.plug, mate.socket) if port is not None]
    if any(port.form is not Form.POWER for port in ports):
        return False
    names = [port.connector for port in ports if port.connector]
    figures = [wiring.plan.catalogue.value("plugs", name, "keyed") for name in names]
    return bool(names) and all(figure is not None and figure.text == "no" for figure in figures)


def beyond(wiring: Wiring, fault: Crossing) -> list[Part]:
    """Return the devices beyond a crossing of 3-pin leads."""
    if fault.mate is not None:
        plug = fault.mate.plug
        return devices_of([plug, *(behind(wiring, *plug.id) if plug.part.carries_signal else ())])
    ports = {(link.b.part, link.b.port) for link in fault.links if link.kind is LinkKind.WIRE}
    return devices_of(plug for port in sorted(ports) for plug in wiring.downstream(port))


class _Clean:
    """Nets with all crossings taken out, each with the roles of the terminals on it."""

    def __init__(self, wiring: Wiring, causes: Iterable[Crossing]) -> None:
        wrong = {link for cause in causes for link in cause.links}
        self.root = Nets.of([k for k in wiring.links if k.kind in COPPER and k not in wrong]).root
        self.roles: dict[Contact, set[Role]] = defaultdict(set)
        for contact, role in wiring.roles.items():
            if self._counts(wiring, contact):
                self.roles[self.root.get(contact, contact)].add(role)

    @staticmethod
    def _counts(wiring: Wiring, contact: Contact) -> bool:
        if contact.port != "cells":
            return contact.port not in CELLS
        pack = wiring.plan.parts[contact.part]
        return pack.feeds_radio

    def clashes(self, causes: Iterable[Crossing]) -> bool:
        """Whether these crossings together join nets that each have one role, not the same."""
        import networkx as nx

        links = (link for cause in causes for link in cause.links)
        ends = ((self.root.get(k.a, k.a), self.root.get(k.b, k.b)) for k in links)
        for nets in nx.connected_components(nx.Graph(ends)):
            sure = [roles for net in nets if len(roles := self.roles.get(net, set())) == 1]
            if len(set().union(*sure)) > 1:
                return True
        return False
