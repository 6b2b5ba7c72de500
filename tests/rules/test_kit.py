"""Three rules about the kit; which piece does for what is tested in tests/assembly."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
receivers: {rx: {sockets: 6}}
leads:
  a: {kind: extension, plug: rx.1, length: 600 mm, wire: 22 AWG}
  b: {kind: extension, plug: rx.2, length: 600 mm, wire: 22 AWG}
  c: {kind: y, plug: rx.3, length: 300 mm, tested: yes}
"""
EXTENSIONS = "{kind: extension, count: 2, length: 600 mm, wire: 22 AWG}"
Y_LEAD = "{kind: y, length: 300 mm}"


def found(rule: str, *lines: str, more: str = "") -> list[Finding]:
    text = PLAN + "kit: [" + ", ".join(lines) + "]\n" + more
    return [f for f in report_of(text).findings if f.rule == rule]


def test_no_kit_no_word() -> None:
    rules = {f.rule for f in report_of(PLAN).findings}
    assert not {rule for rule in rules if rule.startswith("kit-")}


def test_a_whole_kit() -> None:
    for rule in ("kit-lacks", "kit-left-over", "kit-differs"):
        assert found(rule, EXTENSIONS, Y_LEAD) == []


def test_alike_things_are_one_finding_that_names_each_part() -> None:
    (one,) = found("kit-lacks", Y_LEAD)
    assert one.message == 'the kit lacks 2 extensions (600 mm, 22 AWG) for lead "a" and lead "b"'
    assert (one.severity, one.parts) == (Severity.NOTE, ("a", "b"))


@pytest.mark.parametrize(
    ("most", "severity"), [(0, Severity.WARNING), (1, Severity.WARNING), (2, Severity.NOTE)]
)
def test_more_than_may_be_bought(most: int, severity: Severity) -> None:
    (one,) = found("kit-lacks", Y_LEAD, more=f"buy-at-most: {most}\n")
    assert one.severity is severity


def test_the_nearest_piece_is_named() -> None:
    short = "{kind: extension, length: 450 mm, wire: 22 AWG, spare: yes}"
    (one,) = found("kit-lacks", Y_LEAD, short)
    assert dict(one.numbers)["nearest in the kit"] == (
        "the extension (450 mm, 22 AWG) does not do: it is 450 mm long, the plan wants 600 mm"
    )


def test_left_over_is_told_at_its_line() -> None:
    (one,) = found("kit-left-over", EXTENSIONS, Y_LEAD, "{kind: y, count: 2, length: 300 mm}")
    assert one.severity is Severity.NOTE
    assert one.message == (
        "2 Y-leads (300 mm) of the kit are left over: the Y-leads of the plan are all found"
    )


def test_spares_are_expected() -> None:
    spare = "{kind: y, count: 2, length: 300 mm, spare: yes}"
    assert found("kit-left-over", EXTENSIONS, Y_LEAD, spare) == []


@pytest.mark.parametrize(
    ("piece", "why"),
    [
        ("length: 450 mm", "it is 450 mm long, the plan wants 600 mm"),
        ("wire: 26 AWG", "its wire is 26 AWG, the plan wants 22 AWG"),
    ],
)
def test_a_piece_meant_for_a_part_that_is_less(piece: str, why: str) -> None:
    one = "{kind: extension, length: 600 mm, wire: 22 AWG}"
    (bad,) = found("kit-differs", one, Y_LEAD, f"{{kind: extension, {piece}, for: b}}")
    assert bad.severity is Severity.WARNING
    assert bad.message.endswith(f'in the kit is meant for lead "b", but {why}')
    assert found("kit-lacks", one, Y_LEAD, f"{{kind: extension, {piece}, for: b}}") == []
