"""Wires: silicone cautious / chart, control leads low / high. Common practice, no source.

A motor read at A amperes and 12.6 V, a full pack's without load, draws a little less of what the
pack keeps under load: with the square of the volts at most.
"""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Severity

PLAN = """
escs:
  esc: {{rated: 200 A, bec: none, supply: main, wire: {wire}}}
motors:
  m: {{full-throttle: {amps} A, full-throttle-volts: 12.6 V, plug: esc}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 90 C, connector: AS150}}
"""


@pytest.mark.parametrize(
    ("wire", "amps", "severity"),
    [
        ("12 AWG", 45, None),  # 45 / 88
        ("12 AWG", 50, Severity.WARNING),
        ("12 AWG", 96, Severity.ERROR),
        ("14 AWG", 32, None),  # 32 / 55
        ("14 AWG", 60, Severity.ERROR),
        ("8 AWG", 84, None),
        ("8 AWG", 95, Severity.WARNING),  # 95 A by the trade; a heat balance finds 83 A
        ("8 AWG", 200, Severity.ERROR),  # and 132 where the charts say 200
        # 3.4 mm2 is a little more than 12 AWG (3.31 mm2), 3.2 mm2 a little less: 14 AWG counts
        ("3.4 mm2", 45, None),
        ("3.2 mm2", 45, Severity.WARNING),
    ],
)
def test_battery_wire(wire: str, amps: float, severity: Severity | None) -> None:
    report = report_of(PLAN.format(wire=wire, amps=amps))
    found = [f.severity for f in report.findings if f.rule == "wire-load"]
    assert found == ([severity] if severity else [])


CONTROL = """
receivers:
  rx: {{sockets: 4, supply-sockets: 2}}
servos:
  a: {{stall: {stall}, moves: flap, plug: y.1}}
  b: {{stall: {stall}, moves: flap, plug: y.2}}
leads:
  y: {{kind: y, plug: rx.1, wire: {wire}, tested: yes}}
regulators:
  reg: {{volts: 5 V, rated: 20 A, burst: 40 A, plug: [rx.batt-1, rx.batt-2]}}
"""


@pytest.mark.parametrize(
    ("wire", "stall", "rules"),
    [
        ("28 AWG", "0.6 A", []),  # less than 1.2 A at once, 1.25 A by the chart
        ("28 AWG", "0.9 A", ["wire-load"]),  # 1.8 A at 6 V, 1.4 A at 4.7 V
        ("26 AWG", "1.7 A", []),  # less than 3.4 A of 3.5 A
        ("22 AWG", "2.4 A", []),
        ("28 AWG", "6 A", ["lead-load"]),  # the plug is overloaded too: one report
    ],
)
def test_control_wire(wire: str, stall: str, rules: list[str]) -> None:
    found = rules_of(CONTROL.format(wire=wire, stall=stall))
    assert [r for r in found if r in {"wire-load", "lead-load"}] == rules


def test_a_stated_rating_goes_before_the_gauge() -> None:
    text = PLAN.format(wire="10 AWG", amps=50).replace("supply: main", "supply: ext") + (
        "power-leads:\n  ext: {kind: extension, supply: main, connector: AS150, rated: %s}\n"
    )
    assert "wire-load" in rules_of(text % "45 A")
    assert "wire-load" not in rules_of(text % "50 A")


def test_a_power_lead_without_gauge_is_unknown() -> None:
    text = PLAN.format(wire="10 AWG", amps=50).replace("supply: main", "supply: ext") + (
        "power-leads:\n  ext: {kind: extension, supply: main, connector: AS150}\n"
    )
    assert [u.part for u in report_of(text).unknown if u.rule == "wire-load"] == ["ext"]


def test_a_gauge_thinner_than_any_listed_is_unknown() -> None:
    report = report_of(PLAN.format(wire="36 AWG", amps=50))
    assert [u.part for u in report.unknown if u.rule == "wire-load"] == ["esc"]


@pytest.mark.parametrize(
    ("more", "fires"),
    [
        ("places: {bay: {}}\n", False),
        # FAA AC 43.13-1B, chapter 11, example 2: 8 wires in a bundle bear 60 % of 45 A, 27 A
        ("places: {bay: {bundle: 8}}\n", True),
        # and at 20 000 ft 91 %: 41 A
        ("places: {bay: {}}\nsurroundings: {altitude: 6096 m}\n", True),
    ],
)
def test_a_wire_in_a_bundle_or_in_thin_air_bears_less(more: str, fires: bool) -> None:
    text = more + PLAN.format(wire="12 AWG", amps=44).replace("bec: none", "bec: none, place: bay")
    assert ("wire-load" in rules_of(text)) == fires


TWO = """
plan: 1
aircraft: two motors on one lead
packs: {p: {chemistry: lipo, cells: 3, capacity: 9 Ah, wire: 4 AWG}}
escs:
  a: {bec: none, rated: 90 A, supply: y.1, plug: rx.3}
  b: {bec: none, rated: 90 A, supply: y.2, plug: rx.4}
motors: {ma: {plug: a, full-throttle: 50 A}, mb: {plug: b, full-throttle: 50 A}}
receivers: {rx: {sockets: 4}}
power-leads: {y: {kind: parallel, ways: 2, supply: p, wire: 10 AWG%s}}
"""


@pytest.mark.parametrize(("split", "offered"), [("", True), (", split: end", False)])
def test_a_lead_that_may_part_at_its_plug_is_asked_about_it(split: str, offered: bool) -> None:
    """Two branches carry half each (Kirchhoff): 10 AWG bears 62 A (trade tables)."""
    told = [f.help for f in report_of(TWO % split).findings if f.parts == ("y",)]
    assert any("write `split: plug`" in help for help in told) is offered, told
    mended = report_of(TWO % ", split: plug").findings
    assert not [f for f in mended if f.rule == "wire-load" and f.parts == ("y",)]
