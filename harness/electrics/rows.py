"""The figures of a solved harness, one row for every pack, supply, part, lead and plug.

Amperes, volts, heat and the share of what each bears: in which case worst, by which limits.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from harness.base.data import dataclass
from harness.electrics.cases import Demand
from harness.electrics.derating import derating, faa_temperature
from harness.electrics.margins import least_volts
from harness.electrics.ohms import contact_ohms
from harness.electrics.outcome import Outcome
from harness.electrics.packs import cautious_limit, cut_off, damage_volts, label_limit, packs_of
from harness.electrics.solver.circuit import Array
from harness.electrics.supplies import supply_bears
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import POLE_PINS, Form, LinkKind
from harness.parts.esc import Esc
from harness.parts.figure import Figure, from_catalogue
from harness.parts.pack import Pack
from harness.parts.part import Part, of_kind
from harness.plan.plan import Plan
from harness.wiring.build import Mate, PortId
from harness.wiring.codes import codes_of
from harness.wiring.leads import PhysicalLead, leads_of
from harness.wiring.live import unsaid
from harness.wiring.ratings import Limit, connector_of, rating_of, wire_figure

KINDS = ("pack", "supply", "part", "lead", "plug", "rail")
"""What rows are about, in the order they are listed."""

FLOWS = 1e-3
"""A below which nothing is drawn: an idle pack or ESC is not short of volts."""


@dataclass(frozen=True, eq=False)
class LoadRow:
    """One thing that current flows through; every array has one value a draw of the outcome.

    `name`: in the builder's words; `label`: the label code of a lead; `port`: the plug, for a
    plug. `amps`: A, below 0 for a pack that is being charged; `volts`: at the part, pack or
    supply; `drop`: V lost there and back; `loss`: W of heat; `temperature`: degC of the conductor
    in cases that last, estimated, `faa_temperature` the FAA's cautious figure for it, `insulation`
    what the insulation bears; `wires`: the numbers of the links that its copper is.
    `steady` and `burst`: what it bears continuously and for seconds, None where nobody knows.
    `lasting`: which draws are judged by `steady`. `least`: the volts a part needs, and `unsure`: 1
    where it is only short of them by what a wire takes that nobody measured.
    """

    kind: str
    part: str
    name: str
    amps: Array
    lasting: Array
    port: str = ""
    label: str = ""
    volts: Array | None = None
    drop: Array | None = None
    loss: Array | None = None
    temperature: Array | None = None
    faa_temperature: Array | None = None
    insulation: Figure | None = None
    wires: tuple[int, ...] = ()
    steady: Limit | None = None
    burst: Limit | None = None
    least: Array | None = None
    unsure: Array | None = None

    @cached_property
    def low(self) -> NDArray[np.bool_]:
        """Where a part gets fewer volts than it needs, so that it shows, by what is known."""
        if self.volts is None or self.least is None:
            return np.zeros(len(self.amps), dtype=bool)
        sure = True if self.unsure is None else self.unsure == 0
        return _short(self.volts, self.least) & sure

    @property
    def lowest(self) -> int | None:
        """The draw in which it lacks most volts, of those that last if there are any."""
        if self.volts is None or self.least is None or not self.low.any():
            return None
        lacks = np.where(self.low, np.round(self.least - self.volts, 9), -np.inf)
        lasting = np.where(self.lasting > 0, lacks, -np.inf)
        return int(np.argmax(lasting if np.isfinite(lasting).any() else lacks))

    @cached_property
    def hot(self) -> NDArray[np.bool_]:
        """Where the copper gets warmer than the insulation bears, so that it shows."""
        if self.temperature is None or self.insulation is None:
            return np.zeros(len(self.amps), dtype=bool)
        warm = np.where(self.lasting > 0, np.nan_to_num(self.temperature), -np.inf)
        return np.asarray(np.round(warm) > self.insulation.number)

    @property
    def hottest(self) -> int | None:
        """The draw in which it is warmest, where that is too warm."""
        warm = np.where(self.hot, np.asarray(self.temperature, dtype=float), -np.inf)
        return int(np.argmax(warm)) if self.hot.any() else None

    @cached_property
    def share(self) -> Array:
        """How much of what it bears flows: 1 is all of it. Not a number where nobody knows."""
        good, short = self.shares
        return np.asarray(np.fmax(good, short))

    @cached_property
    def shares(self) -> tuple[Array, Array]:
        """The same continuously, in cases that last, and for seconds."""
        good, short = (_share(self.amps, limit) for limit in (self.steady, self.burst))
        return np.where(self.lasting > 0, good, np.nan), short

    @cached_property
    def worst(self) -> int:
        """The draw that asks most of it: by share of what it bears, else by current."""
        ranked = self.share if np.isfinite(self.share).any() else np.abs(self.amps)
        return int(np.argmax(np.nan_to_num(ranked, nan=-1.0)))


def _share(amps: Array, limit: Limit | None) -> Array:
    return np.asarray(np.abs(amps) / (np.nan if limit is None else limit.figure.number))


def _short(volts: Array, least: Array) -> NDArray[np.bool_]:
    return np.asarray(np.round(volts, 2) < least)


def part_rows(outcome: Outcome) -> tuple[LoadRow, ...]:
    """Return the rows of the parts alone."""
    return tuple(_Maker(outcome).parts())


def pack_rows(outcome: Outcome) -> tuple[LoadRow, ...]:
    """Return the rows of the packs alone."""
    return tuple(_Maker(outcome).packs())


def lead_rows(outcome: Outcome) -> tuple[LoadRow, ...]:
    """Return the rows of the leads alone."""
    return tuple(_Maker(outcome).leads())


def rows_of(outcome: Outcome) -> tuple[LoadRow, ...]:
    """Return the rows of a solved harness, by kind and then by id."""
    maker = _Maker(outcome)
    found = [
        *maker.packs(),
        *maker.supplies(),
        *maker.parts(),
        *maker.leads(),
        *maker.plugs(),
        *maker.rails(),
    ]
    return tuple(found)


class _Maker:
    """Makes the rows of one outcome."""

    def __init__(self, outcome: Outcome) -> None:
        self.outcome, self.wiring, self.plan = outcome, outcome.wiring, outcome.plan
        each = outcome.net.spread.draws
        self.lasting = np.repeat([float(case.lasting) for case in outcome.cases], each)
        self.air = outcome.net.by_case([case.temperature for case in outcome.cases])

    def _row(self, kind: str, part: Part, amps: Array, **more: object) -> LoadRow:
        more.setdefault("name", part.named())
        for key in ("steady", "burst"):
            limit = more.get(key)
            if isinstance(limit, Limit) and limit.figure.number <= 0:  # no share of nothing
                del more[key]
        return LoadRow(kind=kind, part=part.id, amps=amps, lasting=self.lasting, **more)  # type: ignore[arg-type]

    def packs(self) -> Iterator[LoadRow]:
        """What each pack gives, at its own connector."""
        for pack in packs_of(self.plan):
            amps = self.outcome.given(pack.id)
            source = self.outcome.net.circuit.sources[self.outcome.net.sources[pack.id]]
            steady, burst = _pack_limits(self.plan, pack)
            damage = damage_volts(self.plan, pack)
            least = np.where(amps > FLOWS, damage.number, 0.0) if damage else None
            yield self._row(
                "pack",
                pack,
                amps,
                volts=self.outcome.volts_in(pack.id, "cells"),
                least=least,
                loss=amps**2 * np.asarray(source.ohms),
                steady=steady,
                burst=burst,
            )

    def supplies(self) -> Iterator[LoadRow]:
        """What each BEC and regulator gives, and what it burns for that."""
        for name in sorted(self.outcome.net.converters):
            part = self.plan.parts[name]
            bec = part.makes
            assert bec is not None
            amps, out = self.outcome.given(name), self.outcome.volts_in(name, "body")
            burnt = None  # of a supply that nobody said what feeds, nor is known what it takes
            if not unsaid(self.wiring, part):
                power_in = self.outcome.volts_in(name, "battery") * self.outcome.taken(name)
                burnt = power_in - amps * out
            title = f"BEC of {part.named()}" if part.drives else part.named()
            limits = supply_bears(self.wiring, part)
            yield self._row("supply", part, amps, name=title, volts=out, loss=burnt, **limits)

    def parts(self) -> Iterator[LoadRow]:
        """What each device draws, and the volts it gets."""
        for demand in self.outcome.net.demands:
            part, amps = demand.part, self.outcome.drawn(demand.part.id)
            if demand.draw.missing or part.id in self.outcome.net.unfed:
                continue
            volts = self.outcome.fed(part.id)
            limits = _stated_limits(part) if part.drives else {}
            loss, least = None if part.drives else amps * volts, self._least(part, amps)
            unsure = self._unsure(demand, volts, least)
            yield self._row(
                "part", part, amps, volts=volts, loss=loss, least=least, unsure=unsure, **limits
            )

    def _least(self, part: Part, amps: Array) -> Array:
        lasting, seconds = least_volts(self.plan, part)
        least = np.where(self.lasting > 0, lasting.figure.number, seconds.figure.number)
        cut = next((cut_off(self.wiring, esc) for esc in of_kind(Esc, [part])), None)
        return np.where(amps > FLOWS, cut.number, least) if cut else least

    def _unsure(self, demand: Demand, volts: Array, least: Array) -> Array | None:
        """Say where a part would have enough if wires of unknown gauge or length took nothing."""
        short = _short(volts, least)
        if not short.any() or (volts[short] < 0).any():
            return None
        found = np.zeros_like(volts)
        for draw in np.flatnonzero(short):
            way = self.outcome.ways.to(demand.plus, demand.minus, int(draw))
            sure = way.but(e for e in way.eaters if e.assumed) if way else float(volts[draw])
            found[draw] = float(round(sure, 2) >= least[draw])
        return found

    def leads(self) -> Iterator[LoadRow]:
        """Each lead: the most current at the end where all of it passes, and what it loses."""
        codes = codes_of(self.wiring)
        for lead in sorted(leads_of(self.wiring), key=lambda lead: lead.key):
            if lead.part.spins or not any(p.id in self._used for p in lead.ports):
                continue
            amps = np.max([self.outcome.through(port) for port in lead.trunk], axis=0)
            drop, loss = self._lost(lead)
            rating = rating_of(self.plan, lead)
            steady = self._derated(lead, rating.steady)
            yield self._row(
                "lead",
                lead.part,
                amps,
                name=f"{lead.kind} of {lead.part.id}",
                port=lead.port.name,
                label=codes[lead.key],
                drop=drop,
                loss=loss,
                **self._warm(lead, amps),
                steady=steady,
                burst=rating.burst,
            )

    @cached_property
    def _used(self) -> set[PortId]:
        return {(c.part, c.port) for c in self.outcome.mated}

    def _lost(self, lead: PhysicalLead) -> tuple[Array, Array]:
        """Add up the copper of a lead: volts there and back by its worst branch, and watts."""
        zero = np.zeros(self.outcome.net.circuit.draws)
        drops, loss = dict.fromkeys(POLE_PINS, zero), zero
        for number in self._wires_of(lead):
            amps, pin = self.outcome.link(number), self.wiring.links[number].a.pin
            ohms = np.asarray(self._ohms(number))
            loss = loss + amps**2 * ohms
            if pin in drops:
                drops[pin] = np.maximum(drops[pin], np.abs(amps) * ohms)
        return drops["positive"] + drops["negative"], loss

    def _wires_of(self, lead: PhysicalLead) -> Iterator[int]:
        """Yield the links that are the wires of a lead."""
        ports = {port.id for port in lead.ports}
        for number in self._wires.get(lead.part.id, ()):
            link = self.wiring.links[number]
            if ports & {(link.a.part, link.a.port), (link.b.part, link.b.port)}:
                yield number

    @cached_property
    def _wires(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for number, link in enumerate(self.wiring.links):
            if link.kind in {LinkKind.WIRE, LinkKind.DIODE} and number in self.outcome.net.resistor:
                found.setdefault(link.owner, []).append(number)
        return found

    def _ohms(self, number: int) -> object:
        net = self.outcome.net
        return net.circuit.resistors[net.resistor[number]].ohms

    def _derated(self, lead: PhysicalLead, limit: Limit | None) -> Limit | None:
        """A wire in a bundle or up high bears less continuously: what is less counts."""
        factor, bears = derating(self.plan, lead.part), self._bears(lead)
        if bears is None or factor.number >= 1:
            return limit
        figure = Figure(bears.number * factor.number, f"{bears.origin}; {factor.origin}")
        less = limit is None or figure.number < limit.figure.number
        return Limit("wire, derated", figure) if less else limit

    def _bears(self, lead: PhysicalLead) -> Figure | None:
        """Return what the gauge of a lead bears continuously, A."""
        return self._of_gauge(lead, "continuous")

    def _of_gauge(self, lead: PhysicalLead, key: str) -> Figure | None:
        battery = lead.port.form is Form.POWER
        return wire_figure(self.plan, lead.port.wire.size, key, battery=battery)

    def _warm(self, lead: PhysicalLead, amps: Array) -> dict[str, Any]:
        """Return how warm the copper is in cases that last, and the FAA's figure for sizing."""
        lasts = np.where(self.lasting > 0, 1.0, np.nan)
        warmth = self.outcome.net.warmth
        wires = tuple(number for number in self._wires_of(lead) if number in warmth)
        bears = self._bears(lead)
        rated = self._of_gauge(lead, "rated-temperature")
        found: dict[str, Any] = {"insulation": rated, "wires": wires}
        if wires:
            found["temperature"] = lasts * np.max([warmth[number] for number in wires], axis=0)
        if bears is not None and rated is not None:
            factor = derating(self.plan, lead.part).number
            heat = (bears.number * factor, self.air, rated.number)
            found["faa_temperature"] = faa_temperature(lasts * amps, *heat)
        return found

    def plugs(self) -> Iterator[LoadRow]:
        """Each mated pair: the pin that carries most, and what its contacts lose."""
        for mate in sorted(self.wiring.mates, key=lambda m: m.plug.id):
            plug = mate.plug
            motor = plug.form is Form.MOTOR
            ohms = contact_ohms(self.plan, mate) if motor else None
            if mate.socket is None or not (ohms or (plug.id in self._used and not motor)):
                continue
            amps = self.outcome.through_motor(plug.part.id) if ohms else self.outcome.through(plug)
            drop = 2 * (ohms.number if ohms else 0.0) * amps
            drop, loss = (drop, drop * amps) if ohms else self._contacts(mate)
            yield self._row(
                "plug",
                plug.part,
                amps,
                name=f"{plug.short} in {mate.socket.short}",
                port=plug.name,
                drop=drop,
                loss=loss,
                **self._plug_limits(mate),
            )

    def _contacts(self, mate: Mate) -> tuple[Array, Array]:
        drop = loss = np.zeros(self.outcome.net.circuit.draws)
        for pin in mate.plug.order:
            number = self.outcome.mated.get(mate.plug.pin(pin))
            if number is None or number not in self.outcome.net.resistor:
                continue
            amps, ohms = self.outcome.link(number), np.asarray(self._ohms(number))
            loss = loss + amps**2 * ohms
            drop = drop + (np.abs(amps) * ohms if pin in POLE_PINS else 0.0)
        return drop, loss

    def _plug_limits(self, mate: Mate) -> dict[str, Limit]:
        """The weaker side counts; a side not stated is taken to match."""
        assert mate.socket is not None
        names = sorted({connector_of(mate.plug), connector_of(mate.socket)} - {""})
        found = {}
        for key, word in (("steady", "continuous"), ("burst", "burst")):
            stated = ((n, from_catalogue(self.plan.catalogue, "plugs", n, word)) for n in names)
            limits = [Limit(f"plug {name}", figure) for name, figure in stated if figure]
            if limits:
                found[key] = min(limits, key=lambda limit: limit.figure.number)
        return found

    def rails(self) -> Iterator[LoadRow]:
        """What passes a box whose rail has a stated limit; what outputs take of an autopilot."""
        for part in sorted(self.plan.parts.values(), key=lambda p: p.id):
            if part.rails and part.limit is not None and not part.sets_outputs:
                into = [self.outcome.into(*p.id).clip(0) for p in self.wiring.by_part[part.id]]
                yield self._rail(part, part.limit, into, f"rail of {part.named()}")
        for box in self.plan.of(Autopilot):
            if box.limit is not None and box.rail == "logic":
                out = [-self.outcome.into(box.id, name) for name in box.channels]
                yield self._rail(box, box.limit, out, f"outputs of {box.named()}", "burst")

    def _rail(self, part: Part, most: float, flows: list[Array], name: str, *more: str) -> LoadRow:
        limit = Limit("as stated", Figure(most, f"plan line {part.at('limit').line}"))
        limits = dict.fromkeys(("steady", *more), limit)
        return self._row("rail", part, np.sum(flows, axis=0), name=name, **limits)


def _pack_limits(plan: Plan, pack: Pack) -> tuple[Limit | None, Limit | None]:
    """For seconds the label's C rate; continuously the share of it that can be trusted."""
    trusted, label = cautious_limit(plan, pack), label_limit(pack)
    if trusted is None or label is None:
        return None, None
    return Limit("trusted share of its C rate", trusted), Limit("C rate on its label", label)


def _stated_limits(of: Part) -> dict[str, Limit]:
    """What the plan says that an ESC gives, continuously and for seconds."""
    found = {}
    for key, word in (("steady", "rated"), ("burst", "burst")):
        value, span = getattr(of, word), of.spans.get(word, of.span)
        if value is not None:
            found[key] = Limit("as stated", Figure(value, f"plan line {span.line}"))
    return found
