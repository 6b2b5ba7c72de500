"""The look of places: wings by their side, and a tail only where there is one."""

from __future__ import annotations

import pytest
from support import plan_of

from harness.base.colours import ZONES
from harness.diagram.from_above import has_tail
from harness.diagram.zone_names import tint_of

PLACES = """places:
  {first}: {{joins: hull, side: right}}
  hull: {{}}
  bay: {{in: hull}}
  panel: {{joins: hull, side: left}}
"""


@pytest.mark.parametrize("first", ["a", "z"])
def test_left_is_reddish_and_right_is_greenish(first: str) -> None:
    """Left red, right green: common practice, as the flags of the labels."""
    plan = plan_of(PLACES.format(first=first))
    red, green, _ = ZONES[tint_of(plan, "panel")]
    assert red == max(ZONES[tint_of(plan, "panel")])
    assert red > green
    assert ZONES[tint_of(plan, first)][1] == max(ZONES[tint_of(plan, first)])
    tints = [tint_of(plan, name) for name in plan.places]
    assert len(set(tints)) == len(tints)


@pytest.mark.parametrize(
    ("text", "tail"),
    [
        ("servos: {s: {moves: elevator}}", True),
        ("servos: {s: {moves: v-tail-left}}", True),
        ("places: {tail: {}}", True),
        ("servos: {s: {moves: elevon-left}}", False),
    ],
)
def test_a_flying_wing_has_no_tailplane(text: str, tail: bool) -> None:
    assert has_tail(plan_of(text)) is tail
