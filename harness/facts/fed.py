"""Who has no supply or no signal as the wiring stands, and which open places are to blame.

Asked from the packs outward, with faults of polarity put right: those are reported by their own
rules. A pin that is pulled on purpose is to blame for nothing as long as all have what they need.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from harness.base.data import dataclass, replace
from harness.facts.below import behind, devices_of
from harness.facts.poles import poles_right
from harness.facts.signals import drive_of
from harness.parts.breaker import Breaker
from harness.parts.contacts import POLE_PINS, Contact, Form, Link, LinkKind
from harness.parts.esc import Esc
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.live import TINY, Grid, Live, grid, live, unsaid
from harness.wiring.opens import Open, closed, joining, parting

SUPPLY, BATTERY, SIDE, SIGNAL, WIRES = "supply", "battery", "signal side", "signal", "motor wires"
OUTPUT = "output"
Way = tuple[Contact, tuple[Contact, ...]]


@dataclass(frozen=True, slots=True)
class Need:
    """What a part needs: volts between two `poles` (minus, plus), and copper along some `ways`.

    `what`: its SUPPLY, that of its BATTERY side or of its signal SIDE, a SIGNAL, motor WIRES, or
    for what a regulator gives at its OUTPUT the way back.
    """

    part: Part
    what: str
    poles: tuple[Contact, Contact] | None = None
    ways: tuple[Way, ...] = ()

    def met(self, live: Live) -> bool:
        """Say whether it has that; poles that copper shorts are not judged here."""
        fed = self.poles is None or live.volts(*self.poles) > TINY or live.shorted(*self.poles)
        return fed and all(live.joined(*way) for way in self.ways)


@dataclass(frozen=True, slots=True)
class Fault:
    """Open places that have to be closed together, and what lacks because of them.

    `dead`: what has nothing. `astray`: battery leads of which only one pole goes through, so that
    their current takes another way.
    """

    opens: tuple[Open, ...]
    dead: tuple[Need, ...]
    astray: tuple[Need, ...] = ()

    @property
    def needs(self) -> set[str]:
        """The kinds of need that are not met."""
        return {need.what for need in (*self.dead, *self.astray)}

    @property
    def burns(self) -> bool:
        """Whether it sends a motor's current astray, not that of a box alone."""
        return any(need.part.drives for need in self.astray)

    @property
    def parts(self) -> list[Part]:
        """The parts without supply or signal, what feeds others first."""
        return in_order(need.part for need in self.dead)


def in_order(parts: Iterable[Part]) -> list[Part]:
    """Return parts once each: supplies, then boxes, then what hangs on them, by id."""

    def place(part: Part) -> tuple[bool, bool, bool, bool, str]:
        makes, boxed = part.drives or part.regulates, bool(part.rails) or part.relays
        return not makes, not part.is_radio, not boxed, bool(part.spins), part.id

    return sorted({part.id: part for part in parts}.values(), key=place)


@fact
def faults(wiring: Wiring) -> tuple[Fault, ...]:
    """Return every fault of an open place, the one that most depends on first."""
    right = poles_right(wiring)
    return tuple(_Blame(right).faults()) if right.opens else ()


@fact
def parted(wiring: Wiring) -> tuple[tuple[Wiring, Fault], ...]:
    """Return what goes astray while a plug, fuse or switch is open by the builder's own hand.

    Each alone: the wiring as it then stands, all else put right, and the fault that it makes.
    """
    if any(place.meant for place in wiring.opens):
        return ()
    right, found = put_right(wiring), list[tuple[Wiring, Fault]]()
    ready = {place.part: place for place in wiring.out}
    for part in (one for one in wiring.plan.of(Breaker) if "negative" in one.breaks):
        place = ready.get(part.id) or parting(part, right.links)
        if place is not None:
            left = [link for link in right.links if link not in place.links]
            apart = replace(right, links=left, opens=(*right.opens, place))
            found += [(apart, f) for f in faults(apart) if place in f.opens and f.astray]
    return tuple(found)


@fact
def put_right(wiring: Wiring) -> Wiring:
    """Return the wiring with faults of polarity and open places at fault put right.

    Rules on other matters go by this, so that each fault is reported once. The red pin of a supply
    stays pulled: it may be right, and what should feed the rail instead be missing.
    """
    return closed(poles_right(wiring), as_if_closed(wiring))


@fact
def as_if_closed(wiring: Wiring) -> tuple[Open, ...]:
    """Return the open places at fault that whatever is solved of a wiring takes to be closed."""
    right, places = poles_right(wiring), [p for fault in faults(wiring) for p in fault.opens]
    return tuple(place for place in places if not parts_supply(right, place))


def parts_supply(wiring: Wiring, place: Open) -> bool:
    """Say whether a red pin is pulled by which a BEC or regulator would feed a rail."""
    if place.found is not None or place.pins != ("positive",) or place.plug is None:
        return False
    beyond = devices_of([place.plug, *behind(wiring, *place.plug.id)])
    return place.plug.form is Form.THREE_PIN and any(part.makes for part in beyond)


@fact
def unmet(wiring: Wiring) -> tuple[Need, ...]:
    """Return what nothing feeds or orders, whatever place is closed."""
    right, told = put_right(wiring), [need for fault in faults(wiring) for need in fault.dead]
    lacks = (need for need in needs(right) if not need.met(live(right)))
    return tuple(need for need in lacks if need not in told)


@fact
def starved(wiring: Wiring) -> tuple[tuple[Need, ...], ...]:
    """Return the same needs of supply in groups: one that is met meets all of its group.

    A battery side comes first in its group; those that hang on one loose lead are of one.
    """
    right, found = put_right(wiring), list[tuple[Need, ...]]()
    left = [need for need in unmet(wiring) if need.what in {SUPPLY, BATTERY}]

    def group(first: Need) -> object:
        lead = loose_lead(right, first.part) if first.what == BATTERY else None
        return lead.id if lead else first.poles and right.nets.root[first.poles[1]]

    for first in sorted(left, key=lambda need: need.what != BATTERY):
        if first in left:
            same = [need for need in left if group(need) == group(first)]
            fed = grid(right).live(assumed={n.part.id for n in same if n.what == BATTERY})
            found.append((*same, *(n for n in left if n not in same and n.met(fed))))
            left = [need for need in left if need not in found[-1]]
    return tuple(found)


@fact
def unfed_heads(wiring: Wiring) -> frozenset[str]:
    """Return what hangs on nothing and starves others: power leads, fuses, ESCs and regulators."""
    right, found = put_right(wiring), set[str]()
    for first, *others in starved(wiring):
        if first.what == BATTERY:
            lead = loose_lead(right, first.part)
            found |= {lead.id} if lead else {first.part.id} if others else set()
    return frozenset(found)


def fits_nowhere(wiring: Wiring, parts: Collection[Part]) -> bool:
    """Say whether a plug of some parts, or of what is to feed them, goes into no right socket.

    That is told first: what feeds them is seen when it is mended.
    """
    ids = {part.id for part in parts}
    loose = (mate for mate in wiring.mates if mate.socket is None or not mate.fits)
    return any(
        mate.plug.part.id in ids or (mate.join.part in ids and not mate.plug.part.answers)
        for mate in loose
    )


def loose_lead(wiring: Wiring, part: Part) -> Part | None:
    """Return the lead at the upper end of a part's battery wires that hangs on no pack."""
    mate, seen = wiring.by_plug.get((part.id, "supply")), set[str]()
    while mate is not None and mate.socket is not None and mate.socket.part.battery_lead:
        lead = mate.socket.part
        ends = [name for name, _ in lead.joins() if lead.hands_on(name)]
        if lead.id in seen or not ends:
            return None if lead.id in seen or lead.kit_kind() == "jumper" else lead
        seen.add(lead.id)
        mate = wiring.by_plug.get((lead.id, ends[0]))
    return None


@fact
def needs(wiring: Wiring) -> tuple[Need, ...]:
    """Return the needs of every part whose plugs sit well: other plugs are told by other rules."""
    return tuple(_needs(wiring))


@fact
def radio_armed(wiring: Wiring) -> bool:
    """Say whether a receiver or autopilot is fed by way of an arming plug alone."""
    out = Grid(wiring, [k for k in wiring.links if wiring.plan.parts[k.owner].arms]).live()
    boxes = [need for need in needs(wiring) if need.part.has_channels and need.what == SUPPLY]
    return any(need.met(live(wiring)) and not need.met(out) for need in boxes)


def _needs(wiring: Wiring) -> Iterator[Need]:
    for part in wiring.plan.parts.values():
        inside = part.fed_at
        if inside and _is_plugged(wiring, part) and (poles := _poles(wiring, part, inside)):
            yield Need(part, SUPPLY, poles)
        if (part.drives or part.regulates) and not unsaid(wiring, part):
            yield Need(part, BATTERY, _both(part, "battery"))
        yield from _orders(wiring, part)
        yield from _driven(wiring, part)
    for esc in wiring.plan.of(Esc):
        if esc.fed and wiring.upstream(esc.id):
            yield Need(esc, SIDE, _both(esc, "body"))


def _both(part: Part, inside: str) -> tuple[Contact, Contact]:
    return Contact(part.id, inside, "negative"), Contact(part.id, inside, "positive")


def _poles(wiring: Wiring, part: Part, inside: str) -> tuple[Contact, Contact] | None:
    minus, plus = _both(part, inside)
    minus = minus._replace(port="rail") if inside == "logic" else minus
    return (minus, plus) if plus in wiring.nets.root else None


def _is_plugged(wiring: Wiring, part: Part) -> bool:
    return part.has_channels or any(_is_whole(wiring, part.id, name) for name, _ in part.joins())


def _is_whole(wiring: Wiring, part: str, name: str) -> bool:
    """Whether the way from a plug up to its device has no fault."""
    mates = wiring.upstream(part, name)
    sound = all(mate.socket is not None and mate.fits and mate.first for mate in mates)
    return sound and wiring.driver(part, name) is not None


def _orders(wiring: Wiring, part: Part) -> Iterator[Need]:
    """What obeys needs a signal from a channel; a receiver's bus lead goes down to an autopilot."""
    plug = Contact(part.id, "plug", "signal")
    end = _wired_to(wiring).get(plug, plug)
    told = part.obeys or (part.answers and bool(part.moves))
    port = wiring.ports.get((part.id, "plug"))
    if port is None or "signal" not in port.order:
        return
    if told and (drive := drive_of(wiring, part)) is not None and drive.socket is not None:
        yield Need(part, SIGNAL, ways=((end, (drive.socket.pin("signal"),)),))
    box = wiring.driver(part.id) if part.is_radio and _is_whole(wiring, part.id, "plug") else None
    if box is not None and box.part.sets_outputs:
        yield Need(box.part, SIGNAL, ways=((end, (box.pin("signal"),)),))


@fact
def _wired_to(wiring: Wiring) -> dict[Contact, Contact]:
    """The far end of each wire, whole or open, by its end at a plug: there a part listens."""
    links = [*wiring.links, *(link for place in wiring.opens for link in place.links)]
    return {link.a: link.b for link in links if link.kind is LinkKind.WIRE}


def _driven(wiring: Wiring, part: Part) -> Iterator[Need]:
    """A motor needs all its wires, and a bare-motor leg both, from what drives it."""
    if not part.spins and not (part.is_leg and not part.fed_at):
        return
    above = (mate.socket for mate in wiring.upstream(part.id) if mate.socket is not None)
    maker = next((own for own in above if own.part.drives or own.part.sequences), None)
    if maker is None or not _is_whole(wiring, part.id, "plug"):
        return
    pins, own = tuple(maker.pin(pin) for pin in maker.order), wiring.ports[part.id, "plug"].order
    ways = tuple((Contact(part.id, "body", pin), pins) for pin in own)
    inside = "battery" if maker.part.drives else maker.part.fed_at
    fed = None if maker.part.drives and unsaid(wiring, maker.part) else _both(maker.part, inside)
    yield Need(part, WIRES, fed, ways)


@dataclass(frozen=True, slots=True)
class _Lack:
    """A need that is not met: `own` when it is so with the battery sides taken apart."""

    need: Need
    own: bool


class _Blame:
    """Finds the fewest open places whose closing gives every part what it needs."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring, self.opens = wiring, sorted(wiring.opens, key=lambda place: place.span)
        self.grid = grid(wiring)
        reds = all(_is_red(place) for place in self.opens)
        apart = [] if reds else list(_bridges(wiring))
        self.apart = Grid(wiring, frozenset(apart)) if apart else self.grid
        alive = live(wiring)
        every = needs(wiring)
        self.lacks = [_Lack(need, False) for need in every if not need.met(alive)]
        if apart:
            both = {(link.owner, SUPPLY) for link in apart if link.kind is LinkKind.WIRE}
            some = [n for n in every if n.what == BATTERY or (n.part.id, n.what) in both]
            some += _returns(wiring)
            self.lacks += [_Lack(need, True) for need in some if need.met(alive)]

    def _left(self, lacks: Collection[_Lack], shut: Collection[Open]) -> list[_Lack]:
        """Return what still lacks with some places closed."""
        links = joining(self.wiring, shut)
        live, apart = self.grid.live(links), self.apart.live(links)
        return [lack for lack in lacks if not lack.need.met(apart if lack.own else live)]

    def faults(self) -> Iterator[Fault]:
        """Yield each fault: first single places, then several in a row."""
        lacks = self._left(self.lacks, ()) if self.lacks else []
        never = self._left(lacks, self.opens) if lacks else []
        lacks = [lack for lack in lacks if lack not in never]
        shut: list[Open] = []
        while lacks:
            more = self._best(lacks, shut) or self._row(lacks[0], shut)
            more += [place for place in self.opens if self._goes_with(place, more)]
            shut += more
            left = self._left(lacks, shut)
            cured = [lack for lack in lacks if lack not in left]
            dead = tuple(lack.need for lack in cured if not lack.own)
            yield Fault(tuple(more), dead, tuple(lack.need for lack in cured if lack.own))
            lacks = left

    @staticmethod
    def _goes_with(place: Open, more: list[Open]) -> bool:
        """Whether a black pin is pulled beside a pale one that is to be put back: it needs it."""
        pale = any(other.pins == ("signal",) and other.plug == place.plug for other in more)
        return pale and place.plug is not None and place.pins == ("negative",) and place not in more

    def _best(self, lacks: list[_Lack], shut: list[Open]) -> list[Open]:
        """Return the one place whose closing cures most: found before pulled, a red pin last."""
        tried = [place for place in self.opens if place not in shut]
        counts = [len(lacks) - len(self._left(lacks, [*shut, place])) for place in tried]
        most = max(counts, default=0)
        best = [place for place, count in zip(tried, counts, strict=True) if count == most]
        return [min(best, key=lambda p: (p.found is None, _is_red(p)))] if most else []

    def _row(self, lack: _Lack, shut: list[Open]) -> list[Open]:
        """Return places that have to be closed together: none of them can stay open."""
        row = [place for place in self.opens if place not in shut]
        for place in sorted(row, key=lambda p: (p.found is not None, not _is_red(p))):
            less = [other for other in row if other is not place]
            if not self._left([lack], [*shut, *less]):
                row = less
        return row


def _is_red(place: Open) -> bool:
    """Whether it is the red pin of a signal lead: no battery lead goes by it."""
    at = place.plug.name if place.plug is not None and place.found is None else ""
    return at == "plug" and place.pins == ("positive",)


def _returns(wiring: Wiring) -> Iterator[Need]:
    """What a regulator or a radio pack gives by a red wire comes back by the black beside it."""
    for mate in wiring.mates:
        part, plug = mate.plug.part, mate.plug
        inside = "tap" if plug.name == "out" else "body"
        gives = part.regulates or inside == "tap"
        red = not any("positive" in up.open for up in wiring.upstream(*plug.id))
        if not gives or plug.form is not Form.THREE_PIN or not red:
            continue
        if _is_whole(wiring, part.id, plug.name) and (rail := wiring.driver(*plug.id)) is not None:
            way = (Contact(part.id, inside, "negative"), (rail.pin("negative"),))
            yield Need(part, OUTPUT, ways=(way,))


def _bridges(wiring: Wiring) -> Iterator[Link]:
    """Yield what joins the battery side of a part to its signal lead, inside the part."""
    own = {mate.plug.part.id: mate.plug.part for mate in wiring.mates if mate.plug.name == "supply"}
    on_rail = {
        link.owner
        for link in wiring.links
        if link.a.port == "supply" and link.owner in own and link.b.port == own[link.owner].fed_at
    }
    for link in wiring.links:
        ends = {link.a.port, link.b.port}
        between = link.kind is LinkKind.INSIDE and "body" in ends and ends & {"battery", "tap"}
        beside = link.owner in on_rail and link.kind is LinkKind.WIRE and link.a.port == "plug"
        if between or (beside and link.a.pin in POLE_PINS):
            yield link
