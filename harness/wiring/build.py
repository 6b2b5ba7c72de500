"""From a Plan to its wiring: every port, every plug in its socket, every link."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from functools import cached_property
from operator import itemgetter
from typing import Any

from harness.base.data import dataclass, field, replace
from harness.base.span import Span
from harness.parts.breaker import Breaker
from harness.parts.contacts import POLE_PINS, Contact, Form, Link, LinkKind, Port, Role, Shape
from harness.parts.join import Join
from harness.parts.part import Part
from harness.plan.as_found import AsFound
from harness.plan.plan import Plan
from harness.wiring.graph import above, below
from harness.wiring.nets import Nets
from harness.wiring.opens import Open, at_plug, inside, parting


@dataclass(frozen=True, slots=True)
class Mate:
    """One plug and where it goes. `socket` is None when there is no such socket.

    `fits`: the forms agree. `first`: no other plug has taken the socket before. `open`: the pins
    of the plug without contact, pulled or found so, there or in the lead behind.
    """

    plug: Port
    join: Join
    socket: Port | None
    fits: bool
    first: bool
    turned: bool = False
    crossed: bool = False
    open: tuple[str, ...] = ()

    @property
    def span(self) -> Span:
        """Where the plan says it."""
        return self.join.span

    @property
    def into(self) -> str:
        """Where the plug goes: rx.6; as the plan writes it where there is no such socket."""
        return self.socket.short if self.socket is not None else self.join.into


PortId = tuple[str, str]
_OTHER_POLE = {"positive": "negative", "negative": "positive"}


@dataclass
class Wiring:
    """The wiring graph of one plan.

    `ports` by (part id, port name), `mates` in the order of ids, `links` of all parts and mates,
    `roles` of the terminals of devices, `opens` where there is no contact; `out` what an arming
    plug that is not fitted leaves open, which is no fault.
    """

    plan: Plan
    ports: dict[PortId, Port] = field(default_factory=dict)
    mates: list[Mate] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    roles: dict[Contact, Role] = field(default_factory=dict)
    opens: tuple[Open, ...] = ()
    out: tuple[Open, ...] = ()
    known: dict[Any, Any] = field(default_factory=dict, init=False, repr=False, compare=False)
    """The facts worked out so far, by the function that did (`harness.wiring.fact`)."""

    @cached_property
    def nets(self) -> Nets:
        """Contacts joined by copper, and the volts between them."""
        return Nets.of(self.links)

    @cached_property
    def by_plug(self) -> dict[PortId, Mate]:
        """The mate of each plug."""
        return {mate.plug.id: mate for mate in self.mates}

    @cached_property
    def by_socket(self) -> dict[PortId, list[Mate]]:
        """The mates in each socket; more than one is a fault."""
        found: dict[PortId, list[Mate]] = defaultdict(list)
        for mate in self.mates:
            if mate.socket is not None:
                found[mate.socket.id].append(mate)
        return dict(found)

    @property
    def bare(self) -> set[PortId]:
        """The ports with nothing at them."""
        return set(self.ports) - self.by_plug.keys() - self.by_socket.keys()

    @cached_property
    def by_part(self) -> dict[str, list[Port]]:
        """The ports of each part."""
        found: dict[str, list[Port]] = {part: [] for part in self.plan.parts}
        for port in self.ports.values():
            found[port.part.id].append(port)
        return found

    def upstream(self, part: str, port: str = "plug") -> list[Mate]:
        """Return the mates from a part's plug up to the device that drives it, in order.

        The last mate's socket is the one on the receiver, autopilot or other device.
        """
        plugs = ((part, port), *above(self, (part, port)))
        return [self.by_plug[plug] for plug in plugs if plug in self.by_plug]

    def driver(self, part: str, port: str = "plug") -> Port | None:
        """Return the socket that a part's signal comes from, or None when it hangs loose."""
        chain = self.upstream(part, port)
        last = chain[-1].socket if chain else None
        return last if last is not None and not last.passes else None

    def downstream(self, socket: PortId) -> list[Port]:
        """Return the plugs fed by a socket, through leads and boxes, nearest first."""
        ports = (self.ports[port] for port in below(self, socket))
        return [port for port in ports if port.is_plug]


def build(plan: Plan) -> Wiring:
    """Build the wiring graph of a plan."""
    wiring = Wiring(plan)
    found = [fact for fact in plan.as_found if not fact.mended]
    out = {part.id: part for part in plan.of(Breaker) if part.is_open}
    for part in sorted(plan.parts.values(), key=lambda p: p.id):  # order in the file is free
        shape = Shape(part, plan.catalogue)
        part.inside(shape)
        if part.id in out and (place := parting(out[part.id], shape.links)):
            shape.links = [link for link in shape.links if link not in place.links]
            wiring.out += (place,)
        wiring.ports.update({port.id: port for port in shape.ports})
        _lay(wiring, shape.links, inside(found, shape))
        wiring.roles.update(shape.roles)
        wiring.links += _soldered(plan, part)
    _two_wire_leads(wiring)
    _mate_all(wiring)
    return wiring


def with_parts(wiring: Wiring, parts: Iterable[Part]) -> Wiring:
    """Build the wiring anew with some parts in place of those of their ids."""
    plan = wiring.plan
    return build(replace(plan, parts={**plan.parts, **{part.id: part for part in parts}}))


def _lay(wiring: Wiring, links: list[Link], opens: Iterable[Open]) -> None:
    """Put links into a wiring, those at open places left out."""
    here = tuple(opens)
    gone = {link for place in here for link in place.links}
    wiring.opens += here
    wiring.links += [link for link in links if link not in gone] if gone else links


def _soldered(plan: Plan, part: Part) -> list[Link]:
    """What is soldered across another part's battery wires hangs on its two poles."""
    poles = POLE_PINS if part.across else ()
    turned = any(fact.fact == "crossed" for fact in _found_at(plan, {part.id}))
    crossed = (getattr(part, "poles", "") == "crossed") is not turned
    return [
        Link(
            Contact(part.across, "battery", pin),
            Contact(part.id, "plates", _OTHER_POLE[pin] if crossed else pin),
            LinkKind.INSIDE,
            part.id,
        )
        for pin in poles
    ]


def _two_wire_leads(wiring: Wiring) -> None:
    """Make a 3-pin lead that nothing but bare motors hang on a lead of two wires."""
    bare = [port for port in wiring.ports.values() if port.is_plug and port.form is Form.TWO_WIRE]
    if not bare:
        return
    below: dict[PortId, list[Port]] = defaultdict(list)
    for port in wiring.ports.values():
        socket = _joined(wiring, port)
        if socket is not None and socket.part.two_wired:
            below[socket.part.id, socket.passes].append(port)
    ready, done = bare, set[PortId]()
    while ready:
        done |= {port.id for port in ready}
        leads = (name for name, plugs in below.items() if done.issuperset(p.id for p in plugs))
        ready = [wiring.ports[name] for name in leads if name not in done]
        for plug in ready:
            ports = wiring.by_part[plug.part.id]
            for n, port in enumerate(ports):
                if plug.name in {port.name, port.passes}:
                    order = tuple(pin for pin in port.order if pin in POLE_PINS)
                    ports[n] = replace(port, forms=(Form.TWO_WIRE,), order=order)
                    wiring.ports[port.id] = ports[n]


def _joined(wiring: Wiring, plug: Port) -> Port | None:
    join = dict(plug.part.joins()).get(plug.name) if plug.is_plug else None
    return find_socket(wiring, plug, join) if join else None


def _mate_all(wiring: Wiring) -> None:
    """Mate every plug. A socket takes one plug: the first by id, so order in the file is free."""
    taken: set[PortId] = set()
    gone: set[Contact] = set()
    seen = 0
    for part in sorted(wiring.plan.parts.values(), key=lambda p: p.id):
        for name, join in sorted(part.joins(), key=itemgetter(0)):
            plug = wiring.ports[part.id, name]
            mate = _mate(wiring, plug, join, taken)
            if mate.socket is not None and mate.fits and mate.first:
                taken.add(mate.socket.id)
                links = _mated_links(mate)
                opens = tuple(at_plug(plug, join, facts_at(wiring.plan, plug, mate.socket), links))
                _lay(wiring, links, opens)
                gone |= {end for at in wiring.opens[seen:] for k in at.links for end in (k.a, k.b)}
                seen = len(wiring.opens)
                open_ = tuple(pin for pin in plug.order if plug.pin(pin) in gone)
                mate = replace(mate, open=open_) if open_ else mate
            wiring.mates.append(mate)


def _mate(wiring: Wiring, plug: Port, join: Join, taken: set[PortId]) -> Mate:
    socket = find_socket(wiring, plug, join)
    fits = socket is not None and bool(set(plug.forms) & set(socket.forms))
    first = socket is not None and socket.id not in taken
    facts = facts_at(wiring.plan, plug, socket)
    turned = join.turned or any(f.fact == "turned" for f in facts)
    crossed = join.poles == "crossed" or any(f.fact == "crossed" for f in facts)
    return Mate(plug, join, socket, fits, first, turned, crossed, join.pulled)


def facts_at(plan: Plan, plug: Port, socket: Port | None) -> list[AsFound]:
    """Return what was found, and not yet mended, where a plug sits in a socket.

    A fact names the plug or the socket as part.port; a part alone means its first plug, or the
    main socket of a part that has no plug.
    """
    names = {f"{plug.part.id}.{plug.name}"}
    if plug.name == plug.part.joins()[0][0]:
        names.add(plug.part.id)
    if socket is not None:
        names.add(f"{socket.part.id}.{socket.name}")
        if socket.name == "main":
            names.add(socket.part.id)
    return _found_at(plan, names)


def _found_at(plan: Plan, names: set[str]) -> list[AsFound]:
    return [f for f in plan.as_found if not f.mended and f.end in names]


def find_socket(wiring: Wiring, plug: Port, join: Join) -> Port | None:
    """Return the socket a join names; a part alone means its only socket of the plug's form."""
    if join.socket:
        port = wiring.ports.get((join.part, join.socket))
        return port if port is not None and not port.is_plug else None
    sockets = [p for p in wiring.by_part.get(join.part, ()) if not p.is_plug]
    likely = [p for p in sockets if set(p.forms) & set(plug.forms) and p.form is not Form.BALANCE]
    pool = likely or [p for p in sockets if p.form is not Form.BALANCE]
    return pool[0] if len(pool) == 1 else None


def _mated_links(mate: Mate) -> list[Link]:
    """Pair the contacts by their position in the housing."""
    plug, socket = mate.plug, mate.socket
    assert socket is not None
    ours = list(plug.order)
    if plug.form is not socket.form:  # a two-pole plug in a 3-pin supply socket, or the reverse
        theirs = [pin for pin in socket.order if pin in ours]
        ours = [pin for pin in ours if pin in theirs]
        theirs = sorted(theirs, key=ours.index)
    else:
        theirs = list(socket.order)
    if mate.turned or (mate.crossed and len(theirs) == len(POLE_PINS)):
        theirs.reverse()
    elif mate.crossed:
        theirs = [_OTHER_POLE.get(pin, pin) for pin in theirs]
    pairs = zip(ours, theirs, strict=True)
    return [Link(plug.pin(a), socket.pin(b), LinkKind.MATE, plug.part.id) for a, b in pairs]
