"""Red and black swapped. Pin order: Arduino and PX4 documentation (power in the middle)."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Severity

BASE = """
receivers:
  rx: {sockets: 4}
packs:
  radio: {chemistry: nimh, cells: 4, plug: rx.batt}
"""
Y = """
servos:
  left: {class: 9g-analogue, moves: aileron, shaft: left, plug: y.1}
  right: {class: 9g-analogue, moves: aileron, shaft: right, plug: y.2}
leads:
  y: {kind: custom, ways: 2, plug: rx.1, ends: {plug: [WH, RD, BK], "1": %s, "2": %s}}
"""
STRAIGHT, SWAPPED, PALE = "[WH, RD, BK]", "[WH, BK, RD]", "[BK, RD, WH]"
EXTENSION = """
servos:
  rudder: {class: 9g-analogue, moves: rudder, plug: %s.1}
leads:
  one: {kind: custom, plug: rx.4%s}
  two: {kind: custom, plug: one.1%s}
"""
CROSS = ", map: {positive: negative, negative: positive}"


@pytest.mark.parametrize(
    ("plan", "part", "word"),
    [
        (Y % (STRAIGHT, SWAPPED), "right", "branch 2"),
        (Y % (SWAPPED, STRAIGHT), "left", "branch 1"),
        (EXTENSION % ("two", CROSS, ""), "rudder", "from end to end"),
        (EXTENSION % ("two", "", CROSS), "rudder", "from end to end"),
        (
            Y % (STRAIGHT, STRAIGHT) + "as-found:\n  - {end: y.2, fact: crossed}\n",
            "right",
            "branch 2",
        ),
    ],
)
def test_red_and_black_swapped_is_a_danger(plan: str, part: str, word: str) -> None:
    found = [f for f in report_of(BASE + plan).findings if f.severity > Severity.NOTE]
    assert [f.rule for f in found] == ["pins-swapped"]
    assert found[0].severity is Severity.DANGER
    assert word in found[0].message
    assert part in found[0].parts
    assert "red and black" in found[0].message


def test_pale_and_black_swapped_burns_nothing() -> None:
    found = [
        f for f in report_of(BASE + Y % (STRAIGHT, PALE)).findings if f.severity > Severity.NOTE
    ]
    assert [(f.rule, f.severity) for f in found] == [("pins-swapped", Severity.ERROR)]


def test_a_pack_found_crossed_feeds_the_rail_backwards() -> None:
    plan = BASE + "as-found:\n  - {end: radio, fact: crossed}\n"
    found = [f for f in report_of(plan).findings if f.severity > Severity.NOTE]
    assert [(f.rule, f.span.line) for f in found] == [("pins-swapped", 9)]
    assert "radio" in found[0].parts


@pytest.mark.parametrize(
    "plan",
    [
        Y % (STRAIGHT, STRAIGHT),
        EXTENSION % ("two", CROSS, CROSS),
        Y % (STRAIGHT, STRAIGHT)
        + "as-found:\n  - {end: y.2, fact: crossed, mended: crimped anew}\n",
    ],
)
def test_straight_undone_or_mended_is_no_fault(plan: str) -> None:
    assert rules_of(BASE + plan) == []


def test_both_branches_swapped_is_one_fault_at_the_plug() -> None:
    assert rules_of(BASE + Y % (SWAPPED, SWAPPED)) == ["pins-swapped"]


def test_a_regulator_behind_a_swapped_lead_burns_the_rail_not_itself() -> None:
    """A regulator gives current: common practice, no source."""
    text = """
receivers: {rx: {sockets: 4}}
leads: {k: {kind: custom, plug: rx.batt, map: {positive: negative, negative: positive}}}
regulators: {reg: {kind: switching, volts: 5 V, plug: k.1}}
"""
    (found,) = [f for f in report_of(text).findings if f.rule == "pins-swapped"]
    assert 'regulator "reg" would feed the receiver backwards' in found.message
