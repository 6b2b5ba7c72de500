"""Bundles against ducts and against the limits of US Army TM 1-1500-204-23-4: 75 wires, 2 in."""

from __future__ import annotations

import math

import pytest
from control_support import found, missing

from harness.base.finding import Severity

RULE = "bundle-too-thick"


def plan(count: int, duct: str = "", wire: str = "22 AWG") -> str:
    servos = "".join(
        f"  s{n}: {{place: tail, wire: {wire}, length: 900 mm, plug: rx.{n + 1}}}\n"
        for n in range(count)
    )
    return f"""
places: {{body: {{at: 0 mm}}, tail: {{in: body, at: 600 mm}}}}
{duct}
receivers: {{rx: {{sockets: 32, place: body}}}}
servos:
{servos}"""


@pytest.mark.parametrize(
    ("bore", "severity"),
    [
        (8, None),
        (7.3, None),
        (7.2, Severity.WARNING),
        (5.4, Severity.WARNING),
        (5.3, Severity.ERROR),
    ],
)
def test_three_servo_leads_in_a_duct(bore: float, severity: Severity | None) -> None:
    """Nine wires of 1.7 mm need sqrt(18) * 1.7 = 7.21 mm to be sure, and 5.36 mm at the least."""
    assert math.sqrt(18) * 1.7 == pytest.approx(7.21, abs=0.01)
    reported = found(RULE, plan(3, f"ducts: {{boom: {{between: [body, tail], bore: {bore} mm}}}}"))
    assert [f.severity for f in reported] == ([severity] if severity else [])


def test_the_report_names_the_duct_and_stands_at_its_bore() -> None:
    (one,) = found(RULE, plan(3, "ducts: {boom: {between: [body, tail], bore: 4 mm}}"))
    assert 'duct "boom", 4 mm wide' in one.message
    assert "3 leads with 9 wires" in one.message
    assert set(one.parts) == {"s0", "s1", "s2"}


@pytest.mark.parametrize(("count", "fires"), [(25, 0), (26, 1)])
def test_seventy_five_wires(count: int, fires: int) -> None:
    """25 leads of 3 wires are 75, 26 are 78; of 28 AWG they stay far below 2 in."""
    reported = found(RULE, plan(count, wire="28 AWG"))
    assert len(reported) == fires
    assert all("more than 75 wires" in f.message for f in reported)


def test_no_positions_no_word() -> None:
    text = (
        plan(26).replace("body: {at: 0 mm}", "body: {}").replace("in: body, at: 600 mm", "in: body")
    )
    assert found(RULE, text) == []
    assert missing(RULE, text) == []
