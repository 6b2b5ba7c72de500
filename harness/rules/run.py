"""Runs every rule over a plan's wiring."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

import harness.rules
from harness.base.data import dataclass, replace
from harness.base.files import modules_in
from harness.base.finding import Accepted, Finding, Unknown
from harness.facts.mend_first import MendFirst, mend_first
from harness.plan.plan import Plan
from harness.rules.rule import RULES, Desk, Rule
from harness.wiring.build import Wiring, build


@dataclass(frozen=True)
class Report:
    """What the rules say about one plan: findings worst first, then by place in the file.

    `waiting`: the rules that cannot judge before what `mend_first` names is mended.
    """

    plan: Plan
    wiring: Wiring
    findings: tuple[Finding, ...]
    unknown: tuple[Unknown, ...]
    accepted: tuple[Accepted, ...]
    waiting: tuple[str, ...] = ()

    @property
    def first(self) -> tuple[MendFirst, ...]:
        """What must be mended before anything flows as planned."""
        return mend_first(self.wiring)


def all_rules() -> dict[str, Rule]:
    """Import every rule module of every family once and return the rules by name."""
    for family in sorted(Path(harness.rules.__path__[0]).glob("*/__init__.py")):
        for name in modules_in(import_module(f"harness.rules.{family.parent.name}")):
            import_module(name)
    return dict(sorted(RULES.items()))


def check(plan: Plan, wiring: Wiring | None = None) -> Report:
    """Run every rule over a plan."""
    wiring = wiring or build(plan)
    desk = Desk(plan, wiring)
    rules, first = all_rules().values(), mend_first(wiring)
    waiting = tuple(rule.name for rule in rules if rule.solved and first)
    found = {_own(plan, f) for rule in rules if rule.name not in waiting for f in rule.check(desk)}
    ordered = sorted(found, key=lambda f: (-f.severity, f.span, f.rule, f.message))
    reasons = {(a.rule, a.part): a.because for a in plan.accepted}
    accepted = tuple(
        Accepted(f, reasons[f.rule, part])
        for f in ordered
        if (part := _accepted_for(f, reasons)) is not None
    )
    taken = {a.finding for a in accepted}
    missing = {replace(u, span=plan.own_line(u.span, u.part)) for u in desk.unknown}
    unknown = tuple(sorted(missing, key=lambda u: (u.span, u.rule, u.missing)))
    open_ = tuple(f for f in ordered if f not in taken)
    return Report(plan, wiring, open_, unknown, accepted, waiting)


def _own(plan: Plan, finding: Finding) -> Finding:
    """Let a finding of a part made with `like:` point at that part, not at what it repeats."""
    also = tuple((plan.own_line(span, *finding.parts), words) for span, words in finding.also)
    return replace(finding, span=plan.own_line(finding.span, *finding.parts), also=also)


def _accepted_for(finding: Finding, reasons: dict[tuple[str, str], str]) -> str | None:
    return next((part for part in finding.parts if (finding.rule, part) in reasons), None)
