"""ESC rating against full throttle. 1.2 to 1.3 times: common practice, no source."""

from __future__ import annotations

import re

import pytest
from support import plan_of, report_of

from harness.base.finding import Severity
from harness.documents.figures.load import solved_of
from harness.rules.run import check
from harness.wiring.build import build

PLAN = "escs:\n  esc: {{bec: none{esc}}}\nmotors:\n  m: {{plug: esc{motor}}}\n"


@pytest.mark.parametrize(
    ("esc", "severity"),
    [
        (", rated: 39 A", None),  # 1.3 * 30 exactly
        (", rated: 38.9 A", Severity.WARNING),
        (", rated: 30 A", Severity.WARNING),
        (", rated: 29 A", Severity.ERROR),
        (", rated: 29 A, burst: 35 A", Severity.ERROR),
        (", rated: 25 A, burst: 29 A", Severity.DANGER),
    ],
)
def test_margin(esc: str, severity: Severity | None) -> None:
    report = report_of(PLAN.format(esc=esc, motor=", full-throttle: 30 A"))
    found = [f for f in report.findings if f.rule == "esc-load"]
    assert [f.severity for f in found] == ([severity] if severity else [])
    assert all("at least 39 A; the bolder go down to 36 A" in f.message for f in found)


@pytest.mark.parametrize(
    ("esc", "motor", "part"), [("", ", full-throttle: 30 A", "esc"), (", rated: 40 A", "", "m")]
)
def test_missing_facts(esc: str, motor: str, part: str) -> None:
    report = report_of(PLAN.format(esc=esc, motor=motor))
    assert [u.part for u in report.unknown if u.rule == "esc-load"] == [part]


def test_an_esc_without_a_motor_is_unknown() -> None:
    report = report_of("escs:\n  esc: {bec: none, rated: 40 A}\n")
    assert [u.missing for u in report.unknown if u.rule == "esc-load"] == [
        "full-throttle current of the motor on it"
    ]


TWIN = """
escs:
  left: {rated: 30 A, bec: none, supply: share.1, connector: XT60, wire: 14 AWG, length: 900 mm}
  right: {rated: 30 A, bec: none, supply: share.2, connector: XT60, wire: 10 AWG, length: 100 mm}
motors:
  m-left: {full-throttle: %s A, plug: left}
  m-right: {full-throttle: %s A, plug: right}
power-leads:
  share: {kind: parallel, ways: 2, supply: main, connector: XT90, wire: 10 AWG, length: 100 mm}
packs:
  main: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 35 C, connector: XT90}
"""


@pytest.mark.parametrize("amps", [(18, 28), (28, 18), (27, 28), (26, 26), (18, 18)])
def test_each_is_named_by_the_figure_that_load_shows(amps: tuple[int, int]) -> None:
    """1.3 times what is stated, or what `load` shows for it in a case that lasts, against 30 A."""
    plan = plan_of(TWIN % amps)
    rows = {r.part: r for r in solved_of(build(plan)).rows if r.kind == "part"}
    most = {name: rows[name].amps[rows[name].lasting > 0].max() for name in ("left", "right")}
    found = {f.parts[0]: f for f in check(plan).findings if f.rule == "esc-load"}
    said = dict(zip(("left", "right"), amps, strict=True))
    assert set(found) == {name for name, a in most.items() if max(1.3 * said[name], a) > 30}
    for name, finding in found.items():
        told = re.search(r"throttle, ([\d.]+) A with fresh packs", finding.message)
        assert bool(told) == (most[name] > said[name])
        if told:
            assert float(told[1]) == pytest.approx(most[name], abs=0.051)
