"""Who gets fewer volts than it needs, by the solved network, and what eats them on the way.

The figures are those that `harness load` marks: one set for rules and documents.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.base.finding import Numbers
from harness.base.near import spoken
from harness.base.units import VOLTAGE, format_quantity
from harness.electrics.packs import cautious_limit, label_limit, packs_of
from harness.facts.cell_volts import rows_of_parts
from harness.facts.currents import beyond_rating, currents, over, overloaded
from harness.facts.rails import embattled, source_volts
from harness.facts.supplied import beyond, idle_rails, logic_overloads, too_few_volts, window
from harness.parts.contacts import Contact
from harness.parts.figure import rule_figure
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.live import TINY
from harness.wiring.ratings import Limit

if TYPE_CHECKING:
    from harness.electrics.drops import Eater, Way, Ways
    from harness.electrics.rows import LoadRow


@dataclass(frozen=True, slots=True)
class Low:
    """A part with too few volts in its worst case (`case`; a lasting one before one of seconds)."""

    part: Part
    plus: Contact
    minus: Contact
    case: str
    lasting: bool
    volts: float
    need: Limit
    way: Way

    @property
    def lacks(self) -> float:
        """How many volts are missing."""
        return self.need.figure.number - self.volts

    @property
    def short(self) -> bool:
        """Whether it shows, and does not rest on wires that nobody measured."""
        assumed = [eater for eater in self.way.eaters if eater.assumed]
        return round(self.way.but(assumed), 2) < self.need.figure.number

    @property
    def own(self) -> bool:
        """Whether it is below what the part itself needs, not only what a rail should have."""
        return not self.need.what.startswith("the least a rail")


@fact
def low_parts(wiring: Wiring) -> tuple[Low, ...]:
    """Return the parts that get too few volts, by id; none where nothing is solved."""
    if currents(wiring).shorted:
        return ()
    return _lows(_solved(wiring), rows_of_parts(wiring))


@fact
def _solved(wiring: Wiring) -> Ways:
    from harness.electrics.flows import held

    return held(currents(wiring).wiring).ways


def way_to(wiring: Wiring, part: Part, case: str) -> Way | None:
    """Return the way to a part that draws in a case, by name, and what eats volts on it."""
    ways = _solved(wiring)
    ends = next((d for d in ways.net.demands if d.part.id == part.id), None)
    draw = next((n for n, c in enumerate(ways.outcome.cases) if c.name == case), None)
    return ways.to(ends.plus, ends.minus, draw) if ends and draw is not None else None


def _lows(ways: Ways, rows: Iterable[LoadRow]) -> tuple[Low, ...]:
    demands = {demand.part.id: demand for demand in ways.net.demands}
    found = list[Low]()
    for row in rows:
        if row.volts is not None and (draw := row.lowest) is not None:
            ends = demands[row.part]
            found += _low(ways, ends.part, (ends.plus, ends.minus), draw, float(row.volts[draw]))
    return tuple(found)


@fact
def _freely(wiring: Wiring) -> dict[str, Low]:
    """Return the parts that would get too few volts if their supplies gave all that is asked."""
    from harness.electrics.rows import part_rows

    outcome, held = currents(wiring).outcome, _solved(wiring)
    same = outcome is held.outcome
    lows = low_parts(wiring) if same else _lows(outcome.ways, part_rows(outcome))
    return {low.part.id: low for low in lows}


def _low(
    ways: Ways, part: Part, ends: tuple[Contact, Contact], draw: int, volts: float
) -> Iterator[Low]:
    from harness.electrics.margins import least_volts

    case, (lasting, seconds) = ways.outcome.cases[draw], least_volts(ways.outcome.plan, part)
    need = lasting if case.lasting else seconds
    if round(volts, 2) < need.figure.number and (way := ways.to(*ends, draw)) is not None:
        yield Low(part, *ends, case.name, case.lasting, volts, need, way)


@dataclass(frozen=True, slots=True)
class Sag:
    """A rail that sags though its source without load gives enough."""

    low: Low
    source: Part
    idle: float

    @property
    def which(self) -> str:
        """The word for it."""
        return "logic" if self.low.plus.port == "logic" else "rail"


@fact
def sags(wiring: Wiring) -> tuple[Sag, ...]:
    """Return the worst sagging rail of each receiver, autopilot and sequencer.

    The minimum of a rail is for sticks stirred by hand, a load that lasts; for seconds, with
    everything stalled, a rail may fall to what its part works on.
    """
    if currents(wiring).shorted:
        return ()
    found = list[Sag]()
    for part in wiring.plan.parts.values():
        if part.rails and part.id not in logic_overloads(wiring):
            each = [sag for sag in _sags(wiring, part) if sag.source.id not in embattled(wiring)]
            found += sorted(each, key=lambda s: (round(s.low.volts, 6), s.low.plus))[:1]
    return tuple(found)


def _sags(wiring: Wiring, part: Part) -> Iterator[Sag]:
    ways = _solved(wiring)
    outcome = ways.outcome
    least = rule_figure(wiring.plan.catalogue, "rail", "minimum").number
    for rail in idle_rails(wiring, part):
        if rail.idle <= least + TINY:
            continue
        ends = (rail.plus, rail.minus)
        volts, free = outcome.volts(*ends), currents(wiring).outcome.volts(*ends)
        for draw in range(len(outcome.cases)):
            for low in _low(ways, part, ends, draw, float(volts[draw])):
                weak = round(float(free[draw]), 2) >= low.need.figure.number
                if low.short and not weak and not _told(wiring, low, ()):
                    yield Sag(low, rail.source, rail.idle)


@fact
def unsure_wires(wiring: Wiring) -> tuple[tuple[Part, str, str], ...]:
    """Return the wires nobody measured on which it rests whether a part or rail has enough volts.

    Each as the part, what is not known and the key that states it.
    """
    if currents(wiring).shorted:
        return ()
    ways = _solved(wiring)
    outcome = ways.outcome
    ends = {demand.part.id: (demand.plus, demand.minus) for demand in outcome.net.demands}
    unsure = {
        (ends[row.part], draw)
        for row in rows_of_parts(wiring)
        if row.unsure is not None
        for draw, open_ in enumerate(row.unsure)
        if open_
    }
    found = {
        a
        for (plus, minus), draw in unsure
        if (way := ways.to(plus, minus, draw))
        for eater in way.eaters
        for a in eater.assumed
    }
    parts = wiring.plan.parts
    told = sorted((a.part, a.key, a.what) for a in found if parts[a.part].has_key(a.key))
    return tuple((parts[name], what, key) for name, key, what in told)


@dataclass(frozen=True, slots=True)
class Starved:
    """Parts that get too few volts because of the same thing: the worst off first."""

    lows: tuple[Low, ...]
    eater: Eater


@fact
def starved(wiring: Wiring) -> tuple[Starved, ...]:
    """Return the parts with too few volts that no other rule tells, by what eats most of them."""
    rails_told = sags(wiring)
    boxes = {sag.low.part.id for sag in rails_told}
    weak = {b.part.id for _, parts in beyond(wiring, "volts-min", "nominal") for b in parts}
    groups: dict[tuple[str, str, str], list[Low]] = {}
    for low in low_parts(wiring):
        free = _freely(wiring).get(low.part.id)
        if free is None or low.part.id in boxes | weak or low.way.source.id in embattled(wiring):
            continue
        rest = [] if _told(wiring, free, rails_told) else _left(wiring, free, rails_told)
        if rest:
            groups.setdefault(rest[0].key, []).append(low)
    found = []
    for key, lows in groups.items():
        lows.sort(key=lambda low: (not low.lasting, -round(low.lacks, 6), low.part.id))
        eater = next((e for e in lows[0].way.eaters if e.key == key), lows[0].way.eaters[0])
        found.append(Starved(tuple(lows), eater))
    return tuple(found)


def _left(wiring: Wiring, low: Low, rails: tuple[Sag, ...]) -> list[Eater]:
    told = _told_eaters(wiring, low, rails)
    return [eater for eater in low.way.eaters if eater not in told]


def _told(wiring: Wiring, low: Low, rails: tuple[Sag, ...]) -> bool:
    """Say whether a part had enough if what other rules report of its way were mended."""
    told = _told_eaters(wiring, low, rails)
    return bool(told) and round(low.way.but(told), 2) >= low.need.figure.number


def _told_eaters(wiring: Wiring, low: Low, rails: tuple[Sag, ...]) -> list[Eater]:
    """Return what eats volts because of a fault that has a rule of its own."""
    common = {e.key for sag in rails if sag.low.part.id != low.part.id for e in sag.low.way.eaters}
    return [
        e
        for e in low.way.eaters
        if e.key in common or e.key in _faulty(wiring) or (e.kind, e.part.id, "") in _faulty(wiring)
    ]


@fact
def _faulty(wiring: Wiring) -> frozenset[tuple[str, str, str]]:
    """Return what other rules report: weak packs, supplies, plugs and switches overloaded."""
    found = {("source", name, "") for name in _weak_packs(wiring)}
    for part in wiring.plan.parts.values():
        if part.makes is not None and too_few_volts(wiring, part):
            found.add(("source", part.id, ""))
    for name in logic_overloads(wiring):
        rails_of = idle_rails(wiring, wiring.plan.parts[name])
        found |= {("source", rail.source.id, "") for rail in rails_of}
    found |= {("contacts", *joint.id) for joint in overloaded(wiring)}
    found |= {("part", part.id, "") for part, _, _ in beyond_rating(wiring)}
    return frozenset(found)


def _weak_packs(wiring: Wiring) -> Iterator[str]:
    for pack in packs_of(wiring.plan):
        flow, label = currents(wiring).by_source.get(pack.id), label_limit(pack)
        trusted = cautious_limit(wiring.plan, pack)
        for amps, limit in ((flow.steady, trusted), (flow.burst, label)) if flow else ():
            if limit is not None and over(amps, limit.number):
                yield pack.id


SHOWN = 3
"""What a message names of what eats volts; its figures name all."""


def eaten(way: Way) -> str:
    """Say what eats the volts on a way, the biggest first."""
    some = [e for e in way.eaters if e.volts > 0.005]
    words = [f"{e.what} {_volts(e.volts)}" for e in some[:SHOWN]]
    rest = sum(e.volts for e in some[SHOWN:])
    if rest > 0.005:
        words.append(f"all else {_volts(rest)}")
    took = spoken(words)
    first = took.replace(f"{some[0].what} ", f"{some[0].what} takes ", 1) if some else "nothing"
    if some and some[0].what.startswith("the contacts"):
        first = first.replace(" takes ", " take ", 1)
    return f"of the {_volts(way.idle)} of {way.maker}, {first}"


def _volts(number: float) -> str:
    return format_quantity(round(number, 2), VOLTAGE)


def eaten_numbers(way: Way) -> Numbers:
    """Return all that eats volts on a way as figures."""
    return tuple((e.what, f"{e.volts:.3g} V{', assumed' if e.assumed else ''}") for e in way.eaters)


def volts_wanted(wiring: Wiring, source: Part) -> str:
    """Say which source would suit all that hangs on one, or that none does.

    What the way to a part takes now, it takes from any source.
    """
    found, own = window(wiring, source), source_volts(wiring, source, "nominal")
    low, high = found.needs, found.bears
    lost = [own.number - one.volts for one in low_parts(wiring) if own and one.way.source is source]
    needs = math.ceil((low[0] + max(lost, default=0.0)) * 10 - TINY) / 10 if low else 0.0
    least, most = (format_quantity(end, VOLTAGE) for end in (needs, high[0] if high else 0.0))
    if low and high and needs > high[0]:
        way = " with what the way takes" if lost else ""
        return (
            f"no source suits both {low[1].named()}, from {least}{way}, and"
            f" {high[1].named()}, up to {most}: feed one of them from a source of its own"
        )
    if low and high:
        span = least if least == most else f"{least} to {most}, empty to full"
        return f"use a source of {span} ({high[1].named()} bears no more)"
    return f"use a source of {least} or more" if low else f"use a source of {most} or less"
