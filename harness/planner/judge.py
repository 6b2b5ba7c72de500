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

from collections.abc import Iterator

from harness.base.data import dataclass, field, replace
from harness.base.finding import Finding, Severity
from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.plan.rewrite import Edit, apply
from harness.planner.feeds import NOTHING
from harness.planner.programme import MANY, Model
from harness.planner.proposal import Answer, Chosen
from harness.planner.search import Search
from harness.planner.solver import Result
from harness.planner.stock import StockPiece
from harness.planner.writing import Writing
from harness.rules.run import Report, all_rules, check


@dataclass(frozen=True)
class JudgedAnswer:
    """An answer with its edits, the text they make, and what the rules say about it.

    `gap`: why the search was not finished; `doubt`: why the answer may not be the best.
    """

    answer: Answer
    edits: tuple[Edit, ...]
    text: str
    report: Report
    writing: Writing
    gap: str = ""
    doubt: str = ""


FEEDING = frozenset({"supply", "load"})
OVERLOADED = "wire-load"
STARVED = "volts-lost"
PLUG = "lead-load"
SHORT = "lead-too-short"
OF_THE_FEED = frozenset(
    {"bec-load", "linear-bec-heat", "logic-rail-overloaded", "over-voltage", "under-voltage"}
)
"""Rules about a source and all that hangs on its rail: who shares a channel does not matter."""
DEAD = "no-source"


@dataclass(frozen=True)
class Forbidden:
    """A row: the terms come to at most `most`. `wide`: it forbids more than the finding names."""

    terms: dict[int, float]
    most: float
    wide: bool = False


def cut_of(model: Model, judged: JudgedAnswer, finding: Finding) -> Forbidden | None:
    """Return the row that forbids what a finding names; None where it names nothing chosen.

    Each fact is a set of columns of which at most one is taken; not all facts may hold at once.
    """
    feed = judged.answer.feed
    facts: list[set[int]] = []
    named = feed is not None and {part for part, _ in feed.roles} & set(finding.parts)
    if named and all_rules()[finding.rule].family in FEEDING:
        facts.append(_feeds(model, judged, finding))
    if finding.rule == DEAD or (facts and finding.rule in OF_THE_FEED):
        return _joined(facts, [], False) if facts else None
    fills: list[int] = []
    wide = False
    for chosen in judged.answer.groups:
        fact, filled, shared = _group(model, judged, chosen, finding)
        facts += [fact] if fact else []
        fills += filled
        wide = wide or shared
    return _joined(facts, fills[:1], wide or len(fills) > 1) if facts else None


def _feeds(model: Model, judged: JudgedAnswer, finding: Finding) -> set[int]:
    """Return the columns of the feeds in which the parts named have the same roles."""
    assert judged.answer.feed is not None
    named = {role for role in judged.answer.feed.roles if role[0] in finding.parts}
    return {column for column, other in model.feeds.items() if named <= other.roles}


def _joined(facts: list[set[int]], fills: list[int], wide: bool) -> Forbidden:
    """Forbid that all facts hold together (and, where there is one, that a filling is used)."""
    each = MANY if fills else 1.0
    terms = {column: each for fact in facts for column in fact} | dict.fromkeys(fills, 1.0)
    return Forbidden(terms, each * len(facts) if fills else len(facts) - 1.0, wide)


def _group(
    model: Model, judged: JudgedAnswer, chosen: Chosen, finding: Finding
) -> tuple[set[int], list[int], bool]:
    """Return the uses of a group that a finding speaks against, the filling, and if it is wide."""
    use, parts = chosen.use, set(finding.parts)
    slots = [slot for slot in judged.writing.slots.get(use.names, ()) if slot[0] in parts]
    devices = {device.part.id for device in use.devices}
    shared = len(use.everything) > 1 and len(parts & devices) > 1
    if not slots and not shared and not (use.host.outlet and parts & devices):
        return set(), [], False
    alike = {
        column
        for column, other in model.uses.items()
        if other.names == use.names and other.where == use.where
    }
    if finding.rule == PLUG:  # every piece in that place has the same plug
        return alike, [], False
    inner = [(slot, piece) for _, slot, piece in slots if slot >= 0]
    if inner:
        return {c for c in alike if same_pieces(model, c, inner, finding.rule)}, [], False
    for _, slot, piece in slots:
        found = list(fillings(model, chosen, -slot - 1, piece))
        if found:
            wanting = {c for c in alike if _wants(model, c, chosen, -slot - 1)}
            return wanting, *_one(model, chosen, found)
    return alike, [], bool(slots)


def same_pieces(model: Model, column: int, inner: list[tuple[int, StockPiece]], rule: str) -> bool:
    """Say whether a use has all of these pieces, or ones that are no better, in their places."""
    pieces = model.uses[column].build.pieces
    return all(
        slot < len(pieces) and _no_better(pieces[slot], piece, rule) for slot, piece in inner
    )


def _no_better(other: StockPiece, piece: StockPiece, rule: str) -> bool:
    """Say whether another piece cannot do where this one does not."""
    if other.kind != piece.kind:
        return False
    if rule == OVERLOADED and piece.area > 0:
        return 0 < other.area <= piece.area
    if rule == STARVED and piece.area > 0 and piece.length > 0:
        return 0 < other.area <= piece.area and other.length >= piece.length
    if rule == SHORT and piece.length > 0:
        return 0 < other.length <= piece.length
    return other == piece


def _wants(model: Model, column: int, chosen: Chosen, arm: int) -> bool:
    """Say whether a use's arm wants the same as this one's."""
    mine, its = chosen.use.build.arms[arm], model.uses[column].build.arms[arm]
    return model.want(mine) == model.want(its)


def fillings(model: Model, chosen: Chosen, arm: int, piece: StockPiece) -> Iterator[int]:
    """Yield the column of the filling that an arm has, if it holds the piece."""
    want = model.want(chosen.use.build.arms[arm])
    for column, (wanted, pieces) in model.arms.items():
        if wanted == want and pieces == chosen.arms[arm] and piece in pieces:
            yield column


def _one(model: Model, chosen: Chosen, fillings: list[int]) -> tuple[list[int], bool]:
    """Return one filling, and whether other groups could use it too."""
    want = model.arms[fillings[0]][0]
    mine = set(chosen.use.names)
    others = any(
        not mine & set(use.names) and any(model.want(a) == want for a in use.build.arms if a.wants)
        for use in model.uses.values()
    )
    return fillings[:1], others or len(fillings) > 1


def _by_name(judged: JudgedAnswer, finding: Finding) -> bool:
    """Say whether all that a finding about a sequence names is on outlets named for it, alone.

    Then the times of the steps are wrong, and not who hangs where.
    """
    parts = set(finding.parts)
    mine = [
        c.use
        for c in judged.answer.groups
        if c.use.host.outlet and parts & {d.part.id for d in c.use.devices}
    ]
    sequence = bool(mine) and all_rules()[finding.rule].family == "sequence"
    return sequence and all(len(use.names) == 1 and use.named_for for use in mine)


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
    _last: Report | None = None
    _first: Result | None = None
    """Of the last search; None once something has been allowed again."""

    @property
    def cuts(self) -> list[str]:
        """What was left out because of the rules, each once."""
        return list(dict.fromkeys(words for _, _, words in self.made))

    def best(self, whole: bool = True) -> JudgedAnswer | None:
        """Return the best answer the rules let pass; None when there is none."""
        while True:
            search = Search(self.model, self._first)
            answer = search.best(whole)
            search.free()
            self._first = search.first
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
                # a runner-up has less to choose from: what it cannot avoid proves nothing
                if whole:
                    self._take_back(finding)

    def judged(self, answer: Answer, gap: str = "") -> JudgedAnswer:
        """Write an answer into the plan and let the rules judge it."""
        plan = self.model.space.plan
        writing = Writing(self.model.space, answer)
        edits = writing.all()
        text = apply(plan, edits)
        if self._last is None or self._last.plan.source.text != text:
            self._last = check(parse_plan(Source(plan.source.name, text)))
        return JudgedAnswer(answer, edits, text, self._last, writing, gap)

    def _refused(self, judged: JudgedAnswer) -> Finding | None:
        """Return the first danger or error that is no known fault of the plan."""
        grave = (f for f in judged.report.findings if f.severity >= Severity.ERROR)
        return next((f for f in grave if (f.rule, f.parts) not in self.faults), None)

    def _cut(self, judged: JudgedAnswer, finding: Finding) -> bool:
        """Forbid what a finding names; return False, and undo it, where nothing else is left."""
        programme = self.model.programme
        cut = cut_of(self.model, judged, finding)
        if cut is None or _by_name(judged, finding):
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
        self._first = None
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
        self._first = None
        programme.limit(last[0], 1.0)
        if programme.solve({}).found:
            return True
        programme.limit(last[0], 0.0)
        return False
