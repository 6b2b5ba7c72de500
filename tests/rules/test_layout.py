"""The tests of the rules stand as the rules do: one file for each, in the folder of its family."""

from __future__ import annotations

import re
from pathlib import Path

TESTS = Path(__file__).parent
RULES = TESTS.parents[1] / "harness" / "rules"


def test_every_rule_has_its_tests_in_its_family() -> None:
    rules = {(f.parent.name, f.stem) for f in RULES.glob("*/*.py") if f.stem != "__init__"}
    tests = {(f.parent.name, f.stem.removeprefix("test_")) for f in TESTS.glob("*/test_*.py")}
    assert len(rules) > 80
    assert tests == rules


def test_only_what_rules_are_made_with_stands_beside_the_families() -> None:
    assert {f.stem for f in RULES.glob("*.py")} == {"__init__", "alike", "mended", "rule", "run"}


def test_a_rule_only_judges() -> None:
    """It has no fact of its own, and nothing of another rule's."""
    for path in RULES.glob("*/*.py"):
        text = path.read_text()
        assert "@fact" not in text, path
        assert set(re.findall(r"from harness\.rules(\S*) import", text)) <= {".rule"}, path
