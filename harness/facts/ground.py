"""Grounds: motor current that goes back by a signal ground, isolation bridged, a ground left out.

What a device takes by one wire of its lead it gives back by another. Anything left over is current
on its way through; what part of it the motors send is told by superposition.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.electrics.flow import LEAST_TOLD
from harness.facts.battery import battery_sides, source_mates
from harness.facts.below import behind
from harness.facts.currents import currents
from harness.facts.fed import put_right
from harness.facts.mend_first import ASTRAY, mend_first
from harness.facts.poles import poles_right
from harness.parts.contacts import COPPER, Contact, Form, LinkKind, Port, Role
from harness.parts.esc import Esc
from harness.parts.part import Part, of_kind
from harness.parts.regulator import Regulator
from harness.parts.sensor import Sensor
from harness.parts.sequencer import Sequencer
from harness.wiring.build import Mate, PortId, Wiring
from harness.wiring.fact import fact
from harness.wiring.graph import Tree, current_graph
from harness.wiring.opens import Open

if TYPE_CHECKING:
    from harness.electrics.flows import Flows
    from harness.electrics.solver.circuit import Array

PLUG = "plug"
"""The port of the lead with the signal."""


SHORTER = "shorten or thicken the main negatives up to where they meet"
"""What keeps motor current out of signal grounds."""


@dataclass(frozen=True, slots=True)
class Stray:
    """The motor current through a part's signal ground, A: below 0 it goes back by the lead."""

    part: Part
    amps: float
    case: str


def bridging(wiring: Wiring) -> list[Part]:
    """Return the parts with a signal lead and a battery side, by id."""
    plan, found = wiring.plan, list[Esc | Sequencer | Sensor]()
    found += [*plan.of(Esc), *plan.of(Sequencer), *plan.of(Sensor)]
    both: list[Part] = [p for p in found if (p.id, PLUG) in wiring.by_plug and p.supply]
    return sorted(both, key=lambda part: part.id)


def strays(wiring: Wiring, least: float) -> list[Stray]:
    """Return the worst of each part where it is above `least` amperes."""
    flows, found = currents(wiring), []
    for part in bridging(wiring):
        every = list[Stray]()
        for plug in _own_leads(wiring, part):
            amps = flows.judged(flows.outcome.stray(*plug.id))
            cases = [n for n, size in enumerate(abs(amps)) if size > least]
            every += (_motors(wiring, plug, n) for n in cases)
        worst = max(every, key=_size, default=None)
        if worst is not None and _size(worst) > least:
            found.append(worst)
    return found


def loop_cure(wiring: Wiring, port: PortId) -> str:
    """Say how motor current is kept out of a 3-pin plug; "" where most there is not of motors."""
    flows = currents(wiring)
    flow = flows.port(*port)
    driven = {demand.draw for demand in flows.outcome.net.demands if demand.part.drives}
    motors = abs(sum(amps for draw, amps in flow.peaks.items() if draw in driven))
    cure = f"{SHORTER}, or use isolated ESCs; never cut the signal ground"
    return cure if motors > flow.burst / 2 else ""


def _own_leads(wiring: Wiring, part: Part) -> list[Port]:
    """The plugs of its signal and data leads, where they are plugged."""
    return [
        p
        for p in wiring.by_part[part.id]
        if p.form is Form.THREE_PIN
        and p.is_plug
        and p.id in wiring.by_plug
        and not part.hands_on(p.name)
    ]


def detours(wiring: Wiring) -> list[Stray]:
    """Return by which leads more goes than with the open places at fault closed, the most first.

    All in the case in which most does; nothing where the network has no solution.
    """
    (flows, whole), leads = _both(wiring), defaultdict[str, list[PortId]](list)
    for mate in wiring.mates:
        own = mate.plug
        if (
            mate.fits
            and mate.first
            and own.form is Form.THREE_PIN
            and not own.part.hands_on(own.name)
        ):
            leads[own.part.id].append(own.id)
    if flows.shorted or whole.shorted or not leads:
        return []
    now, then = ({name: _through(of, ids) for name, ids in leads.items()} for of in (flows, whole))
    more = {name: now[name] - then[name] for name in leads}
    case = max(range(len(flows.outcome.cases)), key=lambda n: max(m[n] for m in more.values()))
    said = flows.outcome.cases[case].name
    found = [
        Stray(wiring.plan.parts[name], float(now[name][case]), said)
        for name in leads
        if more[name][case] > LEAST_TOLD
    ]
    return sorted(found, key=lambda stray: (-_size(stray), stray.part.id))


def _through(flows: Flows, leads: list[PortId]) -> Array:
    """Return what comes into a part by all its leads, or what goes out if that is more, A."""
    first, *rest = (flows.judged(flows.outcome.stray(*lead)) for lead in leads)
    every, net = abs(first), first
    for one in rest:
        every, net = every + abs(one), net + one
    return (every + abs(net)) / 2


def breaking_down(wiring: Wiring) -> list[str]:
    """Return the operating cases in which the open places leave the network without a solution."""
    flows, whole = _both(wiring)
    return [case for case in flows.trouble if case not in whole.trouble]


def _both(wiring: Wiring) -> tuple[Flows, Flows]:
    """What flows as the open places stand, and whole; nothing where more must be mended first."""
    from harness.electrics.flows import Flows, flows_of

    if any(fault.rule != ASTRAY for fault in mend_first(wiring)):
        return Flows(wiring, withheld=True), Flows(wiring, withheld=True)
    return flows_of(poles_right(wiring)), flows_of(put_right(wiring))


def _size(stray: Stray) -> float:
    return round(abs(stray.amps), 6)


def _motors(wiring: Wiring, plug: Port, case: int) -> Stray:
    """Add up what the motors send into a part by the wires of its lead."""
    flows, total = currents(wiring), 0.0
    driven = {demand.draw for demand in flows.outcome.net.demands if demand.part.drives}
    for number, sign in _pins(wiring, plug):
        for draw, amps in flows.shares(case).of_link(number).items():
            total += sign * amps if draw in driven else 0.0
    return Stray(plug.part, total, flows.outcome.cases[case].name)


def _pins(wiring: Wiring, plug: Port) -> Iterator[tuple[int, float]]:
    """Yield the links of the mated pins of a part's lead, and whether they run into the part."""
    outcome = currents(wiring).outcome
    for contact in map(plug.pin, plug.order):
        number = outcome.mated.get(contact)
        if number is not None:
            yield number, 1.0 if outcome.wiring.links[number].b == contact else -1.0


def in_loops(wiring: Wiring) -> list[Esc]:
    """Return the ESCs through whose signal ground motor current flows, or would if it were known.

    Those of one loop share a ground net.
    """
    flows = currents(wiring)
    lasting = next(n for n, case in enumerate(flows.outcome.cases) if case.lasting)
    found = []
    for esc in of_kind(Esc, bridging(wiring)):
        leads = [p.id for p in _own_leads(wiring, esc)]
        most = max(float(abs(flows.judged(flows.outcome.stray(*one))).max()) for one in leads)
        if most > LEAST_TOLD or (flows.unknown and _reached(wiring, esc, lasting)):
            found.append(esc)
    return found


def _reached(wiring: Wiring, esc: Esc, case: int) -> bool:
    """Whether the current of some ESC would go through the signal ground of this one."""
    draws = [
        draw
        for number, _ in _pins(wiring, wiring.ports[esc.id, PLUG])
        for draw in currents(wiring).shares(case).of_link(number)
        if draw.part.drives and draw.missing
    ]
    return bool(draws)


@dataclass(frozen=True, slots=True)
class ReturnWays:
    """The links of the negatives of one ESC up to where others meet it: battery and signal side."""

    main: tuple[int, ...]
    lead: tuple[int, ...]


def ways_of(wiring: Wiring, escs: Iterable[Esc]) -> dict[str, ReturnWays]:
    """Return the negatives of the ESCs of one loop, by id."""
    both, found = _mates(wiring), dict[str, ReturnWays]()
    met = Counter(name for mains, leads in both.values() for name in (*mains, *leads))
    for esc in escs:
        main, lead = (
            [mate for name, mate in mates.items() if met[name] == 1] for mates in both[esc.id]
        )
        found[esc.id] = ReturnWays(_negatives(wiring, main), _negatives(wiring, lead))
    return found


@fact
def _mates(wiring: Wiring) -> dict[str, tuple[dict[PortId, Mate], dict[PortId, Mate]]]:
    """The mates from each part with both sides to its packs, and by its lead to what drives it."""
    parts: list[Part] = [*bridging(wiring), *wiring.plan.of(Regulator)]
    found = {}
    for part in parts:
        mains = {mate.plug.id: mate for mate in _up(wiring, part)}
        leads = {mate.plug.id: mate for mate in wiring.upstream(part.id, PLUG)}
        found[part.id] = (mains, leads)
    return found


def _up(wiring: Wiring, part: Part) -> Iterator[Mate]:
    """Yield the mates from a part's battery plugs to the packs."""
    from networkx import descendants

    right = put_right(wiring)
    for name in (part.id, *sorted(descendants(battery_sides(right), part.id))):
        if not right.plan.parts[name].holds_cells:
            mates = source_mates(right, right.plan.parts[name])
            yield from (mate for mate in mates if mate.socket is not None)


def _negatives(wiring: Wiring, mates: list[Mate]) -> tuple[int, ...]:
    """Return the links with resistance at the negative pins of mated pairs, both wires included."""
    ports: list[Port] = [port for m in mates for port in (m.plug, m.socket) if port is not None]
    at = _resisting(wiring)
    return tuple(sorted({n for port in ports for n in at.get(port.pin("negative"), ())}))


@fact
def _resisting(wiring: Wiring) -> dict[Contact, list[int]]:
    """The numbers of the links with resistance by the contacts at their ends."""
    found: dict[Contact, list[int]] = defaultdict(list)
    for number in sorted(currents(wiring).outcome.net.ohms):
        link = currents(wiring).wiring.links[number]
        found[link.a].append(number)
        found[link.b].append(number)
    return found


def ground_of(wiring: Wiring, part: str) -> Contact:
    """Return the net of the ground of a part's signal lead."""
    contact = Contact(part, PLUG, "negative")
    return wiring.nets.root.get(contact, contact)


def bridges(wiring: Wiring, part: Part) -> list[str]:
    """Return every part whose inside ties the battery side of a part to its signal side."""
    found: list[str] = []
    while (bridge := _bridge(wiring, part, found)) is not None and bridge.id not in found:
        found.append(bridge.id)
    return found


def _bridge(wiring: Wiring, part: Part, without: list[str]) -> Part | None:
    """Return the nearest part whose inside ties both sides together, those left out aside."""
    one, other = (Contact(part.id, inside, "negative") for inside in ("battery", "body"))
    wiring = put_right(wiring)
    if not wiring.nets.same(one, other):
        return None
    links = (k for k in wiring.links if k.kind in COPPER and k.owner not in without)
    way = list(Tree(current_graph(links), one).way(other))
    sides = {"battery", "tap", "supply"}
    crossing = [k.owner for k in way if len({k.a.port, k.b.port} & sides) == 1]
    inside = [name for name in crossing if name != part.id and name in wiring.plan.parts]
    tied = [
        n
        for n in inside
        if {"plug", "body", "rail"} & {c.port for k in way if k.owner == n for c in (k.a, k.b)}
    ]
    return wiring.plan.parts[tied[0]] if tied else None


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


@dataclass(frozen=True, slots=True)
class GroundBreak:
    """Where a signal goes on from a `port` and its ground does not, for some `devices` beyond.

    `place`: the open place that does it, None where no black wire was ever there.
    """

    port: Port
    devices: tuple[Part, ...]
    place: Open | None


@fact
def ground_breaks(wiring: Wiring) -> tuple[GroundBreak, ...]:
    """Return the breaks at plugs and inside what lies in a lead."""
    pairs = [
        (mate.plug, mate.socket, LinkKind.MATE)
        for mate in wiring.mates
        if mate.socket is not None and mate.fits and mate.first
    ]
    pairs += [
        (port, wiring.ports[port.part.id, port.passes], LinkKind.WIRE)
        for port in wiring.ports.values()
        if port.passes and port.part.in_line
    ]
    return tuple(
        GroundBreak(one, _wanting(wiring, one), _black(wiring, one, kind))
        for one, other, kind in pairs
        if loses_ground(wiring, one, other)
    )


def _wanting(wiring: Wiring, port: Port) -> tuple[Part, ...]:
    down = [port, *behind(wiring, *port.id)] if port.is_plug else wiring.downstream(port.id)
    ends = (other.part for other in down if not other.part.hands_on(other.name))
    return tuple(part for part in ends if wants_ground(wiring, part))


def _black(wiring: Wiring, port: Port, kind: LinkKind) -> Open | None:
    black = port.pin("negative")
    return next(
        (
            place
            for place in wiring.opens
            for k in place.links
            if k.kind is kind and black in {k.a, k.b}
        ),
        None,
    )


def wants_ground(wiring: Wiring, part: Part) -> bool:
    """Say whether a part needs a ground beside its signal; a bare motor by what drives it."""
    return part.obeys or part.id in _listening(wiring)
