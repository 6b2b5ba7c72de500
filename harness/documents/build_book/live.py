"""What a tap on a lead, a part or a finding's marker of a diagram shows: its run, and words.

And which joins a run goes through, and which groups of a diagram show them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from harness.diagram.cuts import ends_of, traced
from harness.diagram.findings import Numbered, numbered
from harness.documents.trace import lead_lines, part_sections
from harness.documents.trace.ways import (
    TraceWords,
    output_lines,
    passing_lines,
    signal_lines,
    supply_lines,
)
from harness.facts.of_leads import Facts, facts_of
from harness.paper.blocks import Trace, row_anchor
from harness.parts.contacts import Contact, Form, Port
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Mate, PortId, Wiring
from harness.wiring.graph import SupplyWay, entries, feeding, ways_to
from harness.wiring.leads import PhysicalLead

Section = tuple[str, tuple[str, ...]]


def traces(report: Report, leads: str = "leads") -> tuple[Trace, ...]:
    """Return the traces of each lead, part and finding; `leads`: the anchor of the lead list."""
    facts = facts_of(report.wiring)
    found = numbered(report)
    teller = _Teller(facts, leads, found)
    mates = report.wiring.mates
    return (
        *(teller.of_lead(mate) for mate in mates),
        *(teller.of_part(part) for part in report.plan.parts.values()),
        *(teller.of_finding(finding) for finding in found),
    )


def ways(report: Report) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    """Return the groups of each lead and part, and all that lies on its way, supply and all."""
    facts = facts_of(report.wiring)
    found: list[tuple[tuple[str, ...], tuple[str, ...]]] = []
    for mate in report.wiring.mates:
        name, run = ".".join(mate.plug.id), run_of(report.wiring, mate.plug)
        found.append((taps_of(name), _whole(facts, run, mate.plug.part)))
    for part in report.plan.parts.values():
        runs = runs_of_part(report.wiring, part)
        found.append((groups_of_part(part.id), _whole(facts, runs, part)))
    return tuple(found)


def _whole(facts: Facts, run: list[Mate], part: Part) -> tuple[str, ...]:
    return groups_of([*run, *supplying(facts, run)], {part.id})


class _Teller:
    """Makes the traces of one wiring."""

    def __init__(self, facts: Facts, leads: str, found: tuple[Numbered, ...]) -> None:
        self.facts, self.words, self.anchor, self.found = facts, TraceWords(facts), leads, found

    def of_lead(self, mate: Mate) -> Trace:
        """Return the run of the lead that ends in a plug, from its source to its devices."""
        plug, facts = mate.plug, self.facts
        run = run_of(facts.wiring, plug)
        code, name = facts.code_at(plug), ".".join(plug.id)
        lead = facts.by_port.get(plug.id)
        return Trace(
            self.words.lead(plug),
            taps_of(name),
            self._lit(run, plug.part),
            groups_of(supplying(facts, run), set()),
            tuple(self._of_lead(mate, lead)),
            code,
            self._rows([lead] if lead else []),
        )

    def of_part(self, part: Part) -> Trace:
        """Return all runs through a part."""
        facts = self.facts
        runs = runs_of_part(facts.wiring, part)
        own = [lead for lead in facts.leads if lead.part.id == part.id]
        taps = [*groups_of_part(part.id)]
        taps += [
            f"flag-{lead.port.part.id}.{lead.port.name}" for lead in own if not lead.port.is_plug
        ]
        return Trace(
            part.named() + (f", in {part.place}" if part.place else ""),
            tuple(taps),
            self._lit(runs, part),
            groups_of(supplying(facts, runs, part), set()),
            tuple(self._of_part(part)),
            links=self._rows(own),
        )

    def of_finding(self, finding: Numbered) -> Trace:
        """Return the parts that a finding is about."""
        name = f"finding-{finding.number}"
        parts = {part for part in finding.parts if part in self.facts.wiring.plan.parts}
        between = [
            m
            for m in self.facts.wiring.mates
            if m.plug.part.id in parts and m.socket is not None and m.socket.part.id in parts
        ]
        return Trace(
            f"Finding {finding.number}",
            (name,),
            (name, *groups_of(between, parts)),
            sections=(("", (finding.text,)),),
            links=((name, "in the findings"),),
        )

    def _lit(self, run: list[Mate], part: Part) -> tuple[str, ...]:
        """Return the groups of a run, and the markers of the findings about its parts."""
        parts = ends_of(run) | {part.id}
        marks = [f"finding-{n.number}" for n in self.found if parts & set(n.parts)]
        return (*groups_of(run, {part.id}), *marks)

    def _of_lead(self, mate: Mate, lead: PhysicalLead | None) -> Iterator[Section]:
        part, form = mate.plug.part, mate.plug.form
        if form is Form.POWER:
            yield from _section("Supply", supply_lines(self.words, part))
            yield from _section("Output", output_lines(self.words, part))
        else:
            yield from _section("Signal", signal_lines(self.words, part))
        if lead is not None:
            yield from _section("This lead", lead_lines(self.facts, lead))
            yield from _section("Sockets", self._sockets(lead))

    def _sockets(self, lead: PhysicalLead) -> list[str]:
        ports = [port for port in lead.ports if not port.is_plug]
        return passing_lines(self.words, lead.part, ports) if ports else []

    def _of_part(self, part: Part) -> Iterator[Section]:
        yield from _section("", [part.about] if part.about else [])
        yield from ((title, tuple(lines)) for title, lines in part_sections(self.words, part))

    def _rows(self, leads: Iterable[PhysicalLead]) -> tuple[tuple[str, str], ...]:
        codes = [self.facts.codes[lead.key] for lead in leads]
        return tuple((row_anchor(self.anchor, code), f"{code} in the lead list") for code in codes)


def _section(title: str, lines: list[str]) -> Iterator[Section]:
    if lines:
        yield title, tuple(lines)


def run_of(wiring: Wiring, plug: Port) -> list[Mate]:
    """Return the joins of a lead's run: up to receiver or pack, down to its devices and motors."""
    found = traced(wiring, [plug.id])
    sockets = {m.socket.id for m in found if m.socket is not None}
    escs = [m.plug.part.id for m in found if m.plug.part.drives]
    if plug.part.spins:
        escs += [part for part, _ in sockets]
        found += [m for part in escs for m in traced(wiring, _plugs(wiring, part))]
    found += [m for esc in escs for m in wiring.by_socket.get((esc, "motor"), ())]
    return _once(found)


def runs_of_part(wiring: Wiring, part: Part) -> list[Mate]:
    """Return the joins of every run through a part's plugs and sockets."""
    if part.across:
        return []
    found: list[Mate] = []
    for port in wiring.by_part[part.id]:
        mates = [wiring.by_plug[port.id]] if port.id in wiring.by_plug else []
        for mate in (*mates, *wiring.by_socket.get(port.id, ())):
            found += run_of(wiring, mate.plug)
    return _once(found)


def supplying(facts: Facts, run: Iterable[Mate], part: Part | None = None) -> list[Mate]:
    """Return the joins that bring supply to a part, or else to the devices of a run."""
    wiring = facts.wiring
    mates = list(run)
    plan = wiring.plan.parts
    names = {part.id} if part is not None else ends_of(mates) & set(plan)
    starts = [start for name in sorted(names) for start in entries(wiring, plan[name])]
    found: list[Mate] = []
    for start in starts:
        found += _fed(facts, start, set())
    known = {mate.plug.id for mate in mates}
    return [mate for mate in _once(found) if mate.plug.id not in known]


def _fed(facts: Facts, start: Contact, seen: set[str]) -> list[Mate]:
    """Return the joins from a contact to each source, and on to what feeds that source."""
    found: list[Mate] = []
    for way in ways_to(facts.wiring, start):
        owner = way.source.owner
        if owner in seen:
            continue
        seen.add(owner)
        found += _beside(facts.wiring, way)
        below = feeding(facts.wiring, way.source)
        found += _fed(facts, below, seen) if below else []
        if facts.wiring.plan.parts[owner].holds_cells:  # it may stand on another in series
            found += _fed(facts, way.source.a, seen)
    return found


def _beside(wiring: Wiring, way: SupplyWay) -> list[Mate]:
    """Return the joins of a way, with those that lie side by side with them."""
    own = way.mates(wiring)
    pairs = {(m.plug.part.id, m.socket.part.id) for m in own if m.socket is not None}
    return [
        m
        for m in wiring.mates
        if m.socket is not None
        and (m.plug.part.id, m.socket.part.id) in pairs
        and "positive" not in m.join.pulled
    ]


def _plugs(wiring: Wiring, part: str) -> list[PortId]:
    return [port.id for port in wiring.by_part[part] if port.is_plug]


def _once(mates: Iterable[Mate]) -> list[Mate]:
    return list({mate.plug.id: mate for mate in mates}.values())


def groups_of_part(name: str) -> tuple[str, ...]:
    """Return the groups that show a part: its picture or sign, and its words seen from above."""
    return f"part-{name}", f"told-{name}"


def taps_of(name: str) -> tuple[str, ...]:
    """Return the groups that show a lead and what is written on it."""
    return tuple(f"{kind}-{name}" for kind in ("lead", "flag", "current", "code", "note"))


def groups_of(run: Sequence[Mate], parts: set[str]) -> tuple[str, ...]:
    """Return the groups of a diagram that show joins and the parts at their ends."""
    found = [group for name in sorted(ends_of(run) | parts) for group in groups_of_part(name)]
    for mate in run:
        name = ".".join(mate.plug.id)
        found += [*taps_of(name), *(f"{kind}-{name}" for kind in ("band", "beyond", "nowhere"))]
        if mate.socket is not None:
            found.append(f"flag-{'.'.join(mate.socket.id)}")
            found.append(f"part-{mate.socket.part.id}/way-{mate.socket.name}")
        found.append(f"part-{mate.plug.part.id}/trunk")
    return tuple(dict.fromkeys(found))
