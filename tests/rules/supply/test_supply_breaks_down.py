"""Cells that fall below what damages them: 3.0 V of lithium (PX4 user guide, battery page)."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq
from support import report_of

from harness.base.finding import Finding, Severity
from harness.electrics.solver.layout import Layout
from harness.electrics.solver.newton import Solver

PLAN = """
escs:
  esc: {{rated: 200 A, bec: none, supply: main, connector: AS150, wire: 8 AWG, length: 10 mm}}
motors:
  m: {{full-throttle: {amps} A, full-throttle-volts: 11.1 V, resistance: 10 mohm, no-load: 1 A,
    plug: esc}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 90 C, connector: AS150,
    cell-resistance: {ohms} mohm, wire: 8 AWG, length: 10 mm}}
"""
REST = {0.8: 3.994, 0.2: 3.695, 1.0: 4.2}
"""V a cell at rest by charge (parameter set Ai2020 of PyBaMM)."""


def cell(amps: float, ohms: float, charge: float) -> float:
    """Volts a cell under full throttle: motor, propeller and pack by an independent solver."""
    load = (amps - 1) / (11.1 - 0.01 * amps) ** 2
    whole, rest = 3 * ohms / 1000, 3 * REST[charge]
    own = brentq(lambda e: e + (whole + 0.01) * (1 + load * e**2) - rest, 0, rest)
    return (rest - whole * (1 + load * float(own) ** 2)) / 3


def found(amps: float, ohms: float) -> list[Finding]:
    report = report_of(PLAN.format(amps=amps, ohms=ohms))
    return [f for f in report.findings if f.rule == "supply-breaks-down"]


@pytest.mark.parametrize(
    ("amps", "ohms", "severity", "case"),
    [
        (60, 10, None, ""),
        (52, 20, Severity.WARNING, "cold"),  # cold cells resist twice as much (memory)
        (75, 25, Severity.ERROR, "full-throttle"),
    ],
)
def test_by_the_cells_volts(amps: float, ohms: float, severity: Severity | None, case: str) -> None:
    least = {"full-throttle": cell(amps, ohms, 0.8), "low-packs": cell(amps, ohms, 0.2),
             "cold": cell(amps, 2 * ohms, 1.0)}  # fmt: skip
    assert (least["full-throttle"] < 3) == (severity is Severity.ERROR)
    assert any(volts < 3 for volts in least.values()) == bool(case)
    findings = found(amps, ohms)
    assert [f.severity for f in findings] == ([severity] if severity else [])
    for finding in findings:
        assert finding.parts == ("main", "esc")
        assert finding.span.line == 7
        assert f"(in {case})" in finding.message
        # two decimals of a volt: the wires and contacts between take a few millivolt a cell
        told = float(finding.message.partition("fall to ")[2].split()[0])
        assert told == pytest.approx(least[case], abs=0.015)


def test_the_other_rules_judge_all_the_same() -> None:
    """33 A through an XT30, which bears 15 A by the cautious figure (common practice)."""
    text = PLAN.format(amps=33, ohms=40).replace("AS150", "XT30")
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


def test_what_could_not_be_worked_out_is_said_not_passed_over(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """No step of the solver leads anywhere: no case is judged, and none is told as sound."""
    nowhere = lambda self, values, right: np.full_like(right, np.nan)  # noqa: E731
    monkeypatch.setattr(Solver, "_linear_solve", nowhere)
    (one,) = found(20, 2)
    assert one.severity is Severity.DANGER
    assert "could not be worked out" in one.message
    assert "full-throttle" in one.message
    assert "no load, no volts and no heat are judged there" in one.message


def test_a_network_refused_as_a_whole_is_said_too(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Layout, "bare_loop", True)
    (one,) = found(20, 2)
    assert one.severity is Severity.DANGER
    assert one.message.startswith("the currents could not be worked out (the network: sources")
