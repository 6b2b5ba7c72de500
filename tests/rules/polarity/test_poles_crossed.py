"""Battery poles crossed: common practice, no source; that two crossings cancel is plain parity."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

BASE = """
receivers:
  rx: {{sockets: 4}}
regulators:
  radio: {{volts: 5 V, plug: rx.batt, supply: other}}
packs:
  other: {{chemistry: lipo, cells: 2}}
  main: {{chemistry: lipo, cells: 4, connector: bullet-4mm}}
power-leads:
  change: {{kind: adapter, connector: bullet-4mm, crossed: {adapter},
    supply: {{into: main, poles: {one}}}}}
escs:
  esc: {{bec: none, connector: bullet-4mm, plug: {{into: rx.3, pulled: positive}},
    supply: {{into: change.1, poles: {two}}}}}
"""


def plan(one: str, adapter: str, two: str, more: str = "") -> str:
    return BASE.format(one=one, adapter=adapter, two=two) + more


@pytest.mark.parametrize(
    ("one", "adapter", "two", "line"),
    [
        ("crossed", "no", "straight", 13),
        ("straight", "yes", "straight", 12),
        ("straight", "no", "crossed", 16),
    ],
)
def test_one_crossing_feeds_the_esc_backwards(one: str, adapter: str, two: str, line: int) -> None:
    found = [f for f in report_of(plan(one, adapter, two)).findings if f.rule == "poles-crossed"]
    assert [f.span.line for f in found] == [line]
    # 4 cells of 3.7 V nominal: PX4 user guide, battery page
    assert "14.8 V backwards" in found[0].message
    assert rules_of(plan(one, adapter, two)) == ["poles-crossed"]


@pytest.mark.parametrize(
    ("one", "adapter", "two"),
    [
        ("straight", "no", "straight"),
        ("crossed", "yes", "straight"),
        ("crossed", "no", "crossed"),
        ("straight", "yes", "crossed"),
    ],
)
def test_two_crossings_undo_each_other(one: str, adapter: str, two: str) -> None:
    assert rules_of(plan(one, adapter, two)) == []


def test_a_crossed_esc_on_a_shared_pack_is_told_once_with_the_short() -> None:
    other = """
  esc-two: {bec: none, connector: bullet-4mm, plug: {into: rx.4, pulled: positive},
    supply: {into: change.2, poles: straight}}
"""
    text = plan("straight", "no", "crossed", other).replace("crossed: no,", "ways: 2,")
    (found,) = [f for f in report_of(text).findings if f.severity > 1]
    assert found.rule == "poles-crossed"
    assert "shorted through the ground leads" in found.message


def test_of_three_crossings_in_a_row_one_is_told() -> None:
    assert rules_of(plan("crossed", "yes", "crossed")) == ["poles-crossed"]


def test_two_that_undo_each_other_are_not_blamed_for_a_third() -> None:
    other = """
  esc-two: {bec: none, connector: bullet-4mm, supply: {into: change.2, poles: crossed}}
"""
    text = plan("crossed", "yes", "straight", other).replace(
        "crossed: yes,", "crossed: yes, ways: 2,"
    )
    found = [f for f in report_of(text).findings if f.rule == "poles-crossed"]
    assert [f.parts[0] for f in found] == ["esc-two"]
