"""What the rules advise against and a choice avoids has a price: warnings, and notes.

The best answer is judged as any plan; what is said of what was chosen gets a price, of all that is
alike too, and the next best is sought until nothing new is said. Not counted: what is bought, left
over or not yet recorded, and what is said of a supply, which is settled before.
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
)
from harness.planner.programme import AdvisedAgainst
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
NAMELESS: dict[str, Any] = dict.fromkeys(("id", "about", "code", "like"), "")
NAMELESS |= {"span": START, "spans": {}}
ANYWHERE: dict[str, Any] = {"place": "", "spot": None, "route": ()}


@dataclass
class Advised:
    """A judge who weighs advice. `turned_down`: answers that came to more, and what was said."""

    judge: Judge
    turned_down: list[tuple[JudgedAnswer, tuple[Finding, ...]]] = field(default_factory=list)
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
        told: dict[AdvisedAgainst, list[Finding]] = {}
        for finding in judged.report.findings:
            if finding.severity < Severity.ERROR and (advice := self._advice(judged, finding)):
                told.setdefault(advice, []).append(finding)
        advise = self.judge.model.advise
        return tuple(f for a, found in told.items() if advise(a, len(found)) for f in found)

    def _advice(self, judged: JudgedAnswer, finding: Finding) -> AdvisedAgainst | None:
        """Return what a warning or a note speaks against; None where nothing was chosen."""
        feed, parts = judged.answer.feed, set(finding.parts)
        family = all_rules()[finding.rule].family
        fed = feed is not None and family in FEEDING and {part for part, _ in feed.roles} & parts
        if fed or family in APART or finding.rule in SETTLED:
            return None
        named = _spoken_of(judged, finding)
        if len(named) != 1:
            return None
        columns = self._one(finding.rule, family, *named[0])
        return (
            AdvisedAgainst(f"{finding.severity.word}s", finding.rule, columns) if columns else None
        )

    def _one(self, rule: str, family: str, chosen: Chosen, slots: list[Slot]) -> frozenset[int]:
        """Return what is against one group and all that is like it, or what fills an arm."""
        model, use = self.judge.model, chosen.use
        inner = [(slot, piece) for _, slot, piece in slots if slot >= 0 and rule not in OF_SHARING]
        arms = [(-1 - slot, piece) for _, slot, piece in slots if slot < 0]
        if rule in OF_SHARING or not arms:
            alike = self._alike(use, family)
            return frozenset(c for c in alike if same_pieces(model, c, inner, rule))
        plain = use.host.plain and not inner  # else what fills the arm is not all that counts
        return frozenset(fillings(model, chosen, *arms[0]) if plain else ())

    def _alike(self, use: Use, family: str) -> list[int]:
        """Return the uses of like plugs; where they sit matters to rules about leads alone."""
        uses = [(c, u) for c, u in self.judge.model.uses.items() if u.where == use.where]
        kinds = {c: sorted(self._kind(i, family == "leads") for i in u.items) for c, u in uses}
        mine = sorted(self._kind(item, family == "leads") for item in use.items)
        return [column for column, kind in kinds.items() if kind == mine]

    def _kind(self, item: Unplugged, placed: bool) -> str:
        """Return all that the rules can know of an item but its name, and its place or not."""
        if (item.id, placed) not in self._kinds:
            less = NAMELESS if placed else NAMELESS | ANYWHERE
            parts = [replace(part, **less) for part in (item.part, *(d.part for d in item.devices))]
            moved = [(d.function, d.sign) for d in item.devices]
            self._kinds[item.id, placed] = repr((parts, moved, item.length, item.wire))
        return self._kinds[item.id, placed]


def _spoken_of(judged: JudgedAnswer, finding: Finding) -> list[tuple[Chosen, list[Slot]]]:
    """Return the groups whose leads a finding names, each with their places; or who shares."""
    parts, found = set(finding.parts), []
    for chosen in judged.answer.groups:
        mine = [slot for slot in judged.writing.slots.get(chosen.use.names, ()) if slot[0] in parts]
        sharing = finding.rule in OF_SHARING and parts & {d.part.id for d in chosen.use.devices}
        if mine or (sharing and len(chosen.use.everything) > 1):
            found.append((chosen, mine))
    return found


def instead(advised: Advised, best: JudgedAnswer) -> dict[tuple[str, ...], tuple[Chosen, Rule]]:
    """Return for groups of the best answer what would stand there but for what a rule says."""
    now = Counter(finding.rule for finding in best.report.findings)
    found: dict[tuple[str, ...], tuple[Chosen, Rule]] = {}
    for judged, findings in advised.turned_down:
        before = Counter(finding.rule for finding in judged.report.findings)
        for finding in findings:
            spoken = [chosen for chosen, _ in _spoken_of(judged, finding)]
            for one, other in product(best.answer.groups, spoken):
                fewer = now[finding.rule] < before[finding.rule]
                if fewer and set(one.use.names) & set(other.use.names):
                    found.setdefault(one.use.names, (other, all_rules()[finding.rule]))
    return found
