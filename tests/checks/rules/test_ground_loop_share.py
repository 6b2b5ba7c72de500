"""Ground loop of two ESCs on one pack.

Published: of each 7 A, 6 A return by 14 AWG and 1 A by a 22 AWG signal ground of the same length
(ArduPilot, ESC grounding page). The worked figures 1.0, 2.4 and 6 A at 60 A are common practice, no
source; they include contacts: 20 milliohm a 3-pin contact (trade figure) and 0.5 milliohm a battery
plug (memory).
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity
from harness.base.wire import gauge_size, resistance
from harness.checks.ground import share

PLAN = """
packs:
  main: {{chemistry: lipo, cells: 4, connector: {plug}}}
power-leads:
  split: {{kind: parallel, ways: 2, connector: {plug}, supply: main, wire: 8 AWG, length: 0 mm}}
receivers:
  rx: {{sockets: 4}}
escs:
  left: {{bec: none, connector: {plug}, wire: {wire}, length: {length}, lead-wire: 22 AWG,
    lead-length: {lead}, plug: rx.1, supply: split.1{more}}}
  right: {{like: left, plug: rx.2, supply: split.2}}
motors:
  motor-left: {{full-throttle: {full}, plug: left}}
  motor-right: {{full-throttle: 10 A, plug: right}}
"""


def judged(**said: str) -> tuple[list[Finding], list[str]]:
    plain = {"plug": "XT60", "full": "60 A", "lead": "300 mm", "more": ""}
    report = report_of(PLAN.format(**{**plain, **said}))
    name = "ground-loop-share"
    return (
        [f for f in report.findings if f.rule == name],
        [u.missing for u in report.unknown if u.rule == name],
    )


def test_the_published_split_of_seven_amperes() -> None:
    """One main negative of 14 AWG beside one 22 AWG ground, pure copper: 6 to 1 within a tenth."""
    thick, thin = (resistance(gauge_size(gauge), 1000) for gauge in (14, 22))
    assert share(thick, 7.0, 0.0, 0.0, thin) == pytest.approx(1.0, abs=0.06)


@pytest.mark.parametrize(
    ("gauge", "metres", "amperes"), [(12, 0.15, 1.0), (12, 0.5, 2.4), (14, 1.0, 6.0)]
)
def test_the_worked_figures_at_sixty_amperes(gauge: int, metres: float, amperes: float) -> None:
    main = resistance(gauge_size(gauge), metres * 1000) + 0.0005
    leads = 2 * (resistance(gauge_size(22), 300) + 0.020)
    assert share(main, 60.0, main, 0.0, leads) == pytest.approx(amperes, rel=0.04)


@pytest.mark.parametrize(
    ("wire", "length", "severity", "says"),
    [
        ("12 AWG", "150 mm", Severity.WARNING, "1 A of the 60 A"),
        ("12 AWG", "500 mm", Severity.WARNING, "2.4 A of the 60 A"),
        ("14 AWG", "1000 mm", Severity.ERROR, "5.9 A of the 60 A"),
    ],
)
def test_the_same_from_a_plan(wire: str, length: str, severity: Severity, says: str) -> None:
    ((finding,), _) = judged(wire=wire, length=length)
    assert finding.severity is severity
    assert says in finding.message
    assert finding.parts == ("left", "right")


@pytest.mark.parametrize(
    "said",
    [
        {"wire": "12 AWG", "length": "50 mm"},
        {"wire": "12 AWG", "length": "500 mm", "full": "20 A"},
        {"wire": "14 AWG", "length": "1000 mm", "more": ", isolated: yes"},
    ],
)
def test_short_weak_or_isolated(said: dict[str, str]) -> None:
    assert judged(**said) == ([], [])


def test_one_pack_each_closes_no_loop() -> None:
    text = PLAN.format(
        plug="XT60", full="60 A", lead="300 mm", more="", wire="14 AWG", length="1000 mm"
    )
    text = text.replace("supply: split.2", "supply: second").replace(
        "power-leads:", "  second: {chemistry: lipo, cells: 4, connector: XT60}\npower-leads:"
    )
    assert [f for f in report_of(text).findings if f.rule == "ground-loop-share"] == []


def test_what_is_missing_is_unknown() -> None:
    text = PLAN.format(plug="XT60", full="60 A", lead="300 mm", more="", wire="0", length="0")
    text = text.replace(" wire: 0, length: 0,", "")
    missing = {u.missing for u in report_of(text).unknown if u.rule == "ground-loop-share"}
    assert missing == {
        "the gauge of its wires (wire)",
        "the length of its wires (length)",
    }
