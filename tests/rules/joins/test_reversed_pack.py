"""A pack reversed in a parallel join: its volts add to the other's (Kirchhoff)."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from .packs_plan import lead, packs


@pytest.mark.parametrize("sources", [("a", "b*"), ("a*", "b"), ("a", "b", "c*"), ("a*", "b", "c")])
def test_one_reversed_pack_is_named_once(sources: tuple[str, ...]) -> None:
    names = [source.rstrip("*") for source in sources]
    text = packs(*names) + "power-leads:\n" + lead("both", "parallel", *sources)
    (found,) = [f for f in report_of(text).findings if f.severity > 1]
    assert found.rule == "reversed-pack"
    assert found.parts[0] == next(s for s in sources if s.endswith("*")).rstrip("*")
    # two packs of 4 x 3.7 V nominal (PX4 user guide) add up round the loop
    assert "29.6 V" in found.message


def test_all_straight_is_no_fault() -> None:
    text = packs("a", "b") + "power-leads:\n" + lead("both", "parallel", "a", "b")
    assert rules_of(text) == []


def test_all_reversed_alike_is_no_short() -> None:
    text = packs("a", "b") + "power-leads:\n" + lead("both", "parallel", "a*", "b*")
    assert "reversed-pack" not in rules_of(text)
