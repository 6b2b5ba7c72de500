"""Battery connectors: cautious and chart figures are common practice, no source.

A motor read at A amperes and 12.6 V, a full pack's without load, draws a little less of what the
pack keeps under load: with the square of the volts at most.
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
escs:
  esc: {{rated: 200 A, bec: none, wire: 8 AWG, length: 20 mm, supply: main{esc}}}
motors:
  m: {{full-throttle: {amps} A, full-throttle-volts: 12.6 V, plug: esc}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 90 C, wire: 8 AWG, length: 20 mm{pack}}}
"""


def found(amps: float, pack: str, esc: str = "") -> list[Finding]:
    text = PLAN.format(amps=amps, pack=pack, esc=esc)
    return [f for f in report_of(text).findings if f.rule == "plug-load"]


@pytest.mark.parametrize(
    ("connector", "amps", "severity"),
    [
        ("XT60", 40, None),  # 40 / 60 A cautious, 60 / 120 A by charts
        ("XT60", 44, Severity.WARNING),
        ("XT60", 72, Severity.ERROR),
        ("XT90", 60, None),  # 60 / 90, 90 / 200
        ("XT90", 75, Severity.WARNING),
        ("XT90", 112, Severity.ERROR),
        ("EC5", 75, None),  # 80 / 120
        ("T-plug", 44, Severity.ERROR),  # every chart says 40
        ("bullet-6mm", 120, Severity.WARNING),  # no chart: its 150 A for seconds is the end
        ("bullet-6mm", 210, Severity.ERROR),
    ],
)
def test_figures(connector: str, amps: float, severity: Severity | None) -> None:
    findings = found(amps, f", connector: {connector}")
    assert [f.severity for f in findings] == ([severity] if severity else [])


def test_the_weaker_side_counts() -> None:
    assert len(found(50, ", connector: XT90", ", connector: XT60")) == 1


def test_one_report_for_a_run_of_like_connectors() -> None:
    text = PLAN.format(amps=50, pack=", connector: XT60", esc="")
    text = text.replace("supply: main", "supply: arming") + (
        "power-leads:\n  arming: {kind: arming, supply: main, connector: XT60, wire: 8 AWG}\n"
    )
    (finding,) = [f for f in report_of(text).findings if f.rule == "plug-load"]
    assert {"arming", "esc", "main"} <= set(finding.parts)


def test_no_class_is_unknown() -> None:
    report = report_of(PLAN.format(amps=50, pack="", esc=""))
    assert [u.part for u in report.unknown if u.rule == "plug-load"] == ["esc"]


def test_the_help_names_connectors_that_bear_it() -> None:
    """The question of the trade: is this plug enough for 75 A?"""
    (finding,) = found(75, ", connector: XT60")
    assert "XT150" in finding.help
    assert "XT90," not in finding.help


def test_an_upper_pack_alone_does_not_load_the_lower_one() -> None:
    """Kirchhoff: what is taken across the upper pack comes back to that pack's own minus."""
    text = """
packs:
  low: {chemistry: lipo, cells: 4, cell-resistance: 0.1 mohm, connector: XT60, wire: 8 AWG,
    length: 10 mm}
  high: {like: low}
power-leads:
  tap: {kind: parallel, ways: 2, supply: high, connector: XT60, wire: 8 AWG, length: 10 mm}
  stack: {kind: series, supply: [low, tap.1], connector: XT60, wire: 8 AWG, length: 10 mm}
escs:
  whole: {bec: none, isolated: yes, connector: XT60, wire: 8 AWG, length: 10 mm, supply: stack}
  upper: {bec: none, isolated: yes, connector: XT60, wire: 8 AWG, length: 10 mm, supply: tap.2}
motors:
  m: {full-throttle: 30 A, full-throttle-volts: 33.6 V, plug: whole}
  n: {full-throttle: 25 A, full-throttle-volts: 16.8 V, plug: upper}
"""
    found = [f for f in report_of(text).findings if f.rule == "plug-load"]
    assert [f.parts[0] for f in found] == ["tap"]
    # 30 A + 25 A, read at the volts of full packs; nothing on the way takes much of them
    assert "A continuously" in found[0].message
    assert "pass the XT60 of tap in high, which bears" in found[0].message
    assert float(found[0].message.split()[0]) == pytest.approx(55, rel=0.03)
