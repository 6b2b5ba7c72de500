"""The advice of every rule is followed by hand, and the fault is gone and nothing worse has come.

Notes of rules that waited for a danger to be mended are not held against its cure.

`advice/*.txt` holds, for each rule, plans with the fault and one edit for each cure that the
message offers:

    == rule-name broken/file       a file of examples, or `page`: the failing example of the page
    fault: old => new              words of it that are changed first, so that the fault is there
    aside: words                   what the help says besides cures
    * plug it into rx.4            a cure: words of the help, as printed
    old => new                     what the builder changes in the text
    | leads: {...}                 or a piece of plan laid over it, as on a rule's page
    new: rule rule                 what is reported now and was not, less than the fault: looked at
"""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest
from support import report_of

from harness.base.finding import Finding, Severity
from harness.rules.mended import mended, section
from harness.rules.run import Report, all_rules

RULES = all_rules()
EXAMPLES = Path(__file__).parents[2] / "examples"
FILES = sorted((Path(__file__).parent / "advice").glob("*.txt"))
JOINING = re.compile(r"[\s,;:.()]|\b(?:or|and|better)\b")


@dataclass
class Cure:
    """Words of a message, and the edit that follows them."""

    says: str
    swaps: list[tuple[str, str]] = field(default_factory=list)
    laid: list[str] = field(default_factory=list)
    new: list[str] = field(default_factory=list)


@dataclass
class Case:
    """A plan with a fault, and what its message offers."""

    rule: str
    at: str
    faults: list[tuple[str, str]] = field(default_factory=list)
    asides: list[str] = field(default_factory=list)
    cures: list[Cure] = field(default_factory=list)

    @property
    def text(self) -> str:
        """The plan with its fault."""
        return swapped(source(self.rule, self.at), self.faults)


def read(path: Path) -> list[Case]:
    """Read the cases of a file."""
    found: list[Case] = []
    for line in path.read_text().splitlines():
        mark, _, rest = line.partition(" ")
        old, _, new = line.replace("\\n", "\n").partition(" => ")
        if mark == "==":
            found.append(Case(*rest.split()))
        elif mark == "*":
            found[-1].cures.append(Cure(rest))
        elif mark == "fault:":
            found[-1].faults.append((old.removeprefix("fault: "), new))
        elif mark == "aside:":
            found[-1].asides.append(rest)
        elif mark == "new:":
            found[-1].cures[-1].new += rest.split()
        elif mark == "|":
            found[-1].cures[-1].laid.append(rest)
        elif " => " in line:
            found[-1].cures[-1].swaps.append((old, new))
    return found


CASES = [case for path in FILES for case in read(path)]
CURES = [(case, cure) for case in CASES for cure in case.cures]


def source(rule: str, at: str) -> str:
    """Return the text of an example."""
    if at == "page":
        return textwrap.dedent("\n".join(section(RULES[rule].page, "An example that fails"))) + "\n"
    return (EXAMPLES / f"{at}.yaml").read_text()


def swapped(text: str, swaps: list[tuple[str, str]]) -> str:
    """Return a text with words changed, each of which must stand there once."""
    for old, new in swaps:
        assert text.count(old) == 1, f'"{old}" stands {text.count(old)} times in the plan'
        text = text.replace(old, new)
    return text


def cured(text: str, cure: Cure) -> str:
    """Return a plan as the builder writes it after following the advice."""
    assert cure.swaps or cure.laid, "no edit"
    text = swapped(text, cure.swaps)
    if cure.laid:
        bare = [line for line in text.split("\n") if line.split("#")[0].strip()]
        text = "\n".join(mended(bare, cure.laid)) + "\n"
    return text


@cache
def reported(text: str) -> Report:
    """Return what the rules say about a plan."""
    return report_of(text)


def findings(text: str) -> tuple[Finding, ...]:
    return reported(text).findings


def named(value: Case | Cure) -> str:
    return f"{value.rule}-{CASES.index(value)}" if isinstance(value, Case) else value.says[:30]


def of_rule(text: str, rule: str) -> list[Finding]:
    return [f for f in findings(text) if f.rule == rule]


def test_every_rule_has_its_cures_and_no_other() -> None:
    assert {case.rule for case in CASES} == set(RULES)


@pytest.mark.parametrize("case", CASES, ids=named)
def test_every_word_of_the_help_is_a_cure_that_is_tried(case: Case) -> None:
    helps = {f.help for f in of_rule(case.text, case.rule)}
    assert helps, "the fault is not there"
    said = [cure.says for cure in case.cures] + case.asides
    for words in said:
        assert any(words in help for help in helps), f"{words!r} is not in {helps}"
    for help in helps:
        left = help
        for words in sorted(said, key=len, reverse=True):
            left = left.replace(words, "")
        assert JOINING.sub("", left) == "", f"nobody follows {left!r}"


@pytest.mark.parametrize(("case", "cure"), CURES, ids=named)
def test_a_cure_that_is_followed_ends_the_fault(case: Case, cure: Cure) -> None:
    before, after = findings(case.text), findings(cured(case.text, cure))
    fault = max(f.severity for f in before if f.rule == case.rule)
    assert [f.message for f in after if f.rule == case.rule] == []
    there = {(f.rule, f.parts): f.severity for f in reversed(before)}
    waited = set(reported(case.text).waiting)
    shown = [f for f in after if f.severity > Severity.NOTE or f.rule not in waited]
    come = [f for f in shown if f.severity > there.get((f.rule, f.parts), -1)]
    worse = [f for f in come if f.severity >= max(fault, Severity.WARNING)]
    assert [f"{f.rule}: {f.message}" for f in worse] == []
    assert sorted({f.rule for f in come}) == sorted(cure.new)
