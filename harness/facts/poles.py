"""Where a wire changes its pin, and which of these crossings turn a pack or a load the wrong way.

A turned plug, a wrong pin map, poles that are crossed: a crossing is no fault in itself, as two of
them may undo each other. Which are at fault is told by the roles of the terminals they join, never
by the crossing alone.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from harness.base.data import dataclass, replace
from harness.base.span import Span
from harness.facts.below import behind, devices_of
from harness.parts.contacts import COPPER, Contact, Form, Link, LinkKind, Role
from harness.parts.join import PINS
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.plan.plan import Plan
from harness.wiring.build import Mate, PortId, Wiring, facts_at
from harness.wiring.fact import fact
from harness.wiring.nets import Nets, pack_nets, supply_nets

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
    def on_control(self) -> bool:
        """Whether it lies in 3-pin leads or those of bare motors, not on the battery side."""
        if self.mate is None:
            return self.owner.carries_signal
        forms = {port.form for port in (self.mate.plug, self.mate.socket) if port is not None}
        return not forms.isdisjoint({Form.THREE_PIN, Form.TWO_WIRE})

    def swaps(self, one: str, other: str) -> bool:
        """Whether one pin meets the other here."""
        return any({link.a.pin, link.b.pin} == {one, other} for link in self.links)


@fact
def crossings(wiring: Wiring) -> tuple[Crossing, ...]:
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
        found += _inside(wiring.plan, parts[owner], ports)
    found.sort(key=lambda c: (c.owner.id, c.mate.plug.name if c.mate else "", c.outlet))
    return tuple(found)


def _changes(link: Link) -> bool:
    return link.a.pin in PINS and link.b.pin in PINS and link.a.pin != link.b.pin


def _at_join(wiring: Wiring, mate: Mate, links: tuple[Link, ...]) -> Crossing:
    """Point at the fact found on the bench, at what the join says, or at the join."""
    facts = facts_at(wiring.plan, mate.plug, mate.socket)
    stated = [f.span for f in facts if f.fact in {"turned", "crossed"}]
    stated += [mate.join.spans[w] for w in ("turned", "poles") if w in mate.join.spans]
    return Crossing(mate.plug.part, links, (*stated, mate.span)[0], mate)


def _inside(plan: Plan, part: Part, ports: dict[str, list[Link]]) -> list[Crossing]:
    """A lead that is crossed to all its sockets is one cause, at its plug."""
    spans = [f.span for f in plan.as_found if f.end == part.id and f.fact == "crossed"]
    spans += [part.spans[w] for w in ("map", "ends", "crossed", "poles") if w in part.spans]
    span = plan.own_line((*spans, part.span)[0], part.id)
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
    runs = {(link.owner, link.a[:2], link.b[:2]) for link in wrong}
    opens = tuple(
        replace(place, links=tuple(_uncrossed(link, runs) for link in place.links))
        for place in wiring.opens
    )
    return replace(wiring, links=links, opens=opens)


def _uncrossed(link: Link, runs: set[tuple[str, PortId, PortId]]) -> Link:
    """A pin that is pulled at a crossed plug goes straight as well once it is put back."""
    crossed = (link.owner, link.a[:2], link.b[:2]) in runs and _changes(link)
    return replace(link, b=link.b._replace(pin=link.a.pin)) if crossed else link


@fact
def lead_faults(wiring: Wiring) -> tuple[Crossing, ...]:
    """Return the crossings of control leads that join terminals of different roles."""
    causes = [c for c in crossings(wiring) if c.on_control and not refused(wiring, c.mate)]
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
    """Return the wiring with the faults of the control leads put right."""
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
    """Return the devices beyond a crossing of control leads."""
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


ROUNDED = 0.01
"""V; less is rounding, not a difference."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """What stands the wrong way round in a wiring, each with its volts.

    `loads`: parts fed backwards; `levels`: (series lead, source end) against the rest of its
    stack; `rings`: packs in parallel the wrong way round; `shorts`: packs with copper from pole
    to pole.
    """

    loads: tuple[tuple[Part, float], ...]
    levels: tuple[tuple[Part, str, float], ...]
    rings: tuple[tuple[Part, float], ...]
    shorts: tuple[tuple[Part, float], ...]

    @property
    def total(self) -> float:
        """All the wrong volts together: falls when a fault is put right."""
        several = (self.loads, self.levels, self.rings, self.shorts)
        return sum(float(found[-1]) for group in several for found in group)


@dataclass(frozen=True, slots=True)
class PoleFault:
    """One crossing that does harm, and what is wrong because of it alone."""

    crossing: Crossing
    wrong: Wrong

    @property
    def kind(self) -> str:
        """The name of the rule that reports it."""
        if self.wrong.levels:
            return "cancelling-series"
        return "reversed-pack" if self.wrong.rings else "poles-crossed"


def wrong_in(wiring: Wiring) -> Wrong:
    """Find what stands the wrong way round."""
    nets, parts = supply_nets(wiring), wiring.plan.parts
    loops = [loop for loop in pack_nets(wiring).loops if abs(loop.surplus) > ROUNDED]
    made = (loop for loop in nets.loops if not parts[loop.source.owner].holds_cells)
    loops += [loop for loop in made if (nets.volts(loop.source.a, loop.source.b) or 0.0) <= 0.0]
    shorts = [loop for loop in loops if nets.same(loop.source.a, loop.source.b)]
    rings = [loop for loop in loops if loop not in shorts]
    return Wrong(
        tuple((parts[k.owner], -v) for k in wiring.links if (v := _across(nets, k)) < -ROUNDED),
        tuple(_against(wiring)),
        tuple((parts[loop.source.owner], abs(loop.surplus)) for loop in rings),
        tuple((parts[loop.source.owner], abs(loop.surplus)) for loop in shorts),
    )


def _across(nets: Nets, link: Link) -> float:
    """Volts from the minus to the plus of a load; 0 where nothing feeds it."""
    if link.kind is not LinkKind.LOAD:
        return 0.0
    return nets.volts(link.b, link.a) or 0.0


def _against(wiring: Wiring) -> Iterable[tuple[Part, str, float]]:
    nets = pack_nets(wiring)
    for lead in wiring.plan.of(PowerLead):
        if lead.kind != "series":
            continue
        for name, _ in lead.joins():
            port = wiring.ports[lead.id, name]
            volts = nets.volts(port.pin("negative"), port.pin("positive")) or 0.0
            if volts < -ROUNDED:
                yield lead, name, -volts


@fact
def pole_faults(wiring: Wiring) -> tuple[PoleFault, ...]:
    """Return the crossings on the battery side that do harm, each judged with the others mended."""
    wiring = leads_put_right(wiring)
    causes = [c for c in crossings(wiring) if not c.on_control and c not in lead_faults(wiring)]
    before = wrong_in(wiring).total if causes else 0.0
    if before <= ROUNDED:
        return ()
    guilty = _fewest(wiring, causes, before)
    return tuple(_judged(wiring, guilty, cause) for cause in guilty)


def _fewest(wiring: Wiring, causes: list[Crossing], before: float) -> list[Crossing]:
    """Return few crossings whose mending leaves nothing wrong: of three in a row only one.

    Each time the one that mends most is taken, a join before an adapter. Where none helps alone,
    all are told.
    """
    guilty: list[Crossing] = []
    left, pool = before, sorted(causes, key=lambda c: c.mate is None)
    while pool:
        after = [wrong_in(straightened(wiring, [*guilty, c])).total for c in pool]
        least = min(after)
        if least >= left - ROUNDED:
            break
        guilty.append(pool.pop(after.index(least)))
        left = least
    if not guilty and wrong_in(straightened(wiring, causes)).total < before - ROUNDED:
        return causes
    return guilty


def _judged(wiring: Wiring, guilty: list[Crossing], cause: Crossing) -> PoleFault:
    """Leave one fault in, the others mended, and take away what is wrong without it as well."""
    alone = wrong_in(straightened(wiring, [c for c in guilty if c is not cause]))
    never = wrong_in(straightened(wiring, guilty))
    left = Wrong(
        tuple(x for x in alone.loads if x not in never.loads),
        tuple(x for x in alone.levels if x not in never.levels),
        tuple(x for x in alone.rings if x not in never.rings),
        tuple(x for x in alone.shorts if x not in never.shorts),
    )
    return PoleFault(cause, left)


@fact
def poles_right(wiring: Wiring) -> Wiring:
    """Return the wiring with every fault of polarity put right."""
    return straightened(leads_put_right(wiring), [fault.crossing for fault in pole_faults(wiring)])


def stack_volts(wiring: Wiring, lead: Part) -> float:
    """Return the volts at the socket of a series lead, by its packs alone."""
    port = wiring.ports[lead.id, "1"]
    return pack_nets(wiring).volts(port.pin("negative"), port.pin("positive")) or 0.0
