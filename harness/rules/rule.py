"""What a rule is, and the list of them."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cached_property

from harness.base.finding import Finding, Severity, Unknown
from harness.base.span import Span
from harness.parts.part import Part
from harness.parts.receiver import Receiver
from harness.plan.plan import Plan
from harness.rules.mended import whole_page
from harness.wiring.build import Wiring


@dataclass
class Desk:
    """What a rule has on its desk: the plan, its wiring; and where it lays its reports."""

    plan: Plan
    wiring: Wiring
    unknown: list[Unknown] = field(default_factory=list)

    def not_known(self, rule: str, part: Part, missing: str, word: str = "") -> None:
        """List something that could not be judged, and the fact that is missing."""
        span = part.at(word) if word else part.span
        self.unknown.append(Unknown(rule, part.id, missing, span))

    def plan_not_known(self, rule: str, missing: str, span: Span) -> None:
        """List a missing fact of the whole plan; it is laid at its first receiver."""
        first = min((receiver.id for receiver in self.plan.of(Receiver)), default="")
        self.unknown.append(Unknown(rule, first, missing, span))


Check = Callable[[Desk], Iterator[Finding]]


@dataclass(frozen=True)
class Rule:
    """One rule: its name is its id, its page is written in its module's docstring."""

    name: str
    family: str
    severity: Severity
    check: Check

    @cached_property
    def written(self) -> str:
        """The page as it stands in the source, its mended example an edit of the failing one."""
        module = inspect.getmodule(self.check)
        return inspect.cleandoc((module.__doc__ if module else "") or "")

    @property
    def summary(self) -> str:
        """The first line of the page."""
        return self.written.split("\n", 1)[0]

    @property
    def page(self) -> str:
        """The whole page, as it is printed."""
        return whole_page(self.written)

    def finding(
        self,
        message: str,
        span: Span,
        *parts: Part | str,
        severity: Severity | None = None,
        help: str = "",
        spot: str = "",
        numbers: tuple[tuple[str, str], ...] = (),
    ) -> Finding:
        """Return a finding of this rule."""
        ids = tuple(part if isinstance(part, str) else part.id for part in parts)
        worst = self.severity if severity is None else severity
        return Finding(self.name, worst, message, span, ids, help, spot, numbers)


RULES: dict[str, Rule] = {}


def rule(severity: Severity) -> Callable[[Check], Rule]:
    """Register a module's `check` as the rule named after it, in the family of its folder."""

    def register(check: Check) -> Rule:
        family, stem = check.__module__.split(".")[-2:]
        name = stem.replace("_", "-")
        RULES[name] = Rule(name, family, severity, check)
        return RULES[name]

    return register
