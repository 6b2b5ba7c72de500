"""The physical leads of a harness: each run of wire with what it meets at both ends.

A servo's own lead, the battery wires of an ESC, a Y-lead, one circuit of a wing plug: each is one
lead. Its near ends are its plugs, on the side of the signal or supply; its far ends are its
sockets, or the part it grows out of.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.data import dataclass
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact

LeadKey = tuple[str, str]
"""(part id, name of the lead's first port): which lead of which part."""

FIXED = "fixed"


@dataclass(frozen=True, slots=True)
class LeadEnd:
    """One end of a lead.

    `port` is the lead's own plug or socket, None where it grows out of its part. `meets` and
    `socket` say what it is joined to: the other part and the name of the other's port; both are
    empty where nothing is. `place` is the bay it lies in, `fault` why a join cannot be made.
    """

    port: Port | None
    mate: Mate | None = None
    meets: Part | None = None
    socket: str = ""
    place: str = ""
    fault: str = ""

    @property
    def name(self) -> str:
        """plug, in-1, socket 2 or fixed: the end in a builder's words."""
        if self.port is None:
            return FIXED
        if self.port.is_plug:
            many = sum(name.startswith("in-") for name, _ in self.port.part.joins()) > 1
            return self.port.name if many else "plug"
        return f"socket {self.port.name}" if self.port.name.isdecimal() else "socket"

    @property
    def pulled(self) -> tuple[str, ...]:
        """The pins slid out of this end's plug."""
        own = self.port is not None and self.port.is_plug
        return self.mate.join.pulled if own and self.mate is not None else ()


@dataclass(frozen=True, slots=True)
class PhysicalLead:
    """One physical lead of `part`: `near` ends are plugs, `far` ends sockets or the part."""

    part: Part
    kind: str
    near: tuple[LeadEnd, ...]
    far: tuple[LeadEnd, ...]
    port: Port

    @property
    def key(self) -> LeadKey:
        """Which lead this is."""
        return self.port.id

    @property
    def ends(self) -> tuple[LeadEnd, ...]:
        """All ends, near ones first."""
        return (*self.near, *self.far)

    @property
    def ports(self) -> tuple[Port, ...]:
        """The plugs and sockets of this lead, each once."""
        found = {end.port.id: end.port for end in self.ends if end.port is not None}
        return tuple(found.values())

    @property
    def trunk(self) -> tuple[Port, ...]:
        """The ports on the side with fewer of them: all the current passes there."""
        near, far = ({e.port.id: e.port for e in side if e.port} for side in (self.near, self.far))
        side = far if far and (not near or len(far) < len(near)) else near
        return tuple(side.values())

    def joints(self, wiring: Wiring) -> tuple[str, ...]:
        """Return the joints between places that this lead crosses."""
        pairs = ((a.place, b.place) for a in self.near for b in self.far)
        crossed = (j for one, other in pairs for j in wiring.plan.crosses(one, other))
        return tuple(dict.fromkeys(crossed))


@fact
def leads_of(wiring: Wiring) -> tuple[PhysicalLead, ...]:
    """Return every physical lead of a plan, by part in file order."""
    return tuple(lead for part in wiring.plan.parts.values() for lead in _leads(wiring, part))


def _leads(wiring: Wiring, part: Part) -> Iterator[PhysicalLead]:
    ports = wiring.by_part[part.id]
    if part.circuits:
        yield from _circuits(wiring, part)
        return
    through = ports if part.is_lead else [port for port in ports if part.hands_on(port.name)]
    if through:
        yield from _separate(wiring, part, through)
    for port in ports:
        if port not in through:
            kind, ends, root = part.lead_word(port.name), ends_at(wiring, port), (_root(part),)
            if port.is_plug:
                yield PhysicalLead(part, kind, ends, root, port)
            elif is_own_socket_lead(wiring, port):
                yield PhysicalLead(part, kind, root, ends, port)


def _separate(wiring: Wiring, part: Part, ports: list[Port]) -> Iterator[PhysicalLead]:
    plugs = [port for port in ports if port.is_plug]
    sockets = [port for port in ports if not port.is_plug]
    if not sockets:  # a lead with a plug at either end
        plugs, sockets = plugs[:1], plugs[1:]
    near = tuple(end for port in plugs for end in ends_at(wiring, port))
    far = tuple(end for port in sockets for end in ends_at(wiring, port))
    first = (plugs or sockets)[0]
    yield PhysicalLead(part, part.lead_word(first.name), near, far, first)


def _circuits(wiring: Wiring, part: Part) -> Iterator[PhysicalLead]:
    for name in part.circuits:
        plug, socket = wiring.ports[part.id, f"plug-{name}"], wiring.ports[part.id, name]
        near, far = ends_at(wiring, plug), ends_at(wiring, socket)
        yield PhysicalLead(part, part.lead_word(plug.name), near, far, plug)


def is_own_socket_lead(wiring: Wiring, port: Port) -> bool:
    """Say whether a socket sits at the end of its part's own wires, and is there or in use."""
    return port.part.wears_lead(port.name, used=port.id in wiring.by_socket)


def _root(part: Part) -> LeadEnd:
    return LeadEnd(None, meets=part, place=part.place)


def ends_at(wiring: Wiring, port: Port) -> tuple[LeadEnd, ...]:
    """Return the ends at one port: one a mate, or one loose end."""
    if port.is_plug:
        mate = wiring.by_plug.get(port.id)
        return (_plug_end(wiring, port, mate) if mate else _loose(port),)
    mates = wiring.by_socket.get(port.id, [])
    ends = tuple(
        LeadEnd(
            port, mate, mate.plug.part, mate.plug.name, meeting_place(wiring, mate), _fault(mate)
        )
        for mate in mates
    )
    return ends or (_loose(port),)


def _loose(port: Port) -> LeadEnd:
    return LeadEnd(port, place=port.part.place)


def _plug_end(wiring: Wiring, port: Port, mate: Mate) -> LeadEnd:
    meets = wiring.plan.parts.get(mate.join.part)
    socket = mate.socket.name if mate.socket else mate.join.socket
    return LeadEnd(port, mate, meets, socket, meeting_place(wiring, mate), _fault(mate))


def _fault(mate: Mate) -> str:
    if mate.socket is None:
        return "no such socket"
    if not mate.fits:
        return "does not fit"
    return "" if mate.first else "socket taken"


def meeting_place(wiring: Wiring, mate: Mate) -> str:
    """Return where a plug meets its socket: where its join says, else where either part is."""
    if mate.join.made_in:
        return mate.join.made_in
    holder = wiring.plan.parts.get(mate.join.part)
    return (holder.place if holder else "") or mate.plug.part.place
