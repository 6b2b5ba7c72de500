"""Linear BEC heat. Watts per ampere at 5 V: 2S 3.4, 3S 7.6, 4S 11.8, 6S 20.2 (trade figures, common
practice, no source); 4.2 V a full cell: PX4 user guide."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity
from harness.facts.supplied import linear_heat

PLAN = """
packs:
  main: {{chemistry: lipo, cells: {cells}}}
receivers:
  rx: {{sockets: 4}}
servos:
  rudder: {{class: {servo}, plug: rx.4}}
escs:
  esc: {{cells-max: 12, bec: {{volts: 5 V{bec}}}, plug: {plug}, supply: main}}
"""


def judged(
    cells: int,
    bec: str = ", kind: linear, rated: 2 A",
    plug: str = "rx.3",
    servo: str = "9g-analogue",
) -> tuple[list[Finding], list[str]]:
    report = report_of(PLAN.format(cells=cells, bec=bec, plug=plug, servo=servo))
    found = [f for f in report.findings if f.rule == "linear-bec-heat"]
    return found, [u.missing for u in report.unknown if u.rule == "linear-bec-heat"]


@pytest.mark.parametrize(("cells", "watts"), [(2, 3.4), (3, 7.6), (4, 11.8), (6, 20.2)])
def test_watts_for_each_ampere(cells: int, watts: float) -> None:
    assert linear_heat(cells * 4.2, 5.0, 1.0) == pytest.approx(watts)


@pytest.mark.parametrize(("cells", "says"), [(4, "11.8 W for each ampere"), (6, "20.2 W for each")])
def test_four_cells_and_more_are_a_danger(cells: int, says: str) -> None:
    ((finding,), _) = judged(cells)
    assert finding.severity is Severity.DANGER
    assert says in finding.message
    # taxi: 0.25 A rudder moving + 0.1 A receiver = 0.35 A (trade figures); 11.8 * 0.35 = 4.1 W
    assert cells != 4 or "4.1 W at the 0.35 A" in finding.message


def test_three_cells_bear_half_the_rating() -> None:
    """0.35 A against half of 0.6 A and half of 0.7 A."""
    assert [f.severity for f in judged(3, ", kind: linear, rated: 0.6 A")[0]] == [Severity.ERROR]
    assert judged(3, ", kind: linear, rated: 0.7 A") == ([], [])


@pytest.mark.parametrize(
    ("cells", "bec", "plug"),
    [
        (2, ", kind: linear, rated: 2 A", "rx.3"),
        (6, ", kind: switching, rated: 2 A", "rx.3"),
        (4, ", kind: linear, rated: 2 A", "{into: rx.3, pulled: positive}"),
    ],
)
def test_two_cells_switching_or_pulled(cells: int, bec: str, plug: str) -> None:
    assert judged(cells, bec, plug) == ([], [])


def test_not_said_is_unknown() -> None:
    assert judged(4, ", rated: 2 A") == ([], ['whether the BEC of ESC "esc" is linear (bec: kind)'])
    assert judged(3, ", kind: linear") == (
        [],
        ['what the BEC of ESC "esc" gives continuously (bec: rated)'],
    )
    assert judged(2, "") == ([], [])


def test_a_stand_alone_regulator_has_no_red_pin_to_pull() -> None:
    """What is to be done differs: a regulator of its own is changed, not pulled."""
    text = """
receivers: {rx: {sockets: 4}}
servos: {a: {class: 17g-digital, plug: rx.1}}
regulators: {reg: {kind: linear, volts: 5 V, rated: 3 A, supply: main, plug: rx.batt}}
packs: {main: {chemistry: lipo, cells: 4}}
"""
    (found,) = [f for f in report_of(text).findings if f.rule == "linear-bec-heat"]
    assert found.help == "put a switching regulator in its place"
