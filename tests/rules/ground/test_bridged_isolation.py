"""An isolated part whose sides are joined by other copper: common practice, no source."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
receivers:
  rx: {sockets: 6, telemetry: 5}
packs:
  main: {chemistry: lipo, cells: 4}
  radio: {chemistry: nimh, cells: 4, plug: %s}
power-leads:
  split: {kind: parallel, ways: 3, supply: main}
escs:
  esc: {bec: none, isolated: yes, plug: rx.3, supply: split.1}
%s
"""
SENSOR = "sensors:\n  volts: {plug: rx.5, supply: split.2%s}"
SECOND = "  second: {bec: none, plug: {into: rx.4, pulled: positive}, supply: split.2%s}"
RADIO = "regulators:\n  reg: {volts: 5 V, plug: rx.batt, supply: split.2%s}"


@pytest.mark.parametrize(
    ("plug", "more", "expected"),
    [
        ("rx.batt", SENSOR % "", [("volts", Severity.WARNING)]),
        ("rx.batt", SECOND % "", [("second", Severity.WARNING)]),
        ("rx.batt", SENSOR % ", isolated: yes", []),
        ("rx.batt", SECOND % ", isolated: yes", []),
        ("rx.batt", "", []),
    ],
)
def test_the_bridge_is_named(plug: str, more: str, expected: list[tuple[str, Severity]]) -> None:
    found = [f for f in report_of(PLAN % (plug, more)).findings if f.rule == "bridged-isolation"]
    assert [(f.parts[-1], f.severity) for f in found] == expected
    assert all(f.parts[0] == "esc" for f in found)


def test_the_supply_of_the_rail_is_only_noted() -> None:
    text = (PLAN % ("rx.batt", RADIO % "")).replace(
        "  radio: {chemistry: nimh, cells: 4, plug: rx.batt}\n", ""
    )
    found = [f for f in report_of(text).findings if f.rule == "bridged-isolation"]
    assert [(f.parts[-1], f.severity) for f in found] == [("reg", Severity.NOTE)]


def test_every_bridge_is_named_in_one_finding() -> None:
    """Isolating one of two bridges changes nothing: the copper of the other still joins both."""
    more = RADIO % "" + "\n" + SENSOR % ""
    text = (
        PLAN
        % (
            "rx.batt",
            more.replace(
                "volts: {plug: rx.5, supply: split.2", "volts: {plug: rx.5, supply: split.3"
            ),
        )
    ).replace("  radio: {chemistry: nimh, cells: 4, plug: rx.batt}\n", "")
    (found,) = [f for f in report_of(text).findings if f.rule == "bridged-isolation"]
    assert found.parts == ("esc", "reg", "volts")
    assert found.severity is Severity.NOTE
