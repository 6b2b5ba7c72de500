"""Advice on faults put into sound aeroplanes: followed, the fault is gone and nothing worse comes.

`advice_faults.py` puts them in, `advice_support.py` reads the help as a builder does. The small
aeroplanes get every fault, the others some by chance; more of them, by hand:
HARNESS_SEEDS=200 HARNESS_SEED=7 pytest -n0 tests/rules/test_advice_injected.py
"""

from __future__ import annotations

import os
import random
from collections import Counter
from pathlib import Path

import pytest
from advice_data import data_of
from advice_faults import faults
from advice_support import followed
from strategies import as_yaml
from support import report_of

from harness.base.finding import Finding, Severity
from harness.reading.problems import PlanError
from harness.rules.run import Report

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
SOUND = [path for path in EXAMPLES if "." not in path.stem]
SMALL = {"dunlin-4"}
SOME = int(os.environ.get("HARNESS_SEEDS", "15"))
SEED = int(os.environ.get("HARNESS_SEED", "1"))
LEAST_CURES = 10
"""An aeroplane with fewer cures followed than this tests nothing."""

MOST_LEFT = 0.25
"""The share of messages whose help asks for a choice that is made by hand, not more."""


def bad(report: Report) -> list[Finding]:
    return [f for f in report.findings if f.severity >= Severity.WARNING]


def left(before: Report, fault: Finding, after: Report) -> list[str]:
    """Return what of a fault stays, and what has come that is as bad; what waited is not new."""

    def there(new: Finding) -> int:
        """One that names more parts named these as well."""
        return max((f.severity for f in before.findings
                    if f.rule == new.rule and {*new.parts} <= {*f.parts}), default=-1)  # fmt: skip

    return [
        f"{f.rule}: {f.message}"
        for f in bad(after)
        if (f.rule, f.parts) == (fault.rule, fault.parts)
        or (f.severity >= fault.severity and f.rule not in before.waiting and f.severity > there(f))
    ]


@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.stem)
def test_a_cure_that_is_followed_ends_an_injected_fault(path: Path) -> None:
    data = data_of(path.read_text())
    assert bad(report_of(as_yaml(data))) == []
    every = list(faults(data))
    some = every if path.stem in SMALL else random.Random(SEED).sample(every, min(SOME, len(every)))
    wrong, count = list[tuple[str, ...]](), Counter[str]()
    for name, broken in some:
        try:
            before = report_of(as_yaml(broken))
        except PlanError:
            count["no plan"] += 1
            continue
        for fault in bad(before):
            cures = list(followed(broken, fault))
            count["not followed"] += not cures
            for words, mended in cures:
                count["followed"] += 1
                if stays := left(before, fault, report_of(as_yaml(mended))):
                    wrong.append((name, fault.message, words, *stays))
    print(path.stem, len(some), "faults", dict(count), len(wrong), "wrong")
    assert count["followed"] >= LEAST_CURES
    assert count["not followed"] <= MOST_LEFT * (count["followed"] + count["not followed"])
    assert not wrong, "\n".join(map(" | ".join, wrong))
