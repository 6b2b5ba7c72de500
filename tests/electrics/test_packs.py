"""What a cell resists, by hand. Figures of cells are from memory, but for the PX4 guide's 5 mohm.

A maker's rate is what a cell gives at a loss of volts that he thinks fit, so volts over amperes at
that rate is its resistance: 0.5 V at most and 0.25 V at least (memory).
"""

from __future__ import annotations

import numpy as np
import pytest
from support import plan_of

from harness.electrics.cases import built_in
from harness.electrics.network import network_of
from harness.electrics.packs import cell_ohms, packs_of
from harness.parts.figure import Figure
from harness.wiring.build import build


def ohms(text: str, *, stiff: bool = False, more: str = "") -> Figure:
    plan = plan_of(f"{more}packs: {{p: {{cells: 1, {text}}}}}\n")
    return cell_ohms(plan, packs_of(plan)[0], stiff=stiff)


@pytest.mark.parametrize(
    ("text", "sag", "least"),
    [
        # no rate: 5 mohm at 5 Ah (PX4 user guide), and a good one a quarter of it
        ("chemistry: lipo, capacity: 5 Ah", 5, 1.25),
        ("chemistry: lipo, capacity: 2.5 Ah", 10, 2.5),
        # 0.5 V / (40 C x 5 Ah) = 2.5 mohm and 0.25 V / 200 A: two to four times less than 5
        ("chemistry: lipo, capacity: 5 Ah, rate: 40 C", 2.5, 1.25),
        ("chemistry: lipo, capacity: 2.2 Ah, rate: 25 C", 9.0909, 4.5455),
        # never above what a cell without a rate is taken for; the other end half of it
        ("chemistry: lipo, capacity: 5 Ah, rate: 10 C", 5, 2.5),
        # a label of 120 C is trusted like one of 60 C where it would flatter, and taken at its word
        # where it would hide a current
        ("chemistry: lihv, capacity: 1 Ah, rate: 120 C", 8.3333, 2.0833),
        # a 2 Ah cell about 25 mohm; at 4 Ah half of it
        ("chemistry: nimh, capacity: 2 Ah", 25, 15),
        ("chemistry: nimh, capacity: 4 Ah", 12.5, 7.5),
        # 0.7 V / (30 C x 2.5 Ah) for LiFe
        ("chemistry: life, capacity: 2.5 Ah, rate: 30 C", 9.3333, 4.6667),
        ("chemistry: liion, capacity: 3 Ah, rate: 10 C", 16.6667, 8.3333),
        # what was measured is both ends
        ("chemistry: lipo, capacity: 5 Ah, rate: 40 C, cell-resistance: 3 mohm", 3, 3),
    ],
)
def test_a_cell_by_chemistry_capacity_and_rate(text: str, sag: float, least: float) -> None:
    assert ohms(text).number * 1000 == pytest.approx(sag, rel=1e-4)
    assert ohms(text, stiff=True).number * 1000 == pytest.approx(least, rel=1e-4)
    stated = "cell-resistance" in text
    for stiff in (False, True):
        origin = ohms(text, stiff=stiff).origin
        assert origin.startswith("plan line" if stated else "catalogue packs"), origin


@pytest.mark.parametrize("stiff", [False, True])
def test_a_class_of_the_plan_goes_before_the_label(stiff: bool) -> None:
    own = "classes: {packs: {lipo: {cell-resistance: 2 mohm}}}\n"
    text = "chemistry: lipo, capacity: 2.5 Ah, rate: 10 C"
    assert ohms(text, stiff=stiff, more=own).number == pytest.approx(0.004)


def test_only_packs_just_joined_are_taken_at_their_best() -> None:
    """Sag by 0.5 V / (40 C x 5 Ah) a cell, what flows between packs by half of it; 20 degC."""
    plan = plan_of("""
packs:
  a: {chemistry: lipo, cells: 4, capacity: 5 Ah, rate: 40 C}
  b: {like: a}
power-leads: {j: {kind: parallel, supply: [a, b]}}
""")
    cases = [case for case in built_in(plan) if case.name in {"joined", "radio-on"}]
    assert [case.name for case in cases] == ["joined", "radio-on"]
    for source in network_of(build(plan), cases).circuit.sources:
        assert np.asarray(source.ohms) == pytest.approx([4 * 1.25e-3, 4 * 2.5e-3])
