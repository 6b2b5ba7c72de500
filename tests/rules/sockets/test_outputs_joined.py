"""A lead with a plug at either end: one driver a signal wire, one source a rail.

Common practice; the currents by Kirchhoff.
"""

from __future__ import annotations

import pytest
from support import plan_of, report_of

from harness.base.finding import Finding, Severity
from harness.electrics.cases import cases_of
from harness.electrics.outcome import outcome_of
from harness.reading.problems import PlanError
from harness.wiring.build import build

PLAN = """
receivers: {rx: {sockets: 4}, second: {sockets: 4}}
servos: {rudder: {class: 9g-analogue, plug: second.4}}
leads: {between: {kind: two-plug, plug: %s, second-plug: %s, wire: 22 AWG, length: 300 mm}}
regulators: {reg: {volts: 5 V, rated: 5 A, plug: rx.batt, supply: main}}
packs: {main: {chemistry: lipo, cells: 2, capacity: 2 Ah}}
"""


def told(text: str) -> list[Finding]:
    return [f for f in report_of(text).findings if f.severity > Severity.WARNING]


@pytest.mark.parametrize(
    ("one", "other", "rules"),
    [
        ("rx.1", "second.batt", []),
        ("rx.1", "second.1", ["outputs-joined"]),
        ("rx.1", "{into: second.1, pulled: signal}", []),
        ("{into: rx.1, pulled: signal}", "second.1", []),
        ("rx.1", "{into: second.batt, pulled: positive}", ["no-source"]),
        ("rx.1", "{into: second.batt, turned: yes}", ["turned-plug"]),
    ],
)
def test_which_joins_are_at_fault(one: str, other: str, rules: list[str]) -> None:
    assert [f.rule for f in told(PLAN % (one, other))] == rules


def test_through_an_extension_it_is_the_same() -> None:
    text = PLAN % ("more.1", "second.1")
    text = text.replace("leads: {", "leads: {more: {kind: extension, plug: rx.1}, ")
    (only,) = told(text)
    assert only.rule == "outputs-joined"
    assert "rx.1 and second.1" in only.message


def test_it_carries_what_the_second_receiver_draws() -> None:
    """Kirchhoff: all that hangs on the second receiver comes by the one lead."""
    plan = plan_of(PLAN % ("rx.1", "second.batt"))
    outcome = outcome_of(build(plan), cases_of(plan))
    by_lead = abs(outcome.into("between", "second-plug"))
    drawn = outcome.drawn("second") + outcome.drawn("rudder")
    assert by_lead == pytest.approx(drawn, rel=1e-6)


def test_its_ground_carries_motor_current_like_any_other() -> None:
    text = """
receivers: {rx: {sockets: 4}, second: {sockets: 4}}
leads:
  between: {kind: two-plug, plug: rx.1, second-plug: {into: second.1, pulled: %s}, wire: 22 AWG,
    length: 200 mm}
packs: {main: {chemistry: lipo, cells: 4, capacity: 5 Ah, connector: AS150}}
power-leads: {split: {kind: parallel, ways: 2, supply: main, connector: AS150, wire: 8 AWG,
    length: 50 mm}}
escs:
  left: {cells-max: 4, bec: {volts: 5 V}, plug: rx.3, supply: split.1,
    connector: AS150, lead-wire: 22 AWG, lead-length: 100 mm, wire: 14 AWG, length: 3000 mm}
  right: {cells-max: 4, bec: {volts: 5 V}, plug: second.3, supply: split.2,
    connector: AS150, lead-wire: 22 AWG, lead-length: 100 mm, wire: 14 AWG, length: 200 mm}
motors: {one: {full-throttle: 40 A, plug: left}, two: {full-throttle: 40 A, plug: right}}
"""
    loops = [f.rule for f in report_of(text % "[signal, positive]").findings if "loop" in f.rule]
    assert loops == ["ground-loop-share"]
    assert "several-sources" in [f.rule for f in report_of(text % "signal").findings]
    apart = report_of(text % "[signal, positive, negative]").findings
    assert not [f for f in apart if "loop" in f.rule]


def test_a_plug_that_hangs_loose_is_refused() -> None:
    with pytest.raises(PlanError, match="has a plug that goes nowhere"):
        plan_of((PLAN % ("rx.1", "x")).replace(", second-plug: x", ""))
    with pytest.raises(PlanError, match="has one plug"):
        plan_of((PLAN % ("rx.1", "rx.2")).replace("two-plug", "extension"))
