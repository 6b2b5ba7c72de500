"""Packs side by side: 0.05 and 0.1 V a cell are common practice, no source (trade figures)."""

from __future__ import annotations

import re

import pytest
from support import report_of

from harness.base.finding import Finding, Severity
from harness.electrics import outcome
from harness.electrics.solver.circuit import NotSolved

PLAN = """
packs:
  a: {{chemistry: lipo, cells: {cells}, capacity: 4 Ah, volts: {one} V, {short}{more}}}
  b: {{chemistry: {kind}, cells: {others}, capacity: {held}, volts: {two} V, {short}{more}}}
power-leads:
  both: {{kind: parallel, supply: [a, b], {short}}}
"""
SHORT = "connector: AS150, wire: 8 AWG, length: 1 mm"
"""Next to nothing beside the packs: 4 contacts of 0.25 mohm (memory)."""
FIVE = ", cell-resistance: 5 mohm"
CONTACTS = 4 * 0.25e-3


def amperes(finding: Finding) -> float:
    """The current that a message tells."""
    found = re.search(r"about ([\d.]+) A flow", finding.message)
    assert found
    return float(found[1])


def found(**said: object) -> list[Finding]:
    plain = {"cells": 4, "others": 4, "kind": "lipo", "held": "4 Ah", "more": FIVE, "short": SHORT}
    report = report_of(PLAN.format(**{**plain, **said}))
    return [f for f in report.findings if f.rule == "unlike-parallel-packs"]


@pytest.mark.parametrize(
    ("apart", "severity", "expected"),
    # "0.05 V giving 5 to 10 A", V / (2 * ohm): 5 A at the 5 mohm of the PX4 user guide
    [
        (0.21, Severity.WARNING, 0.21 / (0.040 + CONTACTS)),
        (0.4, Severity.WARNING, 0.4 / (0.040 + CONTACTS)),
        (0.48, Severity.ERROR, 0.48 / (0.040 + CONTACTS)),
    ],
)
def test_metered_volts_apart(apart: float, severity: Severity, expected: float) -> None:
    (finding,) = found(one=15.6, two=round(15.6 + apart, 3))
    assert finding.severity is severity
    assert amperes(finding) == pytest.approx(expected, rel=0.03)  # told to two figures


@pytest.mark.parametrize("apart", [0.0, 0.1, 0.2])
def test_within_the_limit(apart: float) -> None:
    assert found(one=15.6, two=round(15.6 + apart, 3)) == []


def test_the_current_at_a_twentieth_of_a_volt_is_5_to_10_a() -> None:
    """Trade figure: equalising current = volts per cell / (2 * ohms per cell), 5 to 10 A."""
    for ohms, expected in (("5 mohm", 5.1), ("2.5 mohm", 10.2)):  # 0.204 V over the cells alone
        (finding,) = found(one=15.6, two=15.804, more=f", cell-resistance: {ohms}")
        assert amperes(finding) == pytest.approx(expected, rel=0.06)  # and the contacts


def test_one_cell_more_is_a_danger() -> None:
    (finding,) = found(others=3, one=14.8, two=11.1)
    assert finding.severity is Severity.DANGER
    # 3.7 V over 7 cells of 5 mohm and the contacts = 102.8 A, by hand
    assert amperes(finding) == pytest.approx(3.7 / (0.035 + CONTACTS), rel=0.01)


def test_another_chemistry_is_an_error() -> None:
    assert [f.severity for f in found(kind="life", one=14.8, two=13.2)] == [Severity.ERROR]


def test_another_capacity_is_a_note() -> None:
    assert [f.severity for f in found(held="2 Ah", one=15.6, two=15.6)] == [Severity.NOTE]


def test_a_stack_beside_a_pack_of_other_cells() -> None:
    text = """
packs:
  a: {chemistry: lipo, cells: 6, capacity: 4 Ah}
  b: {chemistry: lipo, cells: 3, capacity: 4 Ah}
  c: {chemistry: lipo, cells: 2, capacity: 4 Ah}
power-leads:
  stack: {kind: series, supply: [b, c]}
  both: {kind: parallel, supply: [a, stack.1]}
"""
    rules = [f.rule for f in report_of(text).findings if f.severity is Severity.DANGER]
    assert rules == ["unlike-parallel-packs"]


def test_volts_not_metered_are_unknown() -> None:
    text = PLAN.format(
        cells=4, others=4, kind="lipo", held="4 Ah", more="", short=SHORT, one=1, two=1
    )
    report = report_of(text.replace(", volts: 1 V", ""))
    missing = [(u.rule, u.part) for u in report.unknown]
    assert missing == [("unlike-parallel-packs", "a"), ("unlike-parallel-packs", "b")]


@pytest.mark.parametrize(
    ("charges", "apart", "severity"),
    # PyBaMM's Ai2020 curve: 4.200 V full, 4.088 at 90 %, 3.836 at 60 %; between them straight
    [
        ((100, 60), 4 * (4.2 - 3.836), Severity.ERROR),
        ((100, 93), 4 * 0.7 * 0.112, Severity.WARNING),
        ((100, 97), 0, None),
    ],
)
def test_stated_charges_are_volts_too(
    charges: tuple[int, int], apart: float, severity: Severity | None
) -> None:
    text = PLAN.format(
        cells=4, others=4, kind="lipo", held="4 Ah", more=FIVE, short=SHORT, one=1, two=2
    )
    for volts, charge in zip((1, 2), charges, strict=True):
        text = text.replace(f"volts: {volts} V", f"charge: {charge} %")
    report = report_of(text)
    found = [f for f in report.findings if f.rule == "unlike-parallel-packs"]
    assert [f.severity for f in found] == [severity] * (severity is not None)
    assert not [u for u in report.unknown if u.rule == "unlike-parallel-packs"]
    if found:
        assert amperes(found[0]) == pytest.approx(apart / (0.040 + CONTACTS), rel=0.03)
        assert found[0].parts[0] == "b"


def test_metered_volts_go_before_nominal_ones() -> None:
    """16.7 V against 12.5 V over 7 cells of 1.25 mohm (5 Ah, memory) and 4 contacts: 430 A."""
    text = f"""
packs:
  a: {{chemistry: lipo, cells: 4, volts: 16.7 V, {SHORT}}}
  b: {{chemistry: lipo, cells: 3, volts: 12.5 V, {SHORT}}}
power-leads: {{par: {{kind: parallel, supply: [a, b], {SHORT}}}}}
"""
    (found,) = [f for f in report_of(text).findings if f.rule == "unlike-parallel-packs"]
    assert amperes(found) == pytest.approx(4.2 / (7 * 0.00125 + CONTACTS), rel=0.02)


def test_the_current_is_what_good_cells_let_flow() -> None:
    """0.25 V / (40 C x 4 Ah) = 1.5625 mohm a cell (memory), where a sag is told by twice that."""
    rated = [found(one=15.6, two=15.804, more=more) for more in (", rate: 40 C", "")]
    (by_rate,), (unrated,) = rated
    assert amperes(by_rate) == pytest.approx(0.204 / (8 * 0.0015625 + CONTACTS), rel=0.03)
    # 1.25 mohm at 5 Ah (memory), so 1.5625 at 4 Ah
    assert amperes(unrated) == pytest.approx(0.204 / (8 * 0.0015625 + CONTACTS), rel=0.03)
    assert [label for label, _ in by_rate.numbers][-2:] == ["b", "a"]
    assert "6.25 mohm" in by_rate.numbers[-1][1]
    assert "memory" in by_rate.numbers[-1][1]


def test_what_could_not_be_solved_is_listed_and_told_by_the_packs_alone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Ohm's law over the packs: 0.3 V over 2 * 4 cells of 5 mohm are 7.5 A."""

    def refused(*_: object, **__: object) -> None:
        raise NotSolved("a", "no solution")

    monkeypatch.setattr(outcome, "outcome_of", refused)
    text = PLAN.format(cells=4, others=4, kind="lipo", held="4 Ah", more=FIVE, short=SHORT,
                       one="16", two="15.7")  # fmt: skip
    report = report_of(text)
    (one,) = [f for f in report.findings if f.rule == "unlike-parallel-packs"]
    assert one.severity is Severity.WARNING
    assert amperes(one) == 7.5
    assert "what flows with the leads as they are joined (no solution)" in {
        u.missing for u in report.unknown
    }
