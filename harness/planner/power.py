"""Proposes what the packs feed and by which leads: every battery side tried, judged by the rules.

The space: each pack alone or, where the plan states that packs are alike, some of them end to end
or side by side; free ends of leads that hang on a pack; each of these for each part without a
supply. Loose fuses, arming plugs and leads of the plan lie in any of the ways, or stay out. What a
rule misses (arming plug, capacitors, thicker wire) is put in and judged anew. Danger or error: out.
The best has the fewest warnings, then the fewest packs joined, then the fewest parts to buy, keeps
the radio on with its arming plug out, and then has the fewest packs left over, the lowest share of
what anything bears, the fewest joins, and like sides together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import combinations, islice, product
from math import prod

import numpy as np

from harness.base.data import dataclass, replace
from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.span import Source
from harness.base.units import parse_wire
from harness.electrics.rows import rows_of
from harness.facts.battery import capacitance_at, capacitance_wanted, capacitor_rating, full_volts
from harness.facts.currents import currents, wire_bears
from harness.facts.wording import volts
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.plan.rewrite import apply
from harness.planner.battery_leads import IN_LINE, BatteryParts, BatterySide, Laying, PowerSource
from harness.planner.propose import NoPlan, Proposal, propose
from harness.planner.reasons import LEFT_OUT, NOT_OURS
from harness.planner.tidy import tidied
from harness.reading.records import keys_of
from harness.rules.run import Report, all_rules, check
from harness.wiring.build import build
from harness.wiring.ratings import motors_on

FEEDS, MOST, LOOSE, LAST = 5000, 60, 3, 4
"""How many ways to feed are looked at, how many sides judged, loose parts tried in every way, and
how many of the best planned to the end."""
OWN = frozenset(("joins", "load", "polarity", "supply"))
"""Families whose errors about what is fed here rule a side out, were they there before or not."""
APART = frozenset(("place", "at", "plug", "code", "about", "route", "like", "mirrored", "moves",
                   "rotation", "metered", "supply"))  # fmt: skip
"""Keys in which parts that can stand for each other may differ."""
Feeds = tuple[tuple[PowerSource, tuple[str, ...]], ...]


@dataclass(frozen=True)
class PowerPlan:
    """The battery side proposed, and with it what is proposed for all other plugs.

    `report`: of the plan with all that; `joined`: the ids of what gets a supply, from the packs
    outward; `new`: of new parts, `bought`: of those that are not in the kit; `notes`: what was
    ruled out, or not joined and what to state for it.
    """

    side: BatterySide
    report: Report
    joined: tuple[str, ...]
    new: tuple[str, ...]
    bought: tuple[str, ...]
    notes: tuple[str, ...]
    rest: Proposal | NoPlan


@dataclass(frozen=True)
class NoPower:
    """There is no safe battery side. `causes`: what stops each; `notes`: what to state for more."""

    causes: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class JudgedSide:
    """A battery side as the rules see it; `grave`: the dangers and errors that rule it out."""

    laying: Laying
    report: Report
    grave: tuple[Finding, ...]
    rank: int

    @cached_property
    def order(self) -> tuple[float, ...]:
        """What decides, the first most: as said above."""
        side, parts = self.laying.side, self.report.plan.parts
        kinds = [finding.severity for finding in self.report.findings]
        armed = {*side.arming, *(way for part, way in side.within if parts[part].arms)}
        dark = [
            name
            for source, fed in side.feeds
            for name in fed
            if source.trunk in armed and not parts[name].drives
        ]
        joined = sum(len(source.parts) for source, _ in side.feeds if source.how)
        sides = [
            {self.report.plan.side(parts[name]) for name in pair} - {""}
            for source, fed in side.feeds
            for pair in product(source.parts, fed)
        ]
        found = currents(self.report.wiring)
        rows = () if found.shorted else rows_of(found.outcome)
        shares = (np.nanmax(row.share) for row in rows if np.isfinite(row.share).any())
        return (
            kinds.count(Severity.WARNING),
            joined,
            len(self.laying.bought),
            len(dark),
            kinds.count(Severity.NOTE),
            round(float(max(shares, default=0.0)), 2),
            len(self.laying.edits),
            sum(len(both) > 1 for both in sides),
            self.rank,
        )


def propose_power(plan: Plan, *, others: bool = False) -> PowerPlan | NoPower:
    """Return the best battery side for what has no supply yet, and the rest of the plan with it.

    What is joined already stays as it is. `others`: as `propose` has it.
    """
    return _Search(plan, others).answer()


def cause(findings: Iterable[Finding]) -> str:
    """Return the gravest of some findings, of those the shortest."""
    first = min(findings, key=lambda f: (-f.severity, len(f.message), f.rule))
    return f"{first.message} [{first.rule}]"


class _Search:
    def __init__(self, plan: Plan, others: bool) -> None:
        # what one part is given must not go to its mirror image as well: each is written out
        long = Source(plan.source.name, tidied(plan.source, long=True))
        self.given, self.others = plan, others
        self.plan = parse_plan(long) if "mirrored" in plan.source.text else plan
        self.plan = replace(self.plan, likes={**self.plan.likes, **plan.likes})
        self.base, self.there = check(self.plan), BatteryParts(build(self.plan))
        self.fed = {part.id: part for part in self.there.fed}
        self.known, self.out = dict[object, str](), dict[str, str]()
        self.limits = list[str]()
        self.old = {(f.rule, f.parts) for f in self.base.findings}

    def answer(self) -> PowerPlan | NoPower:
        """Return the best of what is tried."""
        grave = [f for f in self.base.findings if f.severity >= Severity.ERROR]
        if self.base.waiting or any(f.severity is Severity.DANGER for f in grave):
            return NoPower((f"mend this first: {cause(grave)}",))
        if unsaid := tuple(self._unsaid()):
            return NoPower(unsaid)
        may, causes = dict[str, list[PowerSource]](), list[str]()
        for name, part in self.fed.items():
            every = {source: self._alone(name, source) for source in self.there.sources}
            may[name] = [source for source, said in every.items() if not said]
            why = {source: said for source, said in every.items() if said}
            for source, said in why.items():  # what is so of another just like it is told once
                self.out.setdefault(said, f"{part.named()} on {source.words}: {said}")
            causes += self._by_volts(name, may)
            if not may[name]:
                causes += [self.out[said] for said in dict.fromkeys(why.values())]
                causes += [] if why else [f"the plan has nothing free to feed {part.named()}"]
        if causes:
            return NoPower(tuple(dict.fromkeys(causes)), tuple(dict.fromkeys(self.there.notes)))
        return self._best(self._sides(may))

    def _unsaid(self) -> Iterator[str]:
        """Yield what must be stated before anything is joined."""
        for part in self.fed.values():
            behind = self.there.behind(part) if part.battery_lead else []
            for each in (part, *behind):
                if (each.drives or each.regulates) and getattr(each, "cells_max", None) is None:
                    yield f"state how many cells {each.named()} bears (`cells-max:`)"
            if part.kind in {"series", "balance-adapter"}:
                yield f"say yourself which packs {part.named()} goes into: parts hang on it already"

    def _motors(self, part: Part) -> list[Motor]:
        escs = (p for p in (part, *self.there.behind(part)) if p.drives)
        return [motor for esc in escs for motor in motors_on(self.there.wiring, esc)]

    def _by_volts(self, name: str, may: dict[str, list[PowerSource]]) -> Iterator[str]:
        """Keep the sources nearest to the volts its motor was read at; ask where nobody said."""
        have = {s: round(self.there.volts(s, "nominal"), 3) for s in may[name]}
        motors = self._motors(self.fed[name])
        if len(set(have.values())) < 2 or not (motors or self.fed[name].drives):
            return
        read = [motor.full_volts() for motor in motors]
        if not motors or None in read:
            told = spoken((volts(v) for v in sorted(set(have.values()))), "or")
            what = motors[read.index(None)].named() if motors else f"the motor of {name}"
            yield f"state at which volts {what} takes its current (`full-throttle-volts:`): {told}"
            return
        near = min(abs(v - (read[0] or 0.0)) for v in have.values())
        may[name] = [s for s, v in have.items() if abs(v - (read[0] or 0.0)) <= near + 1e-6]

    def _alone(self, name: str, source: PowerSource) -> str:
        """Return what stops one part on one source, nothing else being fed; "" where nothing."""
        key = source.how, *(self._sort(part) for part in (name, *source.parts))
        if key not in self.known:
            self.known[key] = self._unfit(self.fed[name], source) or self._refused(name, source)
        return self.known[key]

    def _sort(self, name: str) -> object:
        """Return what a part has in common with those that can stand for it."""
        part = self.plan.parts[name]
        keys = keys_of(type(part)).items() if not part.battery_lead else ()
        own = tuple(str(getattr(part, key.attribute)) for word, key in keys if word not in APART)
        motors = motors_on(self.there.wiring, part) if part.drives else ()
        return part.word, own or name, tuple(self._sort(motor.id) for motor in motors)

    def _unfit(self, part: Part, source: PowerSource) -> str:
        """Return what no rule can know: what a part is made for."""
        box = not (part.drives or part.regulates or part.battery_lead)
        if self.plan.parts[source.parts[0]].regulates:
            return "" if box else "it wants the volts of a pack"
        if box and getattr(part, "volts_max", None) is None:
            return "the plan does not say what it bears (`volts-max:`)"
        low, high = (self.there.volts(source, state) for state in ("damage", "full"))
        for motor in self._motors(part):
            read = motor.full_volts()
            if read and high and not low <= read <= high:
                gives = f"{volts(round(low, 2))} to {volts(round(high, 2))}"
                return f"{motor.named()} was read at {volts(read)}, and this gives {gives}"
        return ""

    def _refused(self, name: str, source: PowerSource) -> str:
        """Return what the rules say against it; of rules that complain already, only dangers."""
        judged = self._judged(BatterySide(((source, (name,)),)), 0)
        rules = {f.rule for f in self.base.findings if f.severity is Severity.ERROR}
        mine = {name, *source.parts, *judged.laying.new}
        mine |= {part.id for part in self.there.behind(self.fed[name])}
        grave = [
            f
            for f in judged.grave
            if mine & set(f.parts) and (f.severity is Severity.DANGER or f.rule not in rules)
        ]
        return cause(grave) if grave else ""

    def _judged(self, side: BatterySide, rank: int) -> JudgedSide:
        laying = Laying(self.there, side)
        text = apply(self.plan, laying.edits)
        report = check(parse_plan(Source(self.plan.source.name, text)))
        return JudgedSide(laying, report, self._grave(report, laying), rank)

    def _grave(self, report: Report, laying: Laying) -> tuple[Finding, ...]:
        """Return the dangers and errors that are new, or about what is fed here."""
        mine = {*self.fed, *laying.new, *(p for s, _ in laying.side.feeds for p in s.parts)}
        return tuple(
            f
            for f in report.findings
            if f.severity >= Severity.ERROR
            and (
                (f.rule, f.parts) not in self.old
                or (mine & set(f.parts) and all_rules()[f.rule].family in OWN)
            )
        )

    def _sides(self, may: Mapping[str, list[PowerSource]]) -> list[BatterySide]:
        """Return every way to share out the sources, the cheapest first."""
        if prod(map(len, may.values())) > FEEDS:
            self.limits.append(f"not every way to feed was looked at, but {FEEDS} of them")
        ways = [
            way
            for way in islice(product(*may.values()), FEEDS)
            if not any(a != b and {*a.parts} & {*b.parts} for a, b in combinations(way, 2))
        ]
        feeds = (
            tuple(
                (s, tuple(n for t, n in zip(way, may, strict=True) if t == s))
                for s in dict.fromkeys(way)
            )
            for way in ways
        )
        return sorted((side for one in feeds for side in self._filled(one)), key=self._cost)

    def _filled(self, feeds: Feeds) -> Iterator[BatterySide]:
        """Yield a side with the loose parts of one line in each way they could lie in, or out."""
        loose = [p.id for p in self.there.loose.values() if p.kind in IN_LINE][:LOOSE]
        ways = [w for s, fed in feeds for w in (s.trunk, *(fed if len(fed) > 1 else ()))]
        for places in product((*ways, ""), repeat=len(loose)):
            lie = tuple((part, way) for part, way in zip(loose, places, strict=True) if way)
            yield BatterySide(feeds, lie)

    def _cost(self, side: BatterySide) -> tuple[int, int, int]:
        laying = Laying(self.there, side)
        joined = sum(len(source.parts) for source, _ in side.feeds if source.how)
        return joined, len(laying.left), len(laying.bought)

    def _tried(self, sides: list[BatterySide]) -> list[JudgedSide]:
        """Judge them, cheapest first, each with what the rules then ask for."""
        judged, enough = list[JudgedSide](), (99, 0, 0)
        for rank, side in enumerate(sides):
            if self._cost(side) > enough:
                break
            if len(judged) >= MOST:
                self.limits.append(f"not every battery side was tried, but {MOST} of them")
                break
            for one in self._with_mends(side, rank):
                judged.append(one)
                new = [
                    f
                    for f in one.report.findings
                    if f.severity >= Severity.WARNING and (f.rule, f.parts) not in self.old
                ]
                if not new and not one.grave and not one.laying.left:
                    enough = min(enough, self._cost(side))
        return judged

    def _best(self, sides: list[BatterySide]) -> PowerPlan | NoPower:
        """Plan the best of them to the end: with what is proposed for all other plugs."""
        judged, notes = self._tried(sides), tuple(dict.fromkeys(self.there.notes))
        told = {one.laying.side.words: cause(one.grave) for one in judged if one.grave}
        good = (one for one in judged if not one.grave and not one.report.waiting)
        for one in sorted(good, key=lambda one: one.order)[:LAST]:
            text, laid = apply(self.given, one.laying.edits), one.laying
            rest = propose(parse_plan(Source(self.given.source.name, text)), others=self.others)
            report = one.report if isinstance(rest, NoPlan) else rest.report
            cuts = () if isinstance(rest, NoPlan) else rest.notes
            if grave := self._grave(report, laid):
                cut = next((f"; {note}" for note in cuts if note.startswith(LEFT_OUT)), "")
                told[laid.side.words] = cause(grave) + cut
                continue
            if isinstance(rest, Proposal):
                rest = replace(rest, notes=tuple(n for n in cuts if n != NOT_OURS))
            used = {part for source, _ in laid.side.feeds for part in source.parts}
            idle = {
                f'"{p}"' for source in self.there.sources for p in source.parts if p not in used
            }
            out = [n for n in (*self.out.values(), *notes) if any(name in n for name in idle)]
            return PowerPlan(
                laid.side,
                report,
                tuple(laid.joined),
                tuple(laid.new),
                tuple(laid.bought),
                (*out[:6], *self.limits),
                rest,
            )
        each = spoken(part.named() for part in self.fed.values())
        none = () if sides else (f"the packs do not go round for {each}", *self.out.values())
        causes = (*none, *(f"{words}: {why}" for words, why in told.items()))
        return NoPower(causes[:8], (*notes, *self.limits))

    def _with_mends(self, side: BatterySide, rank: int) -> Iterator[JudgedSide]:
        """Yield a side, and what comes of it with what the rules ask for."""
        todo, done = [side], set[BatterySide]()
        while todo:
            if (one := todo.pop()) not in done:
                done.add(one)
                judged = self._judged(one, rank)
                yield judged
                todo += self._mended(judged)

    def _mended(self, judged: JudgedSide) -> Iterator[BatterySide]:
        """Yield it with an arming plug, capacitors, thicker wire for new leads, as rules ask."""
        side, wiring = judged.laying.side, judged.report.wiring
        gauges, caps = dict(side.gauges), {one[0]: one for one in side.capacitors}
        for finding in judged.report.findings:
            named = [wiring.plan.parts[name] for name in finding.parts]
            if finding.rule == "arming-plug":
                bare = {
                    name
                    for name, part in self.fed.items()
                    if set(finding.parts) & {name, *(p.id for p in self.there.behind(part))}
                }
                trunks = (source.trunk for source, fed in side.feeds if bare & set(fed))
                yield replace(side, arming=tuple(trunks))
                yield replace(side, arming=tuple(name for name in self.fed if name in bare))
            elif finding.rule == "long-battery-wire" and named[0].id not in caps:
                esc, full = named[0], full_volts(wiring, named[0])
                rating = capacitor_rating(self.plan, full) if full else None
                more = capacitance_wanted(wiring, esc) - capacitance_at(wiring, esc)
                caps |= {esc.id: (esc.id, more, rating.number)} if rating else {}
            elif finding.rule == "wire-load":
                for name in set(judged.laying.new) & set(finding.parts) - set(gauges):
                    flow = currents(wiring).port(name, "in-1")
                    rows = reversed(self.plan.catalogue.rows("wires"))
                    bears = {row: wire_bears(self.plan, parse_wire(row), True) for row in rows}
                    fit = next((r for r, b in bears.items() if b and not b.exceeded(flow)), "")
                    gauges |= {name: fit} if fit else {}
        yield replace(side, gauges=tuple(sorted(gauges.items())), capacitors=tuple(caps.values()))
