"""What a rule is, and the list of them."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from functools import cached_property

from harness.base.data import dataclass, field, replace
from harness.base.finding import Finding, Numbers, Severity, Unknown
from harness.base.near import spoken
from harness.base.span import Span
from harness.facts.fed import Fault
from harness.facts.wording import closing_words, open_words
from harness.parts.contacts import Port
from harness.parts.figure import Figure, rule_figure
from harness.parts.part import Part
from harness.parts.receiver import Receiver
from harness.plan.plan import Plan
from harness.rules.mended import whole_page
from harness.wiring.build import Mate, Wiring

Findings = Iterator[Finding]


@dataclass
class Desk:
    """What a rule has on its desk: the plan, its wiring; and where it lays its reports."""

    plan: Plan
    wiring: Wiring
    unknown: list[Unknown] = field(default_factory=list)
    rule: str = ""

    def not_known(self, part: Part, missing: str, word: str = "") -> None:
        """List something that could not be judged, and the fact that is missing."""
        span = part.at(word) if word else part.span
        self.unknown.append(Unknown(self.rule, part.id, missing, span))

    def plan_not_known(self, missing: str, span: Span) -> None:
        """List a missing fact of the whole plan; it is laid at its first receiver."""
        first = min((receiver.id for receiver in self.plan.of(Receiver)), default="")
        self.unknown.append(Unknown(self.rule, first, missing, span))

    def figure(self, row: str, key: str) -> Figure:
        """Return a threshold of the rules from the catalogue."""
        return rule_figure(self.plan.catalogue, row, key)

    def joins(self) -> Iterator[tuple[Mate, Port]]:
        """Yield each plug that fits its socket and has it to itself, with the socket."""
        for mate in self.wiring.mates:
            if mate.socket is not None and mate.fits and mate.first:
                yield mate, mate.socket


Check = Callable[[Desk], Findings]


@dataclass(frozen=True)
class Rule:
    """One rule: its name is its id, its page is written in its module's docstring.

    `severities`: all that its findings can have, the usual one first. `solved`: whether it judges
    by solved currents or volts, and so not while something must be mended first.
    """

    name: str
    family: str
    severities: tuple[Severity, ...]
    judge: Check
    solved: bool = False

    @property
    def severity(self) -> Severity:
        """The usual severity of its findings."""
        return self.severities[0]

    @property
    def words(self) -> str:
        """Say how bad its findings can be: warning; danger to note."""
        worst, least = max(self.severities), min(self.severities)
        return worst.word if worst is least else f"{worst.word} to {least.word}"

    def check(self, desk: Desk) -> Findings:
        """Return what it finds; what it cannot judge is listed on the desk under its name."""
        return self.judge(replace(desk, rule=self.name))

    @cached_property
    def written(self) -> str:
        """The page as it stands in the source, its mended example an edit of the failing one."""
        module = inspect.getmodule(self.judge)
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
        numbers: Numbers = (),
    ) -> Finding:
        """Return a finding of this rule; a part that is given twice is named once."""
        ids = dict.fromkeys(part if isinstance(part, str) else part.id for part in parts)
        worst = self.severity if severity is None else severity
        return Finding(self.name, worst, message, span, tuple(ids), help, spot, numbers)

    def at_plug(
        self,
        message: str,
        mate: Mate,
        *others: Part,
        key: str = "",
        severity: Severity | None = None,
        help: str = "",
        numbers: Numbers = (),
    ) -> Finding:
        """Return a finding at a plug, or at a key of its join: its part is named first."""
        span, plug = mate.join.spans.get(key, mate.span), mate.plug
        return self.finding(
            message,
            span,
            plug.part,
            *others,
            severity=severity,
            help=help,
            spot=plug.name,
            numbers=numbers,
        )

    def at_open(
        self,
        lacking: str,
        wiring: Wiring,
        fault: Fault,
        *,
        severity: Severity | None = None,
        help: str = "",
        numbers: Numbers = (),
    ) -> Finding:
        """Return a finding at the open places of a fault: why, and then what is lacking."""
        first, places = fault.opens[0], open_words(wiring, fault.opens)
        why = spoken(words for _, words in places)
        found = self.finding(
            f"{why}{lacking}",
            places[0][0],
            first.part,
            *fault.parts,
            *(need.part for need in fault.astray),
            severity=severity,
            spot=first.spot,
            help=help or closing_words(fault.opens),
            numbers=numbers,
        )
        return replace(found, also=tuple(places[1:]))


RULES: dict[str, Rule] = {}


def rule(*severities: Severity, solved: bool = False) -> Callable[[Check], Rule]:
    """Register a module's `check` as the rule named after it, in the family of its folder."""

    def register(check: Check) -> Rule:
        family, stem = check.__module__.split(".")[-2:]
        name = stem.replace("_", "-")
        RULES[name] = Rule(name, family, severities, check, solved)
        return RULES[name]

    return register
