"""Which of two supplies feeds: a diode conducts for the one with the higher volts (theory).

Volts of cells: 3.3 V LiFe, 3.6 full, common practice; drops of a Schottky alike on both sides.
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
receivers: {{rx: {{sockets: 4, supply-sockets: 2}}}}
servos: {{rudder: {{class: 17g-digital, volts-max: 9 V, moves: rudder, plug: rx.4}}}}
regulators:
  main: {{volts: {volts}, rated: 5 A, burst: 8 A, plug: one.1{own}}}{more}
packs:
  backup: {{chemistry: life, cells: 2, capacity: 2 Ah, rate: 20 C{plug}}}
diodes:
  one: {{kind: {kind}, plug: rx.batt-1}}
  two: {{kind: {kind}, plug: rx.batt-2}}
"""
REGULATOR = """
  other: {volts: 5 V, rated: 5 A, burst: 8 A, supply: backup, plug: two.1}"""


def found(volts: str, kind: str = "schottky", more: str = "") -> list[Finding]:
    plug, own = ("", ", supply: backup") if more else (", plug: two.1", "")
    text = PLAN.format(volts=volts, kind=kind, more=more, plug=plug, own=own)
    report = report_of(text)
    return [f for f in report.findings if f.rule == "standby-feeds"]


@pytest.mark.parametrize("kind", ["schottky", "silicon", "ideal"])
@pytest.mark.parametrize(("volts", "fires"), [("5 V", True), ("6 V", True), ("7.6 V", False)])
def test_a_pack_above_the_regulator_is_no_backup(volts: str, kind: str, fires: bool) -> None:
    """2 LiFe cells: 6.6 V, 7.2 V full."""
    findings = found(volts, kind)
    assert len(findings) == fires
    for finding in findings:
        assert finding.severity is Severity.WARNING
        assert finding.parts == ("backup", "main", "rx")
        assert 'pack "backup" carries receiver "rx" alone all the time' in finding.message


def test_its_advice_ends_it() -> None:
    (finding,) = found("5 V")
    assert 'set regulator "main" to more than 7.2 V' in finding.help
    assert found("7.3 V") == []


def test_two_regulators_are_a_note() -> None:
    (finding,) = found("6 V", more=REGULATOR)
    assert finding.severity is Severity.NOTE
    assert 'regulator "other" stands by' in finding.message


def test_two_that_share_are_nothing() -> None:
    assert found("5 V", more=REGULATOR) == []
    assert found("5 V", more=REGULATOR.replace("5 V", "5.02 V")) == []


def test_without_a_diode_it_is_another_rules() -> None:
    text = PLAN.format(volts="5 V", kind="schottky", more="", plug=", plug: two.1", own="")
    report = report_of(text.replace("plug: one.1", "plug: rx.batt-1").replace(
        "  one: {kind: schottky, plug: rx.batt-1}\n", ""))  # fmt: skip
    (finding,) = [f for f in report.findings if f.rule == "back-fed"]
    assert "carries the rail all the time and feeds it backwards" in finding.message
    assert [f for f in report.findings if f.rule == "standby-feeds"] == []
