"""The radio on one plug: 3 to 5 A through one lead, two double it (common practice, no source)."""

from __future__ import annotations

import re

import pytest
from support import report_of, rules_of

PLAN = """
receivers:
  rx: {{sockets: 8, supply-sockets: 2}}
servos:
  a: {{stall: {stall}, moves: aileron-left, plug: rx.1}}
  b: {{stall: {stall}, moves: elevator, plug: rx.2}}
{more}regulators:
  reg: {{volts: 6 V, rated: {rated}, burst: 40 A, plug: {plug}}}
"""
MINE = {"one-supply-plug", "lead-load", "bec-load", "switch-load"}


def found(stall: str, plug: str = "rx.batt-1", rated: str = "20 A", more: str = "") -> list[str]:
    text = PLAN.format(stall=stall, plug=plug, rated=rated, more=more)
    return [rule for rule in rules_of(text) if rule in MINE]


@pytest.mark.parametrize(
    ("stall", "rules"),
    [
        ("2.45 A", []),  # 4.9 A and 0.1 A of the receiver: less than 5 A through any lead
        # 6 V / 3.5 A = 1.71 ohm and a lead of 0.11, two side by side, 0.14 of the supply: 5.7 A
        ("3.5 A", ["one-supply-plug"]),
        ("6 A", ["one-supply-plug"]),
    ],
)
def test_one_plug(stall: str, rules: list[str]) -> None:
    assert found(stall) == rules


def test_a_second_lead_doubles_it() -> None:
    assert found("3.5 A", "[rx.batt-1, rx.batt-2]") == []


def test_a_supply_that_is_too_weak_as_it_is_comes_first() -> None:
    assert found("2.5 A", rated="1 A") == ["bec-load"]


def test_through_a_switch_it_is_still_one_plug() -> None:
    more = "switches:\n  sw: {plug: rx.batt-1}\n"
    assert found("5 A", "sw.1", more=more) == ["one-supply-plug"]


def test_a_bec_through_the_throttle_lead() -> None:
    text = PLAN.format(stall="3.5 A", plug="rx.3", rated="20 A", more="")
    text = text.replace(
        "regulators:\n  reg: {volts: 6 V, rated: 20 A, burst: 40 A, plug: rx.3}",
        "escs:\n  e: {plug: rx.3, bec: {volts: 6 V, rated: 9 A, burst: 19 A}}",
    )
    assert [rule for rule in rules_of(text) if rule in MINE] == ["one-supply-plug"]
    (told,) = [f for f in report_of(text).findings if f.rule == "one-supply-plug"]
    # an ESC has one signal lead: a second supply lead means a regulator (common practice)
    assert "has one lead: pull its red pin and feed rx from a regulator of" in told.help


def test_no_one_is_told_to_plug_in_eleven_leads() -> None:
    """Five servos of 8.4 V / 10 A (trade figures) and 0.05 ohm of lead each, 0.14 ohm before.

    8 V / (0.89 / 5 + 0.14) = 25 A and 0.1 A over contacts of 5 A: six plugs.
    """
    servos = "\n".join(f"  s{n}: {{class: giant-hv, plug: rx.{n}}}" for n in range(1, 6))
    text = f"""
receivers: {{rx: {{sockets: 6, volts-max: 8.4 V}}}}
servos:
{servos}
regulators: {{reg: {{kind: switching, volts: 8 V, rated: 30 A, burst: 60 A, plug: rx.batt}}}}
"""
    (found,) = [f for f in report_of(text).findings if f.rule == "one-supply-plug"]
    assert re.search(r"and 25(\.\d)? A at once", found.message)
    assert "heavier plugs" in found.help
