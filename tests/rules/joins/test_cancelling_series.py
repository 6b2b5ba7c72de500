"""Volts of a series join add with their signs (Kuphaldt, Lessons in Electric Circuits I)."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from .packs_plan import lead, packs


@pytest.mark.parametrize(
    ("sources", "gives", "meant"),
    # 4 x 3.7 V nominal a pack: PX4 user guide, battery page
    [(("a", "b*"), "0 V", "29.6 V"), (("a", "b*", "c"), "14.8 V", "44.4 V")],
)
def test_a_reversed_level(sources: tuple[str, ...], gives: str, meant: str) -> None:
    names = [source.rstrip("*") for source in sources]
    text = packs(*names) + "power-leads:\n" + lead("stack", "series", *sources)
    (found,) = [f for f in report_of(text).findings if f.severity > 1]
    assert (found.rule, found.parts[0], found.spot) == ("cancelling-series", "b", "main")
    assert f"gives {gives} instead of {meant}" in found.message


def test_a_straight_stack() -> None:
    text = packs("a", "b") + "power-leads:\n" + lead("stack", "series", "a", "b")
    assert rules_of(text) == []
