"""Small helpers of the tests."""

from __future__ import annotations

import os

from harness.base.finding import Severity
from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.rules.run import Report, check

SEEDS = int(os.environ.get("HARNESS_SEEDS", "0"))
HEAD = "plan: 1\naircraft: Test\n"


def plan_of(text: str) -> Plan:
    """Read a plan; the two first lines are added when they are missing."""
    whole = text if "aircraft:" in text else HEAD + text
    return parse_plan(Source("plan.yaml", whole))


def report_of(text: str) -> Report:
    """Read and check a plan."""
    return check(plan_of(text))


def rules_of(text: str, least: Severity = Severity.WARNING) -> list[str]:
    """Return the names of the rules that report at least `least`."""
    return [f.rule for f in report_of(text).findings if f.severity >= least]


def seeds(usual: int) -> range:
    """The seeds of a sweep of random plans; HARNESS_SEEDS=200 looks further."""
    return range(SEEDS or usual)
