"""Pack to ESC: 300 mm, then 220 uF each extra 100 mm (common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.rules.run import Report

PLAN = """
escs:
  esc: {{bec: none, supply: {supply}{esc}}}
packs:
  main: {{chemistry: lipo, cells: 4{pack}}}
{more}"""
Y = "power-leads:\n  y: {kind: parallel, ways: 2, supply: main, length: 200 mm}\n"
BARE = "power-leads:\n  y: {kind: parallel, ways: 2, supply: main}\n"
CAPS = "capacitors:\n  c: {across: esc, value: 220 uF, count: %d, volts: 35 V}\n"


def report(esc: str, supply: str = "main", pack: str = "", more: str = "") -> Report:
    return report_of(PLAN.format(esc=esc, supply=supply, pack=pack, more=more))


@pytest.mark.parametrize(
    ("esc", "supply", "pack", "more", "wanted"),
    [
        (", length: 300 mm", "main", "", "", ""),
        (", length: 301 mm", "main", "", "", "220 uF"),
        (", length: 12 in", "main", "", "", "220 uF"),  # 304.8 mm
        (", length: 500 mm", "main", "", "", "440 uF"),
        (", length: 500 mm", "main", "", CAPS % 2, ""),
        (", length: 500 mm", "main", "", CAPS % 1, "440 uF"),
        (", length: 150 mm", "y.1", "", Y, "220 uF"),
        (", length: 100 mm", "y.1", "", Y, ""),
        (", length: 100 mm", "y.1", ", length: 100 mm", Y, "220 uF"),
    ],
)
def test_run(esc: str, supply: str, pack: str, more: str, wanted: str) -> None:
    found = [
        f.message for f in report(esc, supply, pack, more).findings if f.rule == "long-battery-wire"
    ]
    assert len(found) == bool(wanted)
    assert all(f"wants {wanted} of capacitors" in message for message in found)


@pytest.mark.parametrize(
    ("esc", "supply", "more", "parts"),
    [
        ("", "main", "", ["esc"]),
        (", length: 150 mm", "y.1", BARE, ["y"]),
        (", length: 400 mm", "y.1", BARE, []),  # too long already
    ],
)
def test_a_length_not_given_is_unknown(esc: str, supply: str, more: str, parts: list[str]) -> None:
    unknown = report(esc, supply, "", more).unknown
    assert [u.part for u in unknown if u.rule == "long-battery-wire"] == parts


def test_it_can_be_accepted_with_a_reason() -> None:
    more = "accepted:\n  - {rule: long-battery-wire, part: esc, because: measured with a scope}\n"
    found = report(", length: 500 mm", more=more)
    assert [a.finding.rule for a in found.accepted] == ["long-battery-wire"]


@pytest.mark.parametrize(
    ("esc", "pack", "asked"),
    [
        (", length: 200 mm", "", True),  # with a pack's usual 150 mm it would be 350 mm
        (", length: 150 mm", "", False),  # 300 mm: not above the limit
        (", length: 200 mm", ", length: 50 mm", False),
        (", length: 400 mm", "", False),  # reported already
    ],
)
def test_a_packs_wires_not_stated_are_unknown_where_the_usual_ones_would_be_too_much(
    esc: str, pack: str, asked: bool
) -> None:
    """A pack's usual wires: 150 mm, our own assumption (catalogue rules, assumed)."""
    unknown = [(u.rule, u.part) for u in report(esc, pack=pack).unknown]
    assert (("long-battery-wire", "main") in unknown) is asked
