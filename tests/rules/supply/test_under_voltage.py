"""Least volts: receiver 3.5 V, autopilot 4.1 V: common practice, no source (trade figures)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
receivers:
  rx: {sockets: 4}
%s
servos:
  rudder: {volts-min: %s, volts-max: 9 V, plug: rx.4}
"""
NIMH = "packs:\n  radio: {chemistry: nimh, cells: %d, plug: rx.batt}"
REG = "regulators:\n  reg: {volts: %s, kind: switching, plug: rx.batt}"


def told(text: str) -> list[tuple[str, Severity]]:
    found = [f for f in report_of(text).findings if f.rule == "under-voltage"]
    return [(f.parts[0], f.severity) for f in found]


@pytest.mark.parametrize(
    ("source", "least", "expected"),
    [
        (REG % "5 V", "6 V", [("reg", Severity.ERROR)]),
        (REG % "6 V", "6 V", []),
        # 4 NiMH: 4.8 V nominal (trade figure), 4.0 V empty (memory)
        (NIMH % 4, "6 V", [("radio", Severity.ERROR)]),
        (NIMH % 4, "4.8 V", [("radio", Severity.NOTE)]),
        (NIMH % 5, "4.8 V", []),
    ],
)
def test_against_the_least_volts(
    source: str, least: str, expected: list[tuple[str, Severity]]
) -> None:
    assert told(PLAN % (source, least)) == expected


@pytest.mark.parametrize(("cells", "fires"), [(2, True), (3, False)])
def test_a_supply_whose_pack_falls_too_low(cells: int, fires: bool) -> None:
    """2S LiPo falls to 7.0 V (3.5 V a cell, PX4 user guide): too low for 7.4 V out."""
    source = (
        "regulators:\n  reg: {volts: 7.4 V, kind: switching, plug: rx.batt, supply: main}\n"
        f"packs:\n  main: {{chemistry: lipo, cells: {cells}}}"
    )
    assert told(PLAN % (source, "5 V")) == ([("reg", Severity.WARNING)] if fires else [])


def test_what_a_diode_takes_is_not_said_of_the_source() -> None:
    """A silicon diode takes 0.7 V (common practice): the regulator goes on giving its 5 V."""
    text = """
receivers: {rx: {sockets: 4}}
diodes: {guard: {kind: silicon, plug: rx.batt}}
regulators: {reg: {volts: 5 V, rated: 5 A, plug: guard.1}}
servos: {a: {class: standard-high-torque, plug: rx.1, volts-min: 4.8 V}}
"""
    (told,) = [f.message for f in report_of(text).findings if f.rule == "under-voltage"]
    assert 'regulator "reg" gives 5 V, and 4.3 V of it arrive behind a diode, but servo "a"' in told
