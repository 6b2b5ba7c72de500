"""A fuse against what flows and what the wire bears (chart; common practice, no source)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Severity

PLAN = """
escs:
  esc: {{rated: 99 A, bec: none, supply: f{esc}}}
motors:
  m: {{full-throttle: 30 A, full-throttle-volts: 12.6 V, plug: esc}}
fuses:
  f: {{rated: {rated}, supply: main, connector: XT60{wire}}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60}}
"""


@pytest.mark.parametrize(
    ("rated", "wire", "esc", "severity"),
    [
        ("30 A", ", wire: 12 AWG", "", None),
        ("27 A", ", wire: 12 AWG", "", Severity.ERROR),
        ("55 A", ", wire: 14 AWG", "", None),  # 14 AWG: 55 A by the chart
        ("56 A", ", wire: 14 AWG", "", Severity.ERROR),
        ("60 A", ", wire: 12 AWG", ", wire: 14 AWG", Severity.ERROR),  # the ESC's own wires
    ],
)
def test_ratings(rated: str, wire: str, esc: str, severity: Severity | None) -> None:
    report = report_of(PLAN.format(rated=rated, wire=wire, esc=esc))
    found = [f.severity for f in report.findings if f.rule == "fuse-load"]
    assert found == ([severity] if severity else [])


def test_a_wire_nobody_gave_is_unknown() -> None:
    unknown = report_of(PLAN.format(rated="40 A", wire="", esc="")).unknown
    assert [u.part for u in unknown if u.rule == "fuse-load"] == ["f"]


BRANCH = """
escs:
  esc: {{rated: 99 A, bec: none, supply: share.1, wire: 12 AWG}}
motors:
  m: {{full-throttle: 30 A, plug: esc}}
regulators:
  reg: {{kind: switching, volts: 5 V, rated: 3 A, supply: {reg}, wire: {wire}}}
power-leads:
  share: {{kind: parallel, ways: 2, supply: f, connector: XT60, wire: 12 AWG}}
fuses:
  f: {{rated: 60 A, supply: main, connector: XT60, wire: 12 AWG}}{more}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT60}}
"""
SMALL = """
  small: {rated: 5 A, supply: share.2, connector: XT60, wire: 14 AWG}"""


@pytest.mark.parametrize(
    ("reg", "wire", "more", "fires"),
    [
        ("share.2", "20 AWG", "", True),  # 14 A by the chart
        ("share.2", "12 AWG", "", False),  # 88 A
        ("small", "20 AWG", SMALL, False),  # as far as the next fuse
        ("small", "20 AWG", SMALL.replace("5 A", "15 A"), True),  # which protects the rest
    ],
)
def test_every_branch_as_far_as_the_next_fuse(reg: str, wire: str, more: str, fires: bool) -> None:
    report = report_of(BRANCH.format(reg=reg, wire=wire, more=more))
    found = [f for f in report.findings if f.rule == "fuse-load"]
    assert len(found) == fires
    for finding in found:
        assert finding.parts == ("small" if more else "f", "reg")


def test_a_wire_is_held_to_the_fuse_before_it_not_to_the_next() -> None:
    """The thin lead lies behind `f` and before `small`: what protects it is `f` alone."""
    plan = BRANCH.replace("XT60, wire: 12 AWG}}\nfuses", "XT60, wire: 20 AWG}}\nfuses")
    more = SMALL.replace("5 A", "20 A")
    report = report_of(plan.format(reg="small", wire="14 AWG", more=more))
    found = [f for f in report.findings if f.rule == "fuse-load"]
    assert [f.parts for f in found] == [("f", "share")]


def test_its_advice_on_a_branch_is_followed() -> None:
    """30 A of the motor flow through the fuse, so a smaller one would blow: 14 A by the chart."""
    report = report_of(BRANCH.format(reg="share.2", wire="20 AWG", more=""))
    (finding,) = [f for f in report.findings if f.rule == "fuse-load"]
    assert 'give regulator "reg" a fuse of its own, 14 A at most' in finding.help
    assert "use 12 AWG or thicker" in finding.help  # 14 AWG bears 55 A, 12 AWG 88 A
    own = SMALL.replace("5 A", "14 A")
    report = report_of(BRANCH.format(reg="small", wire="20 AWG", more=own))
    assert [f for f in report.findings if f.rule == "fuse-load"] == []
