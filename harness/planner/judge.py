"""The rules judge a proposal; what they refuse is cut out of the decision space.

A cut forbids no more than what the finding names, all of it together: the feed in its role, this
piece (of an overloaded lead: no thicker one; of a short one: no longer one) in its place of a
group, a group on its kind of host. Where that cannot be said exactly the cut is wider, and the
answer says so instead of calling itself proven. A finding that no cut can avoid is a fault of the
plan itself: reported; and what was cut for findings of the same rule about the same parts, or about
other feeds, is taken back, for it avoided nothing. Where a danger rules out all that could feed the
rail, nothing feeds it.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from harness.base.finding import Finding, Severity
from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.planner.answer import Answer
from harness.planner.cuts import OF_THE_FEED, cut_of
from harness.planner.feeds import NOTHING
from harness.planner.judged import JudgedAnswer
from harness.planner.programme import Model
from harness.planner.rewrite import apply
from harness.planner.search import Search
from harness.planner.writing import Writing
from harness.rules.run import check

Key = tuple[str, tuple[str, ...]]
"""Which finding: its rule and the parts it names."""

ROUNDS = 30
"""More refusals than this and the search ends without a proof."""


@dataclass
class Judge:
    """Solves, has the rules judge, cuts, and solves again. `faults`: findings no choice avoids."""

    model: Model
    faults: set[Key] = field(default_factory=set)
    made: list[tuple[Key, int, str]] = field(default_factory=list)
    """For each cut its finding, its row of the programme, and the words of the finding."""
    rounds: int = 0
    doubt: str = ""

    @property
    def cuts(self) -> list[str]:
        """What was left out because of the rules, each once."""
        return list(dict.fromkeys(words for _, _, words in self.made))

    def best(self, whole: bool = True) -> JudgedAnswer | None:
        """Return the best answer the rules let pass; None when there is none."""
        while True:
            search = Search(self.model)
            answer = search.best(whole)
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
                if (
                    whole
                ):  # a runner-up has less to choose from: what it cannot avoid proves nothing
                    self._take_back(finding)

    def judged(self, answer: Answer, gap: str = "") -> JudgedAnswer:
        """Write an answer into the plan and let the rules judge it."""
        plan = self.model.space.plan
        writing = Writing(self.model.space, answer)
        edits = writing.all()
        text = apply(plan, edits)
        report = check(parse_plan(Source(plan.source.name, text)))
        return JudgedAnswer(answer, edits, text, report, writing, gap)

    def _refused(self, judged: JudgedAnswer) -> Finding | None:
        """Return the first danger or error that is no known fault of the plan."""
        for finding in judged.report.findings:
            if finding.severity < Severity.ERROR:
                continue
            if (finding.rule, finding.parts) not in self.faults:
                return finding
        return None

    def _cut(self, judged: JudgedAnswer, finding: Finding) -> bool:
        """Forbid what a finding names; return False, and undo it, where nothing else is left."""
        programme = self.model.programme
        cut = cut_of(self.model, judged, finding)
        if cut is None:
            return False
        row = programme.row(cut.terms, -1e9, cut.most)
        if not programme.solve({}).found and not self._unfed(finding):
            programme.free(row)
            return False
        key = (finding.rule, finding.parts)
        self.made.append((key, row, f"{finding.message} [{finding.rule}]"))
        if cut.wide and not self.doubt:
            self.doubt = f"more was left out than the rules speak against: {finding.message}"
        return True

    def _take_back(self, finding: Finding) -> None:
        """Undo the cuts that avoided a fault of the plan only by moving it elsewhere."""
        kept = []
        for key, row, words in self.made:
            about = set(key[1]) & set(finding.parts) or finding.rule in OF_THE_FEED
            if key[0] == finding.rule and about:
                self.model.programme.free(row)
                self.faults.add(key)
            else:
                kept.append((key, row, words))
        self.made = kept

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
