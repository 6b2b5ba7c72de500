"""Bare bullets: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

PLAN = """
packs:
  main: {{chemistry: lipo, cells: 3, connector: {pack}}}
escs:
  esc: {{bec: none, connector: {esc}, supply: {supply}}}
"""


def count(pack: str, esc: str, supply: str, more: str = "") -> int:
    text = PLAN.format(pack=pack, esc=esc, supply=supply) + more
    return [f.rule for f in report_of(text).findings].count("bare-bullets")


@pytest.mark.parametrize(
    ("pack", "esc"),
    [("bullet-4mm", "bullet-4mm"), ("bullet-4mm", '""'), ("bullet-2mm", "bullet-2mm")],
)
def test_bullets_without_poles(pack: str, esc: str) -> None:
    assert count(pack, "bullet-4mm" if esc == '""' else esc, "main") == 1


@pytest.mark.parametrize(
    "supply", ["{into: main, poles: straight}", "{into: main, poles: crossed}"]
)
def test_stated_poles_are_left_alone(supply: str) -> None:
    assert count("bullet-4mm", "bullet-4mm", supply) == 0


def test_plugs_with_a_key_are_left_alone() -> None:
    assert count("XT60", "XT60", "main") == 0


def test_a_fact_from_the_bench_is_a_statement() -> None:
    more = "as-found:\n  - {end: esc.supply, fact: crossed}\n"
    assert count("bullet-4mm", "bullet-4mm", "main", more) == 0
