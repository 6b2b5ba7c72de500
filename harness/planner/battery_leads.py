"""What can feed the battery side, and a battery side laid as edits of the plan."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, product
from typing import Any

from harness.airframe.lengths import needed_run
from harness.base.data import dataclass, field
from harness.base.near import spoken
from harness.base.units import parse_wire
from harness.facts.battery import full_volts, pack_volts, runs_of
from harness.facts.wording import quoted
from harness.parts.contacts import Form
from harness.parts.part import Part
from harness.plan.kit import KitPiece
from harness.plan.rewrite import AddPart, SetKey
from harness.wiring.build import Wiring
from harness.wiring.ratings import mating

SHORTEST, ARMING = 100.0, 60.0
"""mm: a lead made at the bench, and the loop of an arming plug; common practice, no source."""
ALIKE = ("chemistry", "cells", "capacity", "rate")
JOINS = {"series": "stack", "parallel": "pair"}
"""What a new lead that joins packs is called."""
IN_LINE = ("extension", "arming", "")
"""Kinds of what lies in one line: leads, and fuses and sensors, which have no kind."""


@dataclass(frozen=True)
class PowerSource:
    """Free sockets, all alike, that can feed: of one part, or of alike packs to be joined `how`."""

    parts: tuple[str, ...]
    sockets: tuple[str, ...]
    connector: str
    how: str = ""

    @property
    def words(self) -> str:
        """It in words."""
        how = {"series": " end to end", "parallel": " side by side"}.get(self.how, "")
        return f"{quoted(self.parts)}{how}"

    @property
    def trunk(self) -> str:
        """The way that all of it goes through."""
        return f"*{self.parts[0]}"


@dataclass(frozen=True)
class BatterySide:
    """One battery side: what each source feeds, as ids.

    `within`: loose parts and the way they lie in, a source's trunk or what is fed at its end;
    `arming`: ways with a new arming plug; `capacitors`: new ones at an ESC, F and V; `gauges`: of
    new leads, where not the usual one.
    """

    feeds: tuple[tuple[PowerSource, tuple[str, ...]], ...]
    within: tuple[tuple[str, str], ...] = ()
    arming: tuple[str, ...] = ()
    capacitors: tuple[tuple[str, float, float], ...] = ()
    gauges: tuple[tuple[str, str], ...] = ()

    @property
    def words(self) -> str:
        """It in words."""
        return "; ".join(f"{source.words} for {quoted(fed)}" for source, fed in self.feeds)


class BatteryParts:
    """What a plan leaves open on its battery side: `fed` has no supply, `loose` hangs nowhere.

    `notes`: which packs are not joined, and what to state for it.
    """

    def __init__(self, wiring: Wiring) -> None:
        self.wiring, self.plan, self.notes = wiring, wiring.plan, list[str]()
        free = [
            p
            for p in self.plan.parts.values()
            if p.has_key("supply") and not getattr(p, "supply", None)
        ]
        leads = [p for p in free if p.battery_lead and p.kind != "jumper"]
        odd = {found.end.partition(".")[0] for found in self.plan.as_found}
        self.loose = {
            p.id: p
            for p in leads
            if not self.behind(p) and p.id not in odd and not getattr(p, "crossed", False)
        }
        # a load or a box is fed from the battery side only where its plug says so
        boxes = (p for p in free if p.taps_battery and not p.battery_lead)
        open_ = [p for p in boxes if p.drives or p.regulates or p.connector]
        self.fed = [p for p in free if p in open_ or (p in leads and self.behind(p))]
        self.sources = [*self._packs(), *self._ends()]

    def behind(self, part: Part) -> list[Part]:
        """Return what hangs on a lead, through leads on it."""
        ports = (port for port in self.wiring.by_part[part.id] if port.form is Form.POWER)
        on = [m.plug.part for p in ports for m in self.wiring.by_socket.get(p.id, ())]
        return [*on, *(p for one in on if one.battery_lead for p in self.behind(one))]

    def _packs(self) -> Iterator[PowerSource]:
        """Yield each free pack, then those joined that the plan states to be alike."""
        packs = [p for p in self.plan.parts.values() if p.holds_cells and not p.feeds_radio]
        packs = [p for p in packs if not self.wiring.by_socket.get((p.id, "main"))]
        for pack in packs:
            yield PowerSource((pack.id,), (pack.id,), pack.connector)
        apart = {(a.id, b.id) for a, b in combinations(packs, 2) if not self._alike(a, b)}
        for size, how in product(range(2, len(packs) + 1), ("parallel", "series")):
            for some in combinations([p.id for p in packs], size):
                if apart.isdisjoint(combinations(some, 2)):
                    yield PowerSource(some, some, self.plan.parts[some[0]].connector, how)

    def _alike(self, one: Part, other: Part) -> bool:
        """Whether the plan states it, by `like:` or by all that counts; else note what to state."""
        told: dict[str, Any] = {
            word: (getattr(one, word), getattr(other, word)) for word in (*ALIKE, "charge", "volts")
        }
        unlike = [word for word, both in told.items() if None not in both and both[0] != both[1]]
        near = self.plan.catalogue.number("rules", "parallel", "warning") * one.cells
        if "volts" in unlike and abs(told["volts"][0] - told["volts"][1]) <= near + 1e-9:
            unlike.remove("volts")
        bases = [
            {p.id, *(like.bases if (like := self.plan.likes.get(p.id)) else ())}
            for p in (one, other)
        ]
        missing = [word for word in ALIKE if None in told[word]]
        missing += ["charge"] if None in told["charge"] and None in told["volts"] else []
        names = quoted((one.id, other.id))
        if unlike and not {"chemistry", "cells"} & set(unlike):
            self.notes.append(f"{names} are never joined: they differ in {spoken(unlike)}")
        elif not unlike and missing and bases[0].isdisjoint(bases[1]):
            self.notes.append(
                f"{names} are joined neither end to end nor side by side, for the plan does not say"
                f" that they are alike: state the {spoken(missing)} of both, or `like: {one.id}`"
            )
            return False
        return not unlike

    def _ends(self) -> Iterator[PowerSource]:
        """Yield the free ends of leads that hang on a pack, and of regulators that have one."""
        for part in self.plan.parts.values():
            out = getattr(part, "connector_out", "")
            ports = [
                p for p in self.wiring.by_part[part.id] if not p.is_plug and p.form is Form.POWER
            ]
            hangs = part.battery_lead and any(run.pack for run in runs_of(self.wiring, part))
            free = [p.short for p in ports if not self.wiring.by_socket.get(p.id)]
            if free and (hangs or out):
                yield PowerSource((part.id,), tuple(free), out or part.connector)

    def volts(self, source: PowerSource, state: str) -> float:
        """Return the volts of a source "full", "nominal", "empty" or at "damage"; 0: not known."""
        first = self.plan.parts[source.parts[0]]
        if first.holds_cells:
            packs = (self.plan.parts[name] for name in source.parts)
            each = [v.number for pack in packs if (v := pack_volts(self.plan, pack, state))]
            return sum(each) if source.how == "series" else max(each, default=0.0)
        pack = next((run.pack for run in runs_of(self.wiring, first) if run.pack), None)
        one = [pack_volts(self.plan, pack, word) for word in (state, "full")] if pack else [None]
        full = full_volts(self.wiring, first)
        return full * one[0].number / one[1].number if full and one[0] and one[1] else 0.0


@dataclass(frozen=True)
class _End:
    """Where the next plug goes: sockets of one class, and the mm of wire from the packs so far."""

    sockets: tuple[str, ...]
    connector: str
    reach: float


@dataclass
class Laying:
    """One battery side laid: the ids of what it joins, from the packs outward, and of new parts.

    `bought`: those that are not in the kit; `left`: loose parts without a use.
    """

    there: BatteryParts
    side: BatterySide
    edits: list[SetKey | AddPart] = field(default_factory=list)
    bought: list[str] = field(default_factory=list)
    new: list[str] = field(default_factory=list)
    taken: list[tuple[object, ...]] = field(default_factory=list)

    @property
    def joined(self) -> list[str]:
        """The ids of what gets a supply, from the packs outward."""
        ids = (edit.part if isinstance(edit, SetKey) else edit.id for edit in self.edits)
        return [name for name in dict.fromkeys(ids) if not name.startswith("caps-")]

    def __post_init__(self) -> None:
        self.plan, lie = self.there.plan, dict(self.side.within)
        self.left = {name: part for name, part in self.there.loose.items() if name not in lie}
        for source, fed in self.side.feeds:
            self._feed(source, fed)
        for esc, farads, volts in self.side.capacitors:
            fields = (
                ("across", esc),
                ("value", "220 uF"),
                ("count", f"{farads / 220e-6:.0f}"),
                ("volts", f"{volts:g} V"),
                ("place", self.plan.parts[esc].place),
            )
            self._add("capacitors", self._id(f"caps-{esc}"), fields, None)

    def _feed(self, source: PowerSource, fed: tuple[str, ...]) -> None:
        self._source, first = source, self.plan.parts[source.parts[0]]
        end = _End(source.sockets, source.connector, _length(first))
        if source.how:
            ways = len(fed) if source.how == "parallel" and not self._inner(source.trunk) else 1
            end = self._lead(source.how, JOINS[source.how], end, end.connector, fed, ways)
        end = self._through(source.trunk, end, fed)
        if len(fed) <= len(end.sockets):
            self._each(end, fed)
            return
        kinds = {n: mating(self.plan, self._entry((*self._inner(n), n)[0])) for n in fed}
        drive = [kinds[n] for n in fed if self.plan.parts[n].drives] or list(kinds.values())
        main = max(sorted(set(drive)), key=drive.count)
        own = [n for n in fed if kinds[n] == main]
        others = [k for k in dict.fromkeys(kinds.values()) if k != main]
        end = self._lead("parallel", "pack-y", end, main, fed, len(own) + len(others))
        self._each(end, own)
        for socket, kind in zip(end.sockets[len(own) :], others, strict=False):
            some, one = [n for n in fed if kinds[n] == kind], _End((socket,), main, end.reach)
            if len(some) > 1:
                one = self._lead("parallel", "supply-y", one, kind, some, len(some))
            self._each(one, some)

    def _each(self, end: _End, fed: Iterable[str]) -> None:
        for socket, name in zip(end.sockets, fed, strict=False):
            one = _End((socket,), end.connector, end.reach)
            self._plug_in(self._through(name, one, (name,)), name)

    def _inner(self, way: str) -> tuple[str, ...]:
        return tuple(part for part, where in self.side.within if where == way)

    def _entry(self, name: str) -> str:
        """Return the class of a part's plug towards the packs."""
        part = self.plan.parts[name]
        return getattr(part, "connector_in", "") or part.connector

    def _through(self, way: str, end: _End, fed: Sequence[str]) -> _End:
        """Lead a way through the loose parts that lie in it, and a new arming plug."""
        for name in self._inner(way):
            reach = self._plug_in(end, name).reach + _length(self.plan.parts[name])
            end = _End((name,), self.plan.parts[name].connector, reach)
        new = way in self.side.arming
        return self._lead("arming", "arming", end, end.connector, fed, 1) if new else end

    def _plug_in(self, end: _End, name: str) -> _End:
        """Plug a part of the plan in, with an adapter or an extension where it needs one."""
        wants, part = self._entry(name), self.plan.parts[name]
        if not self._goes(wants, end.connector):
            end = self._lead("adapter", f"{name}-adapter", end, wants, (name,), 1)
        elif not part.battery_lead and self._wanting((name,), end.reach) > 0:
            end = self._lead("extension", f"{name}-extension", end, end.connector, (name,), 1)
        self.edits.append(SetKey(name, "supply", self._into(end, end.sockets[0])))
        return end

    def _goes(self, one: str, other: str) -> bool:
        return not one or not other or mating(self.plan, one) == mating(self.plan, other)

    def _lead(
        self, kind: str, name: str, end: _End, leaves: str, fed: Sequence[str], ways: int
    ) -> _End:
        """Put a lead between: a loose one of the plan, one of the kit, or a new one."""
        packs = bool(self._source.how) and end.sockets == self._source.sockets
        into = [self._into(end, one) for one in (end.sockets if packs else end.sockets[:1])]
        told = into[0] if len(into) == 1 else f"[{', '.join(into)}]"
        fit = [
            p
            for p in self.left.values()
            if p.kind == kind
            and getattr(p, "ways", 1) >= ways
            and self._goes(self._entry(p.id), end.connector)
            and self._goes(p.connector, leaves)
        ]
        if fit:
            part = min(fit, key=lambda p: getattr(p, "ways", 1))
            del self.left[part.id]
            name, ways, length = part.id, getattr(part, "ways", 1), _length(part)
            self.edits.append(SetKey(name, "supply", told))
        else:
            in_kit = "power-extension" if kind == "extension" else kind
            name, piece = self._id(name), self._from_kit(in_kit, leaves, ways)
            length = ARMING if kind == "arming" else max(SHORTEST, self._wanting(fed, end.reach))
            length = piece.length if piece and piece.length is not None else length
            wire = self._gauge(
                name,
                [*fed, *(self._source.parts if packs or len(fed) > 1 else ())],
                (leaves, end.connector),
            )
            fields = (
                ("kind", kind),
                ("ways", f"{ways}" if ways > 1 else ""),
                ("supply", told),
                ("connector", leaves),
                ("connector-in", end.connector if end.connector != leaves else ""),
                ("wire", piece.wire.text if piece and piece.wire else wire),
                ("length", f"{length:g} mm"),
                ("place", self.plan.parts[self._source.parts[0]].place),
            )
            self._add("power-leads", name, fields, piece)
        outlets = tuple(f"{name}.{n}" for n in range(1, ways + 1)) if ways > 1 else (name,)
        return _End(outlets, leaves, end.reach + length)

    def _from_kit(self, *like: object) -> KitPiece | None:
        """Return a piece of the kit of that kind, connector and ways that no lead is yet."""
        fit = [p for p in self.plan.kit if (p.kind, p.connector, p.ways or 1) == like]
        leads = (p for p in self.plan.parts.values() if p.battery_lead)
        used = [(p.kit_kind(), p.connector, getattr(p, "ways", 1)) for p in leads] + self.taken
        if sum(piece.count for piece in fit) <= used.count(like):
            return None
        self.taken.append(like)
        return fit[0]

    def _wanting(self, fed: Iterable[str], reach: float) -> float:
        """Return the mm by which wires are too short for where parts sit; 0 where nobody knows."""
        short = [0.0]
        for name in fed:
            need = needed_run(self.plan, name, self._source.parts[0])
            own = getattr(self.plan.parts[name], "length", None)
            if need is not None and own is not None:
                short.append(math.ceil((need.needed - own - reach) / 10) * 10.0)
        return max(short)

    def _gauge(self, name: str, joins: Sequence[str], connectors: Sequence[str]) -> str:
        """Return the gauge asked for, or the thickest of what it joins that its plugs take."""
        known = (getattr(self.plan.parts[one], "wire", None) for one in joins)
        sizes = sorted(filter(None, known), key=lambda size: size.area_mm2)
        catalogue, asked = self.plan.catalogue, dict(self.side.gauges).get(name)
        if asked or not sizes:
            return asked or catalogue.require("rules", "assumed", "battery-wire").text + " AWG"
        limits = (catalogue.value("plugs", one, "wire-max") for one in connectors)
        most = min((m.number for m in limits if m and m.number), default=math.inf) * (1 + 1e-9)
        rows = (row for row in catalogue.rows("wires") if parse_wire(row).area_mm2 <= most)
        return sizes[-1].text if sizes[-1].area_mm2 <= most else next(rows)

    def _into(self, end: _End, socket: str) -> str:
        """Return a socket as it is written: of bare bullets with the way round."""
        keyed = self.plan.catalogue.value("plugs", end.connector, "keyed")
        bare = keyed is not None and keyed.text == "no"
        return f"{{into: {socket}, poles: straight}}" if bare else socket

    def _id(self, wanted: str) -> str:
        names = (wanted, *(f"{wanted}-{n}" for n in range(2, 99)))
        return next(n for n in names if n not in self.plan.parts and n not in self.new)

    def _add(
        self, group: str, name: str, fields: Iterable[tuple[str, str]], piece: KitPiece | None
    ) -> None:
        self.new.append(name)
        self.bought += [] if piece else [name]
        stated = tuple((key, value) for key, value in fields if value)
        where = f"from the {piece.found}" if piece else "to be bought or made"
        self.edits.append(AddPart(group, name, stated, where))


def _length(part: Part) -> float:
    return getattr(part, "length", None) or 0.0
