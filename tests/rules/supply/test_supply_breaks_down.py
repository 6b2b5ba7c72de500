"""The most power that comes out of V behind R is V^2 / (4 R) (Jacobi's law of maximum power)."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity

PLAN = """
escs:
  esc: {{rated: 200 A, bec: none, supply: main, connector: AS150, wire: 8 AWG, length: 10 mm}}
motors:
  m: {{full-throttle: {amps} A, plug: esc}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 90 C, connector: AS150,
    cell-resistance: {ohms} mohm}}
"""
FULL = ["full-throttle", "hard-manoeuvre", "gear-travelling", "low-packs", "cold", "hot"]
"""Every case with the motor at full throttle."""


def found(amps: float, ohms: float) -> list[Finding]:
    report = report_of(PLAN.format(amps=amps, ohms=ohms))
    return [f for f in report.findings if f.rule == "supply-breaks-down"]


@pytest.mark.parametrize(
    ("amps", "ohms", "cases"),
    [
        # cold, full: 12.6^2 / (4 * 3 * 2 * 20 mohm) = 330 W of 22 A * 11.1 V = 244 W;
        # nearly empty: 11.09^2 / (4 * 60 mohm) = 512 W
        (22, 20, []),
        # 33 A * 11.1 V = 366 W: too much for the cold cells alone
        (33, 20, ["cold"]),
        # 50 A * 11.1 V = 555 W: for 11.98^2 / 0.24 = 598 W just not
        (50, 20, ["low-packs", "cold"]),
        # 60 A * 11.1 V = 666 W: even for a full pack, 12.6^2 / 0.24 = 661 W
        (60, 20, FULL),
    ],
)
def test_by_the_law_of_maximum_power(amps: float, ohms: float, cases: list[str]) -> None:
    findings = found(amps, ohms)
    assert len(findings) == bool(cases)
    for finding in findings:
        assert finding.severity is Severity.DANGER
        assert [label for label, _ in finding.numbers] == [f"in {case}" for case in cases]
        assert finding.parts == ("esc", "main")
        assert finding.span.line == 7
        assert 'pack "main" cannot give what ESC "esc" asks for' in finding.message


def test_the_other_cases_are_judged_all_the_same() -> None:
    """33 A through an XT30, which bears 15 A by the cautious figure (common practice)."""
    text = PLAN.format(amps=33, ohms=20).replace("AS150", "XT30")
    rules = [f.rule for f in report_of(text).findings]
    assert "plug-load" in rules
    assert "supply-breaks-down" in rules


def test_a_short_circuit_speaks_for_itself() -> None:
    text = PLAN.format(amps=60, ohms=20).replace("supply: main", "supply: j") + (
        "  other: {chemistry: lipo, cells: 4, capacity: 5 Ah}\n"
        "power-leads:\n  j: {kind: parallel, supply: [main, other]}\n"
    )
    rules = [f.rule for f in report_of(text).findings]
    assert "unlike-parallel-packs" in rules
    assert not {"supply-breaks-down", "plug-load", "wire-load", "pack-load"} & set(rules)
