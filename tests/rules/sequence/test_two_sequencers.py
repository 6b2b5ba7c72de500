from __future__ import annotations

import pytest
from control_support import found

RULE = "two-sequencers"
ONE = "sequencers:\n  one: {outlets: 2, plug: rx.5, power-up: holds}\n"
TWO = "  two: {outlets: 2, plug: %s, power-up: holds}\n"


@pytest.mark.parametrize(
    "plug",
    [
        "one.1",
        "y.2\nleads: {y: {kind: y, plug: one.2}}",
        "e.1\nleads: {e: {kind: extension, plug: one.1}}",
    ],
)
def test_a_box_behind_a_box_is_reported(plug: str) -> None:
    plug, _, leads = plug.partition("\n")
    (finding,) = found(RULE, ONE + TWO % plug + leads)
    assert finding.parts == ("two", "one")


@pytest.mark.parametrize("plug", ["rx.6", "y.2\nleads: {y: {kind: y, plug: rx.6}}"])
def test_side_by_side_is_right(plug: str) -> None:
    plug, _, leads = plug.partition("\n")
    assert found(RULE, ONE + TWO % plug + leads) == []
