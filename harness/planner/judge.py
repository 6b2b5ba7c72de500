"""The rules judge a proposal; what they refuse is cut out of the decision space.

A cut takes out no more than the finding names: the feed, the group on that kind of host, else
this one combination. A finding that no cut can avoid is a fault of the plan itself: reported.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from harness.base.finding import Finding, Severity
from harness.base.span import Source
from harness.checks.run import Report, all_rules, check
from harness.planner.answer import Answer
from harness.planner.edits import Edit
from harness.planner.model import Model
from harness.planner.rewrite import apply
from harness.planner.search import Search
from harness.planner.writing import Writing
from harness.reader.load import parse_plan

ROUNDS = 30
"""More refusals than this and the search ends without a proof."""
FEEDING = frozenset({"supply", "load"})


@dataclass(frozen=True)
class Judged:
    """An answer with its edits, the text they make, and what the rules say about it."""

    answer: Answer
    edits: tuple[Edit, ...]
    text: str
    report: Report
    writing: Writing
    gap: str = ""


@dataclass
class Judge:
    """Solves, has the rules judge, cuts, and solves again. `faults`: findings no choice avoids."""

    model: Model
    faults: set[tuple[str, tuple[str, ...]]] = field(default_factory=set)
    cuts: list[str] = field(default_factory=list)
    rounds: int = 0

    def best(self, names: bool = True) -> Judged | None:
        """Return the best answer the rules let pass; None when there is none."""
        while True:
            search = Search(self.model)
            answer = search.best(names)
            search.free()
            if answer is None:
                return None
            judged = self.judged(answer, search.gap)
            finding = self._refused(judged)
            if finding is None:
                return judged
            self.rounds += 1
            if self.rounds > ROUNDS:
                gap = f"the rules refused {ROUNDS} plans; the last one is shown: {finding.message}"
                return Judged(answer, judged.edits, judged.text, judged.report, judged.writing, gap)
            if not self._cut(judged, finding):
                self.faults.add((finding.rule, finding.parts))

    def judged(self, answer: Answer, gap: str = "") -> Judged:
        """Write an answer into the plan and let the rules judge it."""
        plan = self.model.space.plan
        writing = Writing(self.model.space, answer)
        edits = writing.all()
        text = apply(plan, edits)
        report = check(parse_plan(Source(plan.source.name, text)))
        return Judged(answer, edits, text, report, writing, gap)

    def _refused(self, judged: Judged) -> Finding | None:
        """Return the first danger or error that is no known fault of the plan."""
        for finding in judged.report.findings:
            if finding.severity < Severity.ERROR:
                continue
            if (finding.rule, finding.parts) not in self.faults:
                return finding
        return None

    def _cut(self, judged: Judged, finding: Finding) -> bool:
        """Cut what a finding names; return False, and undo it, where nothing else is left."""
        programme = self.model.programme
        columns = self._named(judged, finding)
        kept = {column: programme.upper[column] for column in columns}
        for column in columns:
            programme.limit(column, 0.0)
        if columns and programme.solve({}).found:
            self.cuts.append(f"{finding.message} [{finding.rule}]")
            return True
        for column, upper in kept.items():
            programme.limit(column, upper)
        return False

    def _named(self, judged: Judged, finding: Finding) -> list[int]:
        """Return the columns that a finding speaks against."""
        model, parts = self.model, set(finding.parts)
        family = all_rules()[finding.rule].family
        feed = judged.answer.feed
        if feed and feed.part in parts and family in FEEDING:
            return [column for column, other in model.feeds.items() if other == feed]
        found: list[int] = []
        for chosen in judged.answer.groups:
            use = chosen.use
            devices = {device.part.id for device in use.devices}
            leads = parts & set(judged.writing.made.get(use.names, ()))
            shared = len(use.everything) > 1 and len(parts & devices) > 1
            if leads or shared or (use.host.outlet and parts & devices):
                found += [
                    column
                    for column, other in model.uses.items()
                    if other.names == use.names and other.where == use.where
                ]
        return found
