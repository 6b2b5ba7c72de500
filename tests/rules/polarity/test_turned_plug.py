"""A plug turned. Pin order: ArduPilot and PX4 documentation (power in the middle)."""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Severity

BASE = """
receivers:
  rx: {sockets: 4%s}
packs:
  radio: {chemistry: nimh, cells: 4, plug: rx.batt}
servos:
  rudder: {class: 9g-analogue, moves: rudder, plug: %s%s}
"""
TURNED = "{into: rx.4, turned: yes}"
OUTSIDE = ", pins: [signal, negative, positive]"
FOUND = "as-found:\n  - {end: %s, fact: turned}\n"


def found(plan: str) -> list[tuple[str, Severity]]:
    return [(f.rule, f.severity) for f in report_of(plan).findings if f.severity > Severity.NOTE]


@pytest.mark.parametrize(
    ("plan", "severity"),
    [
        (BASE % ("", TURNED, ""), Severity.ERROR),
        (BASE % ("", "rx.4", "") + FOUND % "rudder", Severity.ERROR),
        (BASE % ("", "rx.4", "") + FOUND % "rx.4", Severity.ERROR),
        (BASE % ("", "rx.4", OUTSIDE), Severity.DANGER),
        (BASE % (", keyed: yes", TURNED, ""), Severity.ERROR),
    ],
)
def test_it_fires_once_and_alone(plan: str, severity: Severity) -> None:
    assert found(plan) == [("turned-plug", severity)]


def test_a_key_refuses() -> None:
    (finding,) = report_of(BASE % (", keyed: yes", TURNED, "")).findings[:1]
    assert "will not go into rx.4" in finding.message


@pytest.mark.parametrize(
    "plan",
    [
        BASE % ("", "rx.4", ""),
        # the reverse order, turned: every pin meets its own kind again
        BASE % ("", TURNED, ", pins: [negative, positive, signal]"),
        BASE % ("", "adapter.1", OUTSIDE) + "leads:\n  adapter: {kind: custom, plug: rx.4,"
        " socket-pins: [signal, negative, positive]}\n",
    ],
)
def test_pins_that_meet_their_own_kind_are_no_fault(plan: str) -> None:
    assert rules_of(plan) == []


def test_a_turned_pack_is_told_once() -> None:
    plan = BASE % ("", "rx.4", "") + FOUND % "radio"
    assert [rule for rule, _ in found(plan)] == ["turned-plug"]
