"""Runs against their ways; slack is common practice (10 % of the way, 100 mm, 30 mm)."""

from __future__ import annotations

import pytest
from control_support import found, missing, numbers

from harness.base.finding import Severity

RULE = "lead-too-short"


def plan(ext: int, wing: str = "at: {aft: 400 mm, out: 500 mm}", plug: str = "ext.1") -> str:
    return f"""
places:
  body: {{at: 400 mm}}
  wing: {{joins: body, side: left, {wing}}}
receivers: {{rx: {{sockets: 6, place: body}}}}
servos:
  aileron: {{place: wing, length: 250 mm, plug: {plug}}}
leads:
  ext: {{kind: extension, plug: rx.1, length: {ext} mm}}
"""


@pytest.mark.parametrize(
    ("ext", "severity"),
    [
        (249, Severity.ERROR), (250, Severity.WARNING), (429, Severity.WARNING), (430, None),
    ],
)  # fmt: skip
def test_way_and_slack_by_hand(ext: int, severity: Severity | None) -> None:
    """500 mm of way; 500 + 50 + 100 at the joint + 30 at the servo = 680 with slack."""
    assert [f.severity for f in found(RULE, plan(ext))] == ([severity] if severity else [])


def test_the_message_says_both_lengths_and_the_numbers_their_origin() -> None:
    (one,) = found(RULE, plan(200))
    assert "450 mm from servo" in one.message
    assert "500 mm long" in one.message
    assert set(one.parts) == {"aileron", "ext"}
    assert one.span.line == 11  # where the extension says its length, two head lines included
    assert "230 mm more" in one.help
    assert numbers(one)["slack, servo"].startswith("30 mm, catalogue rules")


def test_below_the_least_slack_says_so() -> None:
    """At the least 500 + 25 + 50 + 20 = 595: 590 is below, 600 is not."""
    assert "at the least 595 mm" in found(RULE, plan(340))[0].message
    assert "at the least" not in found(RULE, plan(350))[0].message


def test_no_positions_no_word() -> None:
    text = plan(1, wing="about: bare").replace("body: {at: 400 mm}", "body: {}")
    assert found(RULE, text) == []
    assert missing(RULE, text) == []


def test_half_stated_positions_are_listed() -> None:
    (one,) = missing(RULE, plan(1, wing="about: bare"))
    assert one.part == "aileron"
    assert 'the position of place "wing" (at)' in one.missing


def test_a_lead_of_unknown_length_is_listed() -> None:
    text = plan(430).replace(", length: 430 mm", "").replace("kind: extension", "kind: custom")
    assert found(RULE, text) == []
    assert [(u.part, u.missing) for u in missing(RULE, text)] == [
        ("ext", "the length of its lead (length)")
    ]


def test_a_plug_made_out_of_reach() -> None:
    """250 mm of servo lead do not reach the body, 500 mm of duct away: 250 are wanting.

    Without a duct a place reaches half way to the next: 250 mm do.
    """
    duct = "ducts: {root: {between: [body, wing]}}\n"
    (one,) = found(RULE, plan(600, plug="{into: ext.1, in: body}") + duct)
    assert one.severity is Severity.ERROR
    assert "250 mm are wanting" in one.message
    assert found(RULE, plan(600, plug="{into: ext.1, in: body}")) == []
    assert found(RULE, plan(600, plug="{into: ext.1, in: wing}") + duct) == []


def test_battery_and_motor_wires_too() -> None:
    """400 mm from pack to ESC, 100 + 100 of wire; the motor 200 mm from the ESC on 150."""
    text = """
places: {body: {at: 500 mm}, nose: {in: body, at: 100 mm}}
escs: {esc: {place: nose, at: 300 mm, supply: pack, length: 50 mm}}
motors: {motor: {place: nose, plug: esc, length: 150 mm}}
packs: {pack: {place: body, chemistry: lipo, cells: 3, length: 100 mm}}
"""
    reported = {f.parts[0]: f for f in found(RULE, text)}
    assert set(reported) == {"esc", "motor"}
    assert "longer" in reported["motor"].help
    assert "200 mm long" in reported["motor"].message  # from 300 to 100
    assert "150 mm from ESC" in reported["esc"].message
