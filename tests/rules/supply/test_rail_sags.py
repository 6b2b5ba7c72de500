"""Volts at the rail: Ohm's law by hand. 4.8 V on a rail is common practice, no source."""

from __future__ import annotations

import re

import pytest
from electrics.heating import wire_ohms
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
receivers:
  rx: {{sockets: 6, supply-sockets: 2}}
loads:
  lamp: {{current: {amps} A, plug: rx.1, wire: 20 AWG, length: 10 mm}}
regulators:
  reg: {{kind: switching, volts: {volts}, rated: 20 A, burst: 40 A, plug: {plug}{wire}}}
"""
THIN = ", wire: 24 AWG, length: 1000 mm"


def found(volts: str, amps: float, wire: str = THIN, plug: str = "rx.batt-1") -> list[Finding]:
    report = report_of(PLAN.format(volts=volts, amps=amps, wire=wire, plug=plug))
    return [f for f in report.findings if f.rule == "rail-sags"]


def at_rail(amps: float) -> float:
    """5 V behind 30 mohm, two contacts of 15 mohm and two wires of 1 m; 0.1 A for the receiver.

    The wires as warm as this makes them in air of 40 degC, the warmest case.
    """
    copper = wire_ohms("24 AWG", 1000, amps + 0.1, 40)
    return 5 - (amps + 0.1) * (0.030 + 2 * 0.015 + copper)


@pytest.mark.parametrize(("amps", "fires"), [(0.5, False), (1.5, True), (2.5, True)])
def test_by_hand(amps: float, fires: bool) -> None:
    assert (at_rail(amps) < 4.8) == fires
    findings = found("5 V", amps)
    assert len(findings) == fires
    for finding in findings:
        told = re.search(r"sags to ([\d.]+) V", finding.message)
        assert told
        assert float(told[1]) == pytest.approx(at_rail(amps), abs=0.006)
        assert finding.parts == ("rx", "reg")


def test_a_second_lead_or_a_volt_more_mends_it() -> None:
    assert found("6 V", 1.3) == []
    assert len(found("5 V", 1.3)) == 1
    assert found("5 V", 1.3, plug="[rx.batt-1, rx.batt-2]") == []


def test_below_what_the_receiver_works_on_it_is_an_error() -> None:
    """A receiver works from 3.5 V (common practice): 5 V - 2.9 A * 0.6 ohm = 3.3 V."""
    long = ", wire: 24 AWG, length: 3000 mm"
    assert [f.severity for f in found("5 V", 2.8, long)] == [Severity.ERROR]
    assert [f.severity for f in found("5 V", 1.5, long)] == [Severity.WARNING]


def test_a_source_that_is_too_low_anyway_is_another_rules() -> None:
    assert found("4.7 V", 2.5) == []


def test_wires_nobody_measured_are_unknown() -> None:
    report = report_of(PLAN.format(volts="5 V", amps=2.5, wire="", plug="rx.batt-1"))
    missing = [(u.part, u.missing) for u in report.unknown if u.rule == "rail-sags"]
    assert missing == [
        ("reg", "the gauge of its wire (wire)"),
        ("reg", "the length of its wire (length)"),
    ]
    assert [f for f in report.findings if f.rule == "rail-sags"] == []


def test_an_overloaded_supply_is_one_fault() -> None:
    """Held to 2 A it gives out; a thin lead besides is a fault of its own: 4.5 V at 2.6 A."""
    short = PLAN.format(
        volts="5 V", amps=2.5, wire=", wire: 20 AWG, length: 50 mm", plug="rx.batt-1"
    )
    for text, both in (
        (short, False),
        (short.replace("20 AWG, length: 50", "24 AWG, length: 1000"), True),
    ):
        weak = text.replace("rated: 20 A, burst: 40 A", "rated: 1 A, burst: 2 A")
        rules = [f.rule for f in report_of(weak).findings]
        assert "bec-load" in rules
        assert ("rail-sags" in rules) == both


def test_seconds_of_everything_stalled_are_no_sag() -> None:
    """2 A stalled at 6 V is 3 ohm: 5 * 3 / 3.24 = 4.6 V for seconds; 0.6 A lasting: 4.86 V."""
    text = """
receivers: {rx: {sockets: 4}}
servos: {flap: {moves: flap, moving: 0.2 A, stall: 2 A, length: 1 mm, wire: 20 AWG, plug: rx.1}}
regulators:
  reg: {kind: switching, volts: 5 V, rated: 5 A, burst: 9 A, plug: rx.batt, wire: 24 AWG,
        length: 700 mm}
"""
    copper = wire_ohms("24 AWG", 700, 0.7, 40)
    assert 5 - 0.7 * (0.030 + 2 * 0.015 + copper) > 4.8
    assert [f.rule for f in report_of(text).findings if f.rule == "rail-sags"] == []
    stronger = text.replace("stall: 2 A", "stall: 5 A")  # 1.5 A lasting: 4.7 V
    assert "rail-sags" in [f.rule for f in report_of(stronger).findings]
