"""A diode conducts from anode to cathode alone: what is behind a turned one is dead."""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding, Severity
from harness.electrics.cases import cases_of
from harness.electrics.network import junction
from harness.electrics.outcome import outcome_of
from harness.plan.plan import Plan
from harness.wiring.build import build

PACKS = """
receivers: {rx: {sockets: 4, supply-sockets: 2}}
servos: {rudder: {class: 9g-analogue, volts-min: 3 V, plug: rx.4}}
diodes:
  a: {kind: schottky, rated: 5 A, plug: rx.batt-1%s}
  b: {kind: schottky, rated: 5 A, plug: %s}
packs:
  one: {chemistry: nimh, cells: 4, capacity: 2 Ah, plug: a.1}
  two: {like: one, plug: b.1}
"""
OUT = ", towards: socket"


def saturation(plan: Plan) -> float:
    """The most that flows against a junction (Shockley: the saturation current), A."""
    return 1.001 * junction(plan, "schottky")[0]


def found(text: str) -> list[Finding]:
    return [f for f in report_of(text).findings if f.severity > Severity.WARNING]


@pytest.mark.parametrize(
    ("a", "b", "said"),
    [
        ("", "rx.batt-2", []),
        (OUT, "rx.batt-2", ['diode "a" conducts only towards its socket, so pack "one" feeds']),
        # both: each is told, and what is dead with both of them once
        (OUT, "rx.batt-2" + OUT, ['diode "a"', 'diode "b"']),
        # one after the other, the second lets through what the first does not
        (", ways: 1", "a.1" + OUT, ['diode "b" conducts only towards its socket, so pack "two"']),
    ],
)
def test_what_a_turned_diode_leaves_without(a: str, b: str, said: list[str]) -> None:
    text = PACKS % (a, b)
    if b.startswith("a.1"):
        text = text.replace("plug: a.1}", "plug: rx.batt-2}")
    told = found(text)
    assert {f.rule for f in told} <= {"diode-backwards"}
    assert len(told) == len(said)
    assert all(f.message.startswith(words) for f, words in zip(told, said, strict=True))


def test_a_row_of_turned_diodes_is_turned_together() -> None:
    text = (PACKS % (OUT, "a.1" + OUT)).replace("  one: {", "  one: {plug: rx.3, ")
    text = text.replace("capacity: 2 Ah, plug: a.1}", "capacity: 2 Ah}").replace("plug: rx.3, ", "")
    text = text.replace("like: one, ", "chemistry: nimh, cells: 4, capacity: 2 Ah, ")
    (only,) = found(text)
    assert only.rule == "diode-backwards"
    assert 'diode "a" conducts only towards its socket and diode "b"' in only.message
    assert 'receiver "rx"' in only.message and "turn them round" in only.help


def test_a_lamp_is_fed_from_the_rail_towards_the_socket() -> None:
    text = PACKS % ("", "rx.batt-2") + "loads: {lamp: {current: 1 A, plug: c.1}}\n"
    text = text.replace("diodes:\n", "diodes:\n  c: {kind: ideal, rated: 5 A, plug: rx.3%s}\n")
    assert found(text % OUT) == []
    (only,) = found(text % "")
    assert only.rule == "diode-backwards"
    assert 'load "lamp" gets no supply' in only.message
    assert "`towards: socket` of c" in only.help


@pytest.mark.parametrize("direction", ["plug", "socket"])
def test_no_current_flows_against_a_diode(direction: str) -> None:
    text = (PACKS % (f", towards: {direction}", "rx.batt-2")).replace(
        "like: one", "like: one, charge: 20 %"
    )
    plan = report_of(text.replace("plug: a.1", "charge: 100 %, plug: a.1")).plan
    outcome = outcome_of(build(plan), cases_of(plan))
    given = outcome.given("one")
    back = saturation(plan)
    assert (given >= -back).all() if direction == "plug" else (given <= back).all()


def test_a_dual_isolator_parts_its_two_packs() -> None:
    """The fuller pack alone feeds; nothing flows into the other: what two diodes are for."""
    text = """
receivers: {rx: {sockets: 4}}
servos: {rudder: {class: 9g-analogue, volts-min: 3 V, plug: rx.4}}
diodes: {pair: {kind: schottky, rated: 5 A, plug: rx.batt, ways: 2}}
packs:
  one: {chemistry: nimh, cells: 4, capacity: 2 Ah, charge: 100 %, plug: pair.1}
  two: {chemistry: nimh, cells: 4, capacity: 2 Ah, charge: 10 %, plug: pair.2}
"""
    assert found(text) == []
    plan = report_of(text).plan
    outcome = outcome_of(build(plan), cases_of(plan))
    joined = [case.name for case in outcome.cases].index("joined")
    assert outcome.given("one")[joined] > 0
    assert abs(outcome.given("two")[joined]) <= saturation(plan)
