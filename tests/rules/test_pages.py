"""Every rule has a page with the fixed headings, and its examples fail and pass as said."""

from __future__ import annotations

import textwrap

import pytest
from support import report_of

from harness.base.finding import Severity
from harness.rules.mended import HEADINGS, section
from harness.rules.run import all_rules

RULES = all_rules()


def example(name: str, heading: str) -> str:
    """Return the piece of a plan under a heading of a rule's page."""
    return textwrap.dedent("\n".join(section(RULES[name].page, heading))) + "\n"


@pytest.mark.parametrize("name", RULES)
def test_page_has_the_headings_in_order(name: str) -> None:
    lines = RULES[name].page.split("\n")
    assert [line for line in lines if line in HEADINGS] == list(HEADINGS)
    assert len(lines[0]) <= 80
    assert lines[0].endswith(".")
    assert all(example(name, heading).strip() for heading in HEADINGS)


@pytest.mark.parametrize("name", RULES)
def test_failing_example_is_reported_once(name: str) -> None:
    report = report_of(example(name, "An example that fails"))
    assert [f.rule for f in report.findings].count(name) == 1
    others = [f for f in report.findings if f.rule != name and f.severity > RULES[name].severity]
    assert others == []


@pytest.mark.parametrize("name", RULES)
def test_mended_example_is_clean(name: str) -> None:
    report = report_of(example(name, "The same, mended"))
    worst = [f for f in report.findings if f.rule == name or f.severity >= Severity.ERROR]
    assert worst == []
