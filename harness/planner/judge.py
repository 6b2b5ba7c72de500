"""The rules judge a proposal; what they refuse is cut out of the decision space.

A cut forbids no more than what the finding names, all of it together: the feed in its role, this
piece (of an overloaded lead: no thicker one; of a short one: no longer one) in its place of a
group, a group on its kind of host. Where that cannot be said exactly the cut is wider, and the
answer says so instead of calling itself proven. A finding that no cut can avoid is a fault of the
plan itself: reported. Where a danger rules out all that could feed the rail, nothing feeds it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from harness.base.finding import Finding, Severity
from harness.base.span import Source
from harness.checks.run import check
from harness.planner.answer import Answer
from harness.planner.cuts import cut_of
from harness.planner.feeds import NOTHING
from harness.planner.judged import Judged
from harness.planner.model import Model
from harness.planner.rewrite import apply
from harness.planner.search import Search
from harness.planner.writing import Writing
from harness.reader.load import parse_plan

ROUNDS = 30
"""More refusals than this and the search ends without a proof."""


@dataclass
class Judge:
    """Solves, has the rules judge, cuts, and solves again. `faults`: findings no choice avoids."""

    model: Model
    faults: set[tuple[str, tuple[str, ...]]] = field(default_factory=set)
    cuts: list[str] = field(default_factory=list)
    rounds: int = 0
    doubt: str = ""

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
                return replace(judged, doubt=self.doubt)
            self.rounds += 1
            if self.rounds > ROUNDS:
                gap = f"the rules refused {ROUNDS} plans; the last one is shown: {finding.message}"
                return replace(judged, gap=gap)
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
        """Forbid what a finding names; return False, and undo it, where nothing else is left."""
        programme = self.model.programme
        cut = cut_of(self.model, judged, finding)
        if cut is None:
            return False
        row = programme.row(cut.terms, -1e9, cut.most)
        if not programme.solve({}).found and not self._unfed(finding):
            programme.free(row)
            return False
        self.cuts.append(f"{finding.message} [{finding.rule}]")
        if cut.wide and not self.doubt:
            self.doubt = f"more was left out than the rules speak against: {finding.message}"
        return True

    def _unfed(self, finding: Finding) -> bool:
        """Allow that nothing feeds the rail, rather than something dangerous."""
        programme = self.model.programme
        last = [c for c, f in self.model.feeds.items() if f.kind == NOTHING]
        if finding.severity < Severity.DANGER or not last or programme.upper[last[0]]:
            return False
        programme.limit(last[0], 1.0)
        if programme.solve({}).found:
            return True
        programme.limit(last[0], 0.0)
        return False
