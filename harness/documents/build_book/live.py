"""What a tap on a lead, a part or a finding's marker of a diagram shows: its run, and words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.diagram.findings import Numbered, numbered
from harness.diagram.trace import ends_of
from harness.documents.build_book.live_runs import (
    groups_of,
    groups_of_part,
    run_of,
    runs_of_part,
    supplying,
)
from harness.documents.trace import lead_lines
from harness.documents.trace.ways import (
    TraceWords,
    output_lines,
    passing_lines,
    signal_lines,
    supply_lines,
)
from harness.facts.of_leads import Facts, facts_of
from harness.paper.anchors import row_anchor
from harness.paper.blocks import Trace
from harness.parts.contacts import Form
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Mate
from harness.wiring.leads import PhysicalLead

Section = tuple[str, tuple[str, ...]]


def traces(report: Report, leads: str = "leads") -> tuple[Trace, ...]:
    """Return the traces of a plan: of each lead, each part, each numbered finding.

    They hold for every view and page; `leads` is the anchor of the chapter with the lead list.
    """
    facts = facts_of(report.wiring)
    found = numbered(report)
    teller = _Teller(facts, leads, found)
    mates = report.wiring.mates
    return (
        *(teller.of_lead(mate) for mate in mates),
        *(teller.of_part(part) for part in report.plan.parts.values()),
        *(teller.of_finding(finding) for finding in found),
    )


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
            (f"lead-{name}", f"flag-{name}", f"current-{name}"),
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
        taps += [f"flag-{lead.port.part.id}.{lead.port.name}" for lead in own
                 if not lead.port.is_plug]  # fmt: skip
        return Trace(
            part.named() + (f", in {part.place}" if part.place else ""),
            tuple(taps),
            self._lit(runs, part),
            groups_of(supplying(facts, runs, part), set()),
            tuple(self._of_part(part, own)),
            links=self._rows(own),
        )

    def of_finding(self, finding: Numbered) -> Trace:
        """Return the parts that a finding is about."""
        name = f"finding-{finding.number}"
        parts = {part for part in finding.parts if part in self.facts.wiring.plan.parts}
        between = [m for m in self.facts.wiring.mates if m.plug.part.id in parts
                   and m.socket is not None and m.socket.part.id in parts]  # fmt: skip
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

    def _of_part(self, part: Part, own: list[PhysicalLead]) -> Iterator[Section]:
        yield from _section("", [part.about] if part.about else [])
        yield from _section("Signal", signal_lines(self.words, part))
        yield from _section("Supply", supply_lines(self.words, part))
        yield from _section("Output", output_lines(self.words, part))
        yield from _section("Sockets", passing_lines(self.words, part))
        lines = [line for lead in own for line in lead_lines(self.facts, lead)]
        yield from _section("Its leads", lines)

    def _rows(self, leads: Iterable[PhysicalLead]) -> tuple[tuple[str, str], ...]:
        codes = [self.facts.codes[lead.key] for lead in leads]
        return tuple((row_anchor(self.anchor, code), f"{code} in the lead list") for code in codes)


def _section(title: str, lines: list[str]) -> Iterator[Section]:
    if lines:
        yield title, tuple(lines)
