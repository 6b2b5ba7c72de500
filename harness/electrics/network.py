"""From a wiring and its operating cases to a network: one circuit, every case a draw of it.

Packs, BECs, regulators and diodes become devices; a tolerance run multiplies some figures.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from harness.base.data import dataclass, field
from harness.base.wire import COEFFICIENT_20C
from harness.electrics.cases import Demand, OperatingCase, demands_of
from harness.electrics.ohms import Ohms, ohms_of
from harness.electrics.packs import pack_ohms, rest_volts
from harness.electrics.solver.circuit import (
    Amount,
    Array,
    Circuit,
    Consumer,
    Converter,
    Junction,
    NotSolved,
    Resistor,
    VoltSource,
)
from harness.electrics.solver.layout import Pieces
from harness.electrics.supplies import seconds_of
from harness.parts.bec import supply_figure
from harness.parts.contacts import COPPER, POLE_PINS, Contact, Form, Link, LinkKind
from harness.parts.figure import from_catalogue, rule_figure
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.live import live, unsaid
from harness.wiring.ratings import split_of


@dataclass(frozen=True)
class Spread:
    """Factors by what they belong to, each an array of shape (draws,); 1 where none is given.

    `contacts` by link number, `packs`, `supplies` and `movers` by part id. A mover's factor
    holds whatever it does; one for a single state goes by "id state" (still, moving, stalled).
    """

    draws: int = 1
    contacts: Mapping[str, Array] = field(default_factory=dict)
    packs: Mapping[str, Array] = field(default_factory=dict)
    supplies: Mapping[str, Array] = field(default_factory=dict)
    movers: Mapping[str, Array] = field(default_factory=dict)

    def draw(self, part: str, states: Sequence[str]) -> Amount:
        """Return the factor of what a servo or leg draws, by what it does in each case."""
        each = [self.movers.get(f"{part} {state}", self.movers.get(part)) for state in states]
        if all(factor is None for factor in each):
            return 1.0
        one = np.ones(self.draws)
        return np.concatenate([one if factor is None else factor for factor in each])

    def some(self, start: int, stop: int) -> Spread:
        """Return the draws from `start` up to `stop`."""

        def cut(of: Mapping[str, Array]) -> Mapping[str, Array]:
            return {key: factor[start:stop] for key, factor in of.items()}

        stop = min(stop, self.draws)
        groups = (self.contacts, self.packs, self.supplies, self.movers)
        return Spread(stop - start, *map(cut, groups))


NONE = Spread()
"""Nothing varies."""

LAW = ("winding", "no_load", "load", "switching")
"""What a consumer takes of a motor's law."""

AMPLE = 1e15
"""Stands for volts and efficiency without end where nobody said what feeds a supply."""


def junction(plan: Plan, kind: str) -> tuple[float, float, float]:
    """Return saturation current (A), slope n k T / q (V) and bulk resistance (ohm) of a diode.

    Shockley's equation with a resistance behind it, laid through the two points of drop and
    current that the catalogue gives.
    """

    def value(key: str) -> float:
        figure = from_catalogue(plan.catalogue, "diodes", kind, key)
        assert figure is not None
        return figure.number

    low, high = value("drop-low"), value("drop")
    small, large, slope = value("drop-low-current"), value("drop-current"), value("slope")
    bulk = (high - low - slope * math.log(large / small)) / (large - small)
    bulk = max(bulk, 1e-4)
    saturation = small / math.expm1((low - small * bulk) / slope)
    return saturation, slope, bulk


@dataclass
class Network:
    """The circuit of a wiring, and where each of its links and parts went.

    `node` gives the node of each contact, `resistor` the number of each link's resistor by the
    link's number, `ohms` what it is made of; `sources`, `consumers`, `converters`, `diodes` the
    numbers of the devices by part id. `limited`: whether BECs are held to what they give for
    seconds. The circuit's draws are the cases, each `spread.draws` times. `warmth`: of the copper
    of each wire, by link, degC, once it is solved (`warm.solved`).
    """

    wiring: Wiring
    cases: tuple[OperatingCase, ...]
    limited: bool = True
    spread: Spread = NONE
    circuit: Circuit = field(default_factory=Circuit)
    node: dict[Contact, Contact] = field(default_factory=dict)
    resistor: dict[int, int] = field(default_factory=dict)
    ohms: dict[int, Ohms] = field(default_factory=dict)
    sources: dict[str, int] = field(default_factory=dict)
    consumers: dict[str, int] = field(default_factory=dict)
    converters: dict[str, int] = field(default_factory=dict)
    diodes: dict[str, int] = field(default_factory=dict)
    unfed: tuple[str, ...] = ()
    warmth: dict[int, Array] = field(default_factory=dict)

    def at(self, part: str, port: str, pin: str) -> Contact:
        """Return the node of a contact."""
        contact = Contact(part, port, pin)
        return self.node.get(contact, contact)

    def by_case(self, values: Sequence[float]) -> Array:
        """Return one amount a case as one amount a draw."""
        return np.repeat(np.asarray(values, dtype=float), self.spread.draws)

    def factor(self, of: Mapping[str, Array], key: str) -> Amount:
        """Return one of the spread's factors, 1 where none is given."""
        return np.tile(of[key], len(self.cases)) if key in of else 1.0

    @cached_property
    def demands(self) -> tuple[Demand, ...]:
        """What the parts draw."""
        return tuple(demands_of(self.wiring))


def network_of(
    wiring: Wiring, cases: Sequence[OperatingCase], *, limited: bool = True, spread: Spread = NONE
) -> Network:
    """Build the network of a wiring for some operating cases."""
    net = Network(wiring, tuple(cases), limited, spread)
    net.circuit.draws = len(net.cases) * spread.draws
    _nodes(net)
    _resistors(net)
    packs = {pack.id: pack for pack in wiring.plan.of(Pack)}
    for number, link in enumerate(wiring.links):
        if link.kind is LinkKind.DIODE:
            _diode(net, number, link)
        elif link.kind is LinkKind.SOURCE and link.owner in packs:
            _pack(net, packs[link.owner])
        elif link.kind is LinkKind.SOURCE:
            _converter(net, wiring.plan.parts[link.owner])
    _consumers(net)
    return net


def _nodes(net: Network) -> None:
    """Contacts joined by nothing but metal without length are one node."""
    pieces, stems = Pieces[Contact](), dict[Contact, Contact]()
    for number, link in enumerate(net.wiring.links):
        pieces.root(link.a), pieces.root(link.b)
        if (first := _stem(net.wiring, link, stems)) != link.b:
            pieces.join(first, link.b)
            continue
        ohms = ohms_of(net.wiring, link) if link.kind in COPPER else None
        if ohms is not None and ohms.total > 0:
            net.ohms[number] = ohms
        elif link.kind in COPPER:
            pieces.join(link.a, link.b)
    for one, other in _driven_legs(net.wiring):
        pieces.join(one, other)
    net.node = {contact: pieces.root(contact) for contact in pieces}


def _stem(wiring: Wiring, link: Link, stems: dict[Contact, Contact]) -> Contact:
    """Return where one wire for all sockets of a lead that splits at its end comes out."""
    part = wiring.plan.parts[link.owner] if link.kind is LinkKind.WIRE else None
    if part is None or split_of(part) != "end" or part.battery_side:
        return link.b
    return stems.setdefault(link.a, link.b)


def _driven_legs(wiring: Wiring) -> list[tuple[Contact, Contact]]:
    """A box that reverses a bare motor lays its own rail on the two wires while it runs."""
    found = []
    for mate in wiring.mates:
        socket = mate.socket
        if socket is None or not mate.fits:
            continue
        if socket.part.sequences and socket.form is Form.TWO_WIRE:
            for pin in POLE_PINS:
                found.append((socket.pin(pin), Contact(socket.part.id, "rail", pin)))
    return found


def _resistors(net: Network) -> None:
    """Copper as warm as the air; contacts differ from one to the next."""
    warm = 1 + COEFFICIENT_20C * (net.by_case([case.temperature for case in net.cases]) - 20)
    for number, ohms in net.ohms.items():
        link = net.wiring.links[number]
        fixed: Amount = ohms.fixed
        if ohms.contact:
            fixed = ohms.fixed * net.factor(net.spread.contacts, str(number))
        amount = ohms.copper * warm + fixed if ohms.copper else fixed
        net.resistor[number] = len(net.circuit.resistors)
        name = f"{link.owner} {link.a.port}.{link.a.pin}"
        net.circuit.resistors.append(Resistor(net.node[link.a], net.node[link.b], amount, name))


def _pack(net: Network, pack: Pack) -> None:
    plan, cells = net.wiring.plan, f"cells of {pack.id}"
    volts = [
        case.volts.get(pack.id) or rest_volts(plan, pack, case.charges.get(pack.id, case.charge))
        for case in net.cases
    ]
    ohms = net.by_case(
        [pack_ohms(plan, pack, case.temperature, stiff=case.stiff) for case in net.cases]
    )
    ohms = ohms * net.factor(net.spread.packs, pack.id)
    low, high = (net.at(pack.id, "cells", pin) for pin in ("negative", "positive"))
    net.sources[pack.id] = len(net.circuit.sources)
    net.circuit.sources.append(VoltSource(low, high, net.by_case(volts), ohms, cells))


def _converter(net: Network, part: Part) -> None:
    """Where nobody said what feeds a supply it is taken to be fed well enough."""
    bec, fed = part.makes, not unsaid(net.wiring, part)
    if bec is None:
        return

    def figure(key: str) -> float:
        found = supply_figure(part, net.wiring.plan.catalogue, key)
        return found.number if found else 0.0

    drop_out, efficiency, quiescent = -AMPLE, AMPLE, 0.0
    if fed:
        drop_out, quiescent = figure("drop-out"), figure("quiescent")
        efficiency = 0.0 if bec.kind == "linear" else figure("efficiency")
    ins, outs = ([net.at(part.id, side, pin) for pin in POLE_PINS] for side in ("battery", "body"))
    volts, most = bec.volts if bec.metered is None else bec.metered, seconds_of(part)
    net.converters[part.id] = len(net.circuit.converters)
    net.circuit.converters.append(
        Converter(
            ins[0],
            ins[1],
            outs[0],
            outs[1],
            volts * net.factor(net.spread.supplies, part.id),
            figure("output-resistance"),
            drop_out,
            most.number if net.limited and most is not None else np.inf,
            efficiency,
            quiescent,
            part.id,
        )
    )


def _diode(net: Network, number: int, link: Link) -> None:
    """A diode or isolator: its junction, and its bulk resistance behind it."""
    name, part = link.owner, net.wiring.plan.parts[link.owner]
    saturation, slope, bulk = junction(net.wiring.plan, part.kind)
    middle = Contact(name, f"junction {link.a.port} {link.b.port}", "positive")
    net.diodes[name if name not in net.diodes else f"{name} {number}"] = len(net.circuit.diodes)
    net.circuit.diodes.append(Junction(net.node[link.a], middle, saturation, slope, name))
    net.resistor[number] = len(net.circuit.resistors)
    net.circuit.resistors.append(Resistor(middle, net.node[link.b], bulk, f"{name} bulk"))


def _consumers(net: Network) -> None:
    fed = _fed(net)
    knee = rule_figure(net.wiring.plan.catalogue, "knee", "volts").number
    unfed = []
    for demand in net.demands:
        plus, minus = (net.node.get(end, end) for end in (demand.plus, demand.minus))
        live = fed.get(plus, 0) == fed.get(minus, -1)
        if not live and demand.asks:
            unfed.append(demand.part.id)
        asked = [demand.in_case(case) if live else (0.0, 0.0, 0.0) for case in net.cases]
        states = [case.doing(demand.part.id).state for case in net.cases]
        spread = net.spread.draw(demand.part.id, states)
        amps, siemens, duty = (net.by_case([row[k] for row in asked]) for k in range(3))
        laws = [demand.law(case) for case in net.cases] if demand.laws else []
        motor = {key: net.by_case([getattr(law, key) for law in laws]) for key in LAW if laws}
        net.consumers[demand.part.id] = len(net.circuit.consumers)
        net.circuit.consumers.append(
            Consumer(
                plus,
                minus,
                amps * spread,
                siemens * spread,
                knee=knee,
                stall=knee,
                name=demand.part.id,
                duty=duty,
                **motor,
            )
        )
    net.unfed = tuple(sorted(set(unfed)))


def _fed(net: Network) -> dict[Contact, int]:
    """Give each node the number of the piece of network it hangs on, if a source that gives is."""
    circuit, pieces = net.circuit, Pieces[Contact]()
    pairs = [(r.a, r.b) for r in circuit.resistors] + [(s.low, s.high) for s in circuit.sources]
    pairs += [(d.a, d.b) for d in circuit.diodes]
    giving = live(net.wiring).giving
    made = [circuit.converters[n] for name, n in net.converters.items() if name in giving]
    pairs += [(c.out_minus, c.out_plus) for c in made]
    for a, b in pairs:
        pieces.join(a, b)
    fed = {pieces.root(s.low) for s in circuit.sources} | {pieces.root(c.out_minus) for c in made}
    numbers = {at: number for number, at in enumerate(sorted(fed), 1)}
    return {node: numbers[pieces.root(node)] for node in pieces if pieces.root(node) in numbers}


def part_of(plan: Plan, element: str) -> Part | None:
    """Return the part that an element of the circuit belongs to, or None for the whole network."""
    parts = plan.parts
    return parts.get(element) or parts.get(element.removeprefix("cells of ").split(" ")[0])


def blamed(plan: Plan, why: NotSolved) -> str:
    """Say which part stands in the way of a solution, on which line of the plan, and how."""
    part = part_of(plan, why.element)
    if part is None:
        return f"{why.element}: {why.why}"
    return f"{part.named()} (plan line {part.span.line}): {why.why}"
