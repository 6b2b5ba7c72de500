"""A plug that cannot be kept out of a duct (common practice)."""

from __future__ import annotations

import pytest
from control_support import found

from harness.base.finding import Severity

RULE = "plug-in-duct"


def plan(ext: int, joint: str = "in: body", more: str = "") -> str:
    return f"""
places: {{body: {{at: 400 mm}}, tail: {{{joint}, at: 1100 mm}}}}
ducts: {{boom: {{between: [body, tail]}}}}
receivers: {{rx: {{sockets: 6, place: body}}}}
servos:
  rudder: {{place: tail, length: 250 mm, plug: ext.1}}
leads:
  ext: {{kind: extension, plug: rx.4, length: {ext} mm}}
{more}"""


@pytest.mark.parametrize(("ext", "fires"), [(600, 1), (699, 1), (700, 0), (900, 0), (449, 0)])
def test_reach_by_hand(ext: int, fires: int) -> None:
    """Way 700: the plug lies 700 - ext to 250 mm from the servo, and from 700 on at the servo.

    With 449 mm the run is too short for its way, which another rule reports.
    """
    reported = found(RULE, plan(ext))
    assert len(reported) == fires
    assert all(f.severity is Severity.NOTE for f in reported)
    if fires:
        assert f"{700 - ext} to 250 mm" in reported[0].message


def test_a_joint_that_comes_off_opens_the_duct() -> None:
    assert found(RULE, plan(600, "joins: body")) == []
    assert len(found(RULE, plan(600, "joins: body, joined: for-good"))) == 1


def test_one_plug_that_two_runs_pass_is_told_once() -> None:
    """The Y's own plug is of both halves' runs."""
    text = plan(600).replace("rudder: {place: tail, length: 250 mm, plug: ext.1}",
                             "left: {place: tail, length: 100 mm, plug: y.1}\n"
                             "  right: {place: tail, length: 100 mm, plug: y.2}")  # fmt: skip
    text = text.replace("leads:\n", "leads:\n  y: {kind: y, plug: ext.1, length: 150 mm}\n")
    reported = [f for f in found(RULE, text) if f.parts[0] == "y"]
    assert len(reported) == 1
