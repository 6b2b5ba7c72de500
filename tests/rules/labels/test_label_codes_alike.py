"""Codes given by the builder that are the same or look the same."""

from __future__ import annotations

import pytest
from support import plan_of

from harness.base.finding import Finding, Severity
from harness.rules.labels.label_codes_alike import check
from harness.rules.rule import Desk
from harness.wiring.build import build


def findings(text: str) -> list[Finding]:
    """Return what this rule reports."""
    plan = plan_of(text)
    return list(check.check(Desk(plan, build(plan))))


def found(*codes: str) -> list[Finding]:
    """Return this rule's findings for servos with these codes; "" gives none."""
    servos = [
        f"  s{n}: {{moves: flap, plug: rx.{n}{f', code: {code!r}' if code else ''}}}"
        for n, code in enumerate(codes, 1)
    ]
    text = "receivers: {rx: {sockets: 8}}\nservos:\n" + "\n".join(servos) + "\n"
    return findings(text)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("F0", "FO"),  # RFC 4648 section 3.4 (memory): 0 and O, 1 and l and I
        ("F1", "FI"),
        ("F1", "Fl"),
        ("F5", "FS"),  # common practice, no source
        ("F8", "FB"),
        ("F2", "FZ"),
        ("F6", "FG"),
        ("flap", "FLAP"),
        ("F-1", "F1"),
        ("F 1", "F-1"),
    ],
)
def test_look_alikes_are_a_warning_at_the_second(one: str, other: str) -> None:
    (finding,) = found(one, other)
    assert finding.severity is Severity.WARNING
    assert finding.parts == ("s2", "s1")
    assert finding.span.line == 6
    assert f'"{one}"' in finding.message
    assert f'"{other}"' in finding.message


@pytest.mark.parametrize("code", ["F1", "Querruder links", "7"])
def test_the_same_code_twice_is_an_error(code: str) -> None:
    (finding,) = found(code, code)
    assert finding.severity is Severity.ERROR
    assert f'the same label code "{code}"' in finding.message


def test_one_report_for_each_part_too_many() -> None:
    assert [f.parts[0] for f in found("A1", "A1", "AI", "B2")] == ["s2", "s3"]


@pytest.mark.parametrize(
    "codes",
    [("F1", "F2"), ("AIL-L", "AIL-1"), ("FLAP-L", "FLAP-R"), ("", ""), ("A1", ""), (" ", " ")],
)
def test_unlike_codes_are_no_fault(codes: tuple[str, ...]) -> None:
    assert found(*codes) == []


def test_a_proposed_code_gives_way_to_a_given_one() -> None:
    """The first servo would be FLAP of its own; nothing is reported, and it is not FLAP."""
    assert found("", "FLAP") == []


def test_the_second_lead_of_a_part_counts_too() -> None:
    text = """
receivers: {rx: {sockets: 4}}
packs: {p: {chemistry: lipo, cells: 3}}
escs: {esc: {plug: rx.3, supply: p, code: E}}
servos: {s: {plug: rx.1, code: E-P}}
"""
    assert [finding.parts for finding in findings(text)] == [("s", "esc")]
