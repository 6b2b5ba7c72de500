"""Codes given by the builder that no small label can show."""

from __future__ import annotations

import pytest
from support import plan_of

from harness.base.finding import Finding
from harness.documents.labels.fit import smallest_size, text_width
from harness.documents.labels.layout import EDGE_MM
from harness.parts.figure import rule_figure
from harness.rules.labels.label_too_long import check
from harness.rules.rule import Desk
from harness.wiring.build import build


def findings(text: str) -> list[Finding]:
    """Return what this rule reports."""
    plan = plan_of(text)
    return list(check.check(Desk(plan, build(plan))))


def found(part: str) -> list[Finding]:
    text = (
        f"receivers: {{rx: {{sockets: 4}}}}\npacks: {{p: {{chemistry: lipo, cells: 3}}}}\n{part}\n"
    )
    return findings(text)


@pytest.mark.parametrize("code", ["RUDDER SERVO 1", "ABCDEFGHIJKL"])
def test_a_long_code_is_reported_with_the_limit(code: str) -> None:
    (finding,) = found(f"servos: {{rudder: {{plug: rx.1, code: {code}}}}}")
    assert f"has {len(code)} characters" in finding.message
    assert finding.numbers[0][1].startswith("11, catalogue rules, marking")
    assert finding.parts == ("rudder",)


def test_the_code_with_its_suffix_counts() -> None:
    (finding,) = found("escs: {esc: {plug: rx.3, supply: p, code: ESC-LEFT-1}}")
    assert '"ESC-LEFT-1-P"' in finding.message


@pytest.mark.parametrize("code", ["RUD", "ABCDEFGHIJK", "  RUD  T   1  "])
def test_a_code_that_fits_is_no_fault(code: str) -> None:
    assert found(f"servos: {{rudder: {{plug: rx.1, code: '{code}'}}}}") == []


def test_a_proposed_code_is_never_too_long() -> None:
    name = "-".join(["extraordinarily"] * 6)
    assert found(f"servos: {{{name}-inner-left-12: {{plug: rx.1, moves: {name}}}}}") == []


def test_the_limit_is_what_a_small_label_leaves() -> None:
    """Capitals of this average width with capitals 2 mm high (MIL-STD-130 summary) on 25.4 mm."""
    limit = int(rule_figure(plan_of("servos: {}\n").catalogue, "marking", "code-length").number)
    room = 25.4 - 2 * EDGE_MM
    per_letter = text_width("AILERONFLAPR", smallest_size(), True) / 12
    assert limit * per_letter <= room < (limit + 2) * per_letter
