"""Each plan in examples/broken has one fault; its first lines say which rule finds it, and where.

# expected: rule-name on line 12
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from kept import report_at

from harness.base.finding import Severity

FOLDER = Path(__file__).parents[2] / "examples" / "broken"
FILES = sorted(FOLDER.glob("*.yaml"))
EXPECTED = re.compile(r"^# expected: (?P<rule>[a-z0-9-]+) on line (?P<line>[0-9]+)$", re.MULTILINE)


def test_there_are_plans_to_read() -> None:
    assert len(FILES) >= 20


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_the_one_fault_is_found_and_nothing_else(path: Path) -> None:
    wanted = [(m["rule"], int(m["line"])) for m in EXPECTED.finditer(path.read_text())]
    assert len(wanted) == 1, "one fault a file"
    found = report_at(path).findings
    assert [(f.rule, f.span.line) for f in found if f.severity > Severity.NOTE] == wanted
