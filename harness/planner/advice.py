"""What the rules advise against and a choice avoids has a price: warnings, and notes.

The best answer is judged as any plan; what a warning or a note says of what was chosen gets a
price, of all that is alike too, and the next best is sought until nothing new is said. Not counted
are what is bought, left over or not yet recorded, and what is said of a supply: it is settled
before.
"""

from __future__ import annotations

from collections import Counter
from itertools import product
from typing import Any

from harness.base.data import dataclass, field, replace
from harness.base.finding import Finding, Severity
from harness.base.span import START
from harness.planner.items import Unplugged
from harness.planner.judge import (
    FEEDING,
    OF_THE_FEED,
    PLUG,
    Judge,
    JudgedAnswer,
    fillings,
    same_pieces,
    wants_alike,
)
from harness.planner.programme import MANY, Advice
from harness.planner.proposal import Chosen
from harness.planner.space import Use
from harness.planner.writing import Slot
from harness.rules.rule import Rule
from harness.rules.run import all_rules

APART = frozenset({"kit", "records"})
"""Families of rules about what is bought or left over, and what is not yet recorded."""
SETTLED = OF_THE_FEED | {"too-many-joints"}
"""Rules of a supply; and one that each build has its count of from the first."""
OF_SHARING = frozenset({PLUG, "slow-frame-on-y", "unlike-escs-on-y"})
"""Rules about who shares a pulse, by whatever leads: a longer one that takes volts is no cure."""
ROUNDS = 20
"""More rounds in which advice not met before comes up, and the best is not claimed."""
NAMELESS: dict[str, Any] = {
    "id": "",
    "span": START,
    "spans": {},
    "about": "",
    "code": "",
    "like": "",
}
ANYWHERE: dict[str, Any] = {"place": "", "spot": None, "route": ()}


@dataclass
class Advised:
    """A judge who weighs advice. `turned_down`: answers that came to more, and what was said.

    `_priced`: what has a price, and the parts that were spoken of; `_idle`: what had one in vain.
    """

    judge: Judge
    turned_down: list[tuple[JudgedAnswer, tuple[Finding, ...]]] = field(default_factory=list)
    _priced: list[tuple[Advice, set[str]]] = field(default_factory=list)
    _idle: set[Advice] = field(default_factory=set)
    _kinds: dict[tuple[str, bool], str] = field(default_factory=dict)

    def best(self, whole: bool = True) -> JudgedAnswer | None:
        """Return the best answer the rules let pass, by what they advise as well."""
        rounds = 0
        while (judged := self.judge.best(whole)) is not None and not judged.gap:
            new = self._price(judged)
            if not new:
                break
            rounds += 1
            if rounds > ROUNDS:
                advice = f"{new[0].message} [{new[0].rule}]"
                doubt = f"what the rules advise was not weighed to the end: {advice}"
                return replace(judged, doubt=judged.doubt or doubt)
            self.turned_down.append((judged, new))
        return judged

    def _price(self, judged: JudgedAnswer) -> tuple[Finding, ...]:
        """Price what is advised against an answer; return the findings that change a price."""
        told: dict[Advice, list[Finding]] = {}
        new: list[Finding] = []
        for finding in judged.report.findings:
            if finding.severity < Severity.ERROR:
                advice = self._advice(judged, finding)
                new += [] if advice else self._moved(finding)
                if advice:
                    told.setdefault(advice, []).append(finding)
        for advice, found in told.items():
            if advice not in self._idle and self.judge.model.advise(advice, len(found)):
                self._priced.append((advice, {name for f in found for name in f.parts}))
                new += found
        return tuple(new)

    def _moved(self, finding: Finding) -> list[Finding]:
        """Take back a price where the same is said of a part wherever it goes."""
        vain = {a for a, parts in self._priced
                if a.rule == finding.rule and parts & set(finding.parts)} - self._idle  # fmt: skip
        self._idle |= vain
        for advice in vain:
            self.judge.model.unadvise(advice)
        return [finding] if vain else []

    def _advice(self, judged: JudgedAnswer, finding: Finding) -> Advice | None:
        """Return what a warning or a note speaks against; None where nothing was chosen."""
        feed, parts = judged.answer.feed, set(finding.parts)
        family = all_rules()[finding.rule].family
        fed = feed is not None and family in FEEDING and {part for part, _ in feed.roles} & parts
        if fed or family in APART or finding.rule in SETTLED:
            return None
        about = [(c, slots_of(judged, c, parts)) for c in judged.answer.groups]
        named = [(c, slots) for c, slots in about if slots or _shared(c, parts)]
        if len(named) == 1:
            terms, most = self._one(finding.rule, family, *named[0])
        else:
            terms = {c: 1.0 for chosen, _ in named for c in self._alike(chosen.use)}
            most = len(named) - 1.0
        level = f"{finding.severity.word}s"
        return Advice(level, finding.rule, frozenset(terms.items()), most) if terms else None

    def _one(
        self, rule: str, family: str, chosen: Chosen, slots: list[Slot]
    ) -> tuple[dict[int, float], float]:
        """Return the row against one group and all that is like it; with what fills an arm."""
        model, use = self.judge.model, chosen.use
        inner = [(slot, piece) for _, slot, piece in slots if slot >= 0]
        arms = [(-1 - slot, piece) for _, slot, piece in slots if slot < 0]
        if rule in OF_SHARING or not arms:
            alike = self._alike(use, family)
            inner = [] if rule in OF_SHARING else inner
            return {c: 1.0 for c in alike if same_pieces(model, c, inner, rule)}, 0.0
        filled = next(fillings(model, chosen, *arms[0]))
        if not inner and use.host.plain:
            return {filled: 1.0}, 0.0
        terms = {
            c: MANY
            for c in self._alike(use)
            if same_pieces(model, c, inner, rule) and wants_alike(model, c, chosen, arms[0][0])
        }
        return terms | {filled: 1.0}, MANY

    def _alike(self, use: Use, family: str = "") -> list[int]:
        """Return the uses of the same plugs on the same kind of host; with a family, of like ones.

        Where the parts sit matters to the rules about leads alone.
        """
        same = [(c, u) for c, u in self.judge.model.uses.items() if u.where == use.where]
        if not family:
            return [c for c, other in same if other.names == use.names]
        placed = family == "leads"
        mine = sorted(self._kind(item, placed) for item in use.items)
        count = len(mine)
        return [c for c, u in same if len(u.items) == count
                and sorted(self._kind(item, placed) for item in u.items) == mine]  # fmt: skip

    def _kind(self, item: Unplugged, placed: bool) -> str:
        """Return all that the rules can know of an item but its name, and its place or not."""
        if (item.id, placed) not in self._kinds:
            less = NAMELESS if placed else NAMELESS | ANYWHERE
            parts = [replace(part, **less) for part in (item.part, *(d.part for d in item.devices))]
            moved = [(d.function, d.sign) for d in item.devices]
            self._kinds[item.id, placed] = repr((parts, moved, item.length, item.wire))
        return self._kinds[item.id, placed]


def slots_of(judged: JudgedAnswer, chosen: Chosen, parts: set[str]) -> list[Slot]:
    """Return the leads of a group that are among some parts, each with its place."""
    return [slot for slot in judged.writing.slots.get(chosen.use.names, ()) if slot[0] in parts]


def _shared(chosen: Chosen, parts: set[str]) -> bool:
    """Say whether who shares a pulse, or the own kind of host of a group, is spoken of."""
    use = chosen.use
    mine, every = ({d.part.id for d in ds} & parts for ds in (use.devices, use.everything))
    owners = {end.socket.partition(".")[0] for end in use.host.ends}
    own = use.where == use.host.id and bool(owners & parts)
    return bool(mine) and (len(every) > 1 or own)


def instead(advised: Advised, best: JudgedAnswer) -> dict[tuple[str, ...], tuple[Chosen, Rule]]:
    """Return for groups of the best answer what would stand there but for what a rule says."""
    now = Counter(finding.rule for finding in best.report.findings)
    found: dict[tuple[str, ...], tuple[Chosen, Rule]] = {}
    for judged, findings in advised.turned_down:
        before = Counter(finding.rule for finding in judged.report.findings)
        for finding in findings:
            parts = set(finding.parts)
            named = [
                c for c in judged.answer.groups if slots_of(judged, c, parts) or _shared(c, parts)
            ]
            for one, other in product(best.answer.groups, named):
                fewer = now[finding.rule] < before[finding.rule]
                if fewer and set(one.use.names) & set(other.use.names):
                    found.setdefault(one.use.names, (other, all_rules()[finding.rule]))
    return found
