"""What a linear supply bears, by the table of the trade: heat = (full volts - output) x amperes.

Rated at 2S, half at 3S, not used at 4S and above; 3.4, 7.6 and 11.8 W for an ampere at 5 V:
common practice, no source.
"""

from __future__ import annotations

import pytest
from support import plan_of, report_of

from harness.documents.figures.load import load, solved_of
from harness.electrics.supplies import heat_share, supply_bears
from harness.wiring.build import Wiring, build

TEXT = """
receivers: {{rx: {{sockets: 4}}}}
servos: {{rudder: {{class: 9g-analogue, moves: rudder, plug: rx.4}}}}
regulators: {{reg: {{kind: {kind}, volts: 5 V, rated: {rated}{more}, supply: main, plug: rx.batt}}}}
packs: {{main: {{chemistry: lipo, cells: {cells}, capacity: 2 Ah, rate: 20 C}}}}
"""


def wiring(cells: int, kind: str = "linear", rated: str = "3 A", more: str = "") -> Wiring:
    return build(plan_of(TEXT.format(cells=cells, kind=kind, rated=rated, more=more)))


@pytest.mark.parametrize(
    ("cells", "kind", "bears"),
    [(2, "linear", 3.0), (3, "linear", 1.5), (4, "linear", 3 * 3.4 / 11.8), (4, "switching", 3.0)],
)
def test_what_it_bears_for_good(cells: int, kind: str, bears: float) -> None:
    made = wiring(cells, kind)
    limits = supply_bears(made, made.plan.parts["reg"])
    assert limits["steady"].figure.number == pytest.approx(bears, abs=0.005)
    assert limits["burst"].figure.number == 3.0  # its rating: no burst is stated


@pytest.mark.parametrize(
    ("kind", "cells", "share"),
    # LiHV 4.35 V (memory), NiMH 1.4 V (common practice): 3.4 W of two cells over volts less 5
    [("lihv", 2, 3.4 / 3.7), ("nimh", 7, 3.4 / 4.8), ("nimh", 9, 0.5), ("life", 2, 1.0)],
)
def test_between_two_cells_and_three_it_bears_the_heat_of_two(
    kind: str, cells: int, share: float
) -> None:
    text = TEXT.format(cells=cells, kind="linear", rated="3 A", more="")
    made = build(plan_of(text.replace("lipo", kind)))
    found = heat_share(made, made.plan.parts["reg"]).number
    assert found == pytest.approx(share, abs=1e-6)


def test_the_table_shows_what_the_rule_judges_by() -> None:
    """At 3S half of 0.5 A: a moving servo, 0.25 A, and the receiver, 0.1 A, are more."""
    row = next(r for r in solved_of(wiring(3, rated="0.5 A", more=", burst: 2 A")).rows
               if r.kind == "supply")  # fmt: skip
    assert row.steady is not None
    assert row.steady.figure.number == 0.25
    assert row.shares[0][row.lasting > 0].max() == pytest.approx(0.35 / 0.25, rel=1e-4)
    text = TEXT.format(cells=3, kind="linear", rated="0.5 A", more=", burst: 2 A")
    assert "linear-bec-heat" in [f.rule for f in report_of(text).findings]


def test_one_not_to_be_used_is_never_said_to_bear_it() -> None:
    made = wiring(4)
    said = [point.text for point in load(solved_of(made)).sheet.points]
    assert 'regulator "reg" is linear and not to be used on so many cells' in said
    assert "nothing carries more than it bears" not in said
    assert heat_share(made, made.plan.parts["rx"]).number == 1


def test_a_supply_that_gives_out_is_never_said_to_bear_it() -> None:
    """0.6 A of a servo held fast and 0.1 A of the receiver, of a regulator of 0.5 A."""
    sheet = load(solved_of(wiring(2, "switching", rated="0.5 A"))).sheet
    said = [point.text for point in sheet.points]
    assert "nothing carries more than it bears" not in said
    assert any("is asked for 0.7" in s and "and gives 0.50 A" in s for s in said)
