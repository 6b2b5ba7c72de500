"""3-pin contacts: 3 A continuously, 5 A for seconds (common practice, no source).

A stalled servo is a resistor, 6 V over its stall current; the leads on the way add some 0.2 ohm:
two servos of 2.5 A draw less than 5 A together, two of 3.4 A (1.76 ohm each) about 5.4 A.
"""

from __future__ import annotations

import pytest
from support import report_of

from harness.base.finding import Finding
from harness.facts.currents import told
from harness.parts.figure import Draw

PLAN = """
receivers:
  rx: {{sockets: 8, supply-sockets: 4}}
servos:
  a: {{stall: {stall}, moves: flap, plug: y.1}}
  b: {{stall: {stall}, moves: flap, plug: y.2}}
leads:
  y: {{kind: y, plug: {plug}, tested: yes}}
{more}regulators:
  reg: {{volts: 6 V, rated: 20 A, burst: 40 A, plug: [rx.batt-1, rx.batt-2, rx.batt-3]}}
"""


def found(stall: str, plug: str = "rx.1", more: str = "") -> list[Finding]:
    text = PLAN.format(stall=stall, plug=plug, more=more)
    return [f for f in report_of(text).findings if f.rule == "lead-load"]


@pytest.mark.parametrize(("stall", "count"), [("2.5 A", 0), ("3.4 A", 1), ("6 A", 1)])
def test_the_stem_of_a_y(stall: str, count: int) -> None:
    findings = found(stall)
    assert [f.parts[0] for f in findings] == ["y"] * count


def test_one_report_a_run_at_the_joint_nearest_the_receiver() -> None:
    (finding,) = found("4.5 A", "ext.1", "  ext: {kind: extension, plug: rx.1}\n")
    assert finding.parts[0] == "ext"


def test_a_single_servo_is_its_makers_affair() -> None:
    text = PLAN.format(stall="2 A", plug="rx.1", more="").replace(
        "leads:", "  giant: {class: giant-hv, moves: rudder, plug: rx.4}\nleads:"
    )
    assert [f for f in report_of(text).findings if f.rule == "lead-load"] == []


def test_a_sequencer_on_its_signal_lead_alone() -> None:
    """Three legs, 3.2 A each at the stop (memory, weak): 9.6 A through one plug, one report."""
    legs = "".join(
        f"  leg-{n}: {{kind: self-contained, class: medium, plug: {plug}}}\n"
        for n, plug in enumerate(("leg-y.1", "leg-y.2", "box.nose"))
    )
    text = (
        PLAN.format(
            stall="1 A", plug="rx.1", more="  leg-y: {kind: y, plug: box.legs, tested: yes}\n"
        )
        + f"retracts:\n{legs}sequencers:\n  box: {{plug: rx.5, outlets: [legs, nose]}}\n"
    )
    (finding,) = [f for f in report_of(text).findings if f.rule == "lead-load"]
    assert finding.parts[0] == "box"
    assert "9.65 A at once" in finding.message  # and 50 mA of the box itself


def test_several_supply_plugs_that_are_still_too_few_are_one_fault() -> None:
    """Two servos of 0.3 ohm on sockets of their own: about 21 A through three plugs."""
    text = PLAN.format(stall="20 A", plug="rx.1", more="")
    text = text.replace("plug: y.1", "plug: rx.1").replace("plug: y.2", "plug: rx.2")
    text = text.replace("leads:\n  y: {kind: y, plug: rx.1, tested: yes}\n", "")
    findings = [f for f in report_of(text).findings if f.rule == "lead-load"]
    assert [f.parts[0] for f in findings] == ["reg"]


LOOP = """
channels: {1: throttle}
receivers: {rx: {sockets: 6}}
leads: {y: {kind: y, plug: rx.1, tested: yes, length: 100 mm, wire: 22 AWG}}
escs:
  a: {rated: 90 A, bec: none, plug: y.1, supply: hub.1, wire: 14 AWG, length: 1500 mm,
    lead-wire: 22 AWG, lead-length: 100 mm}
  b: {rated: 90 A, bec: none, plug: y.2, supply: hub.2, wire: 14 AWG, length: 100 mm,
    lead-wire: 22 AWG, lead-length: 100 mm}
motors:
  m: {full-throttle: 60 A, plug: a}
  n: {full-throttle: 60 A, plug: b}
power-leads: {hub: {kind: parallel, ways: 2, supply: main, connector: XT90}}
packs:
  main: {chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 60 C, connector: XT90}
  radio: {chemistry: nimh, cells: 5, capacity: 2 Ah, plug: rx.batt}
"""


def test_motor_current_on_its_way_back_wants_no_second_supply() -> None:
    """The loop is opened at the main negatives (PX4 and ArduPilot, ESC grounding pages)."""
    helps = [f.help for f in report_of(LOOP).findings if f.rule == "lead-load"]
    assert helps
    assert all("main negatives" in help_ and "leads" not in help_ for help_ in helps)


def test_the_sum_names_each_part_once_and_what_flows_back() -> None:
    """3.01 A and 0.71 A of one ESC, less 0.67 A of two servos, are 3.05 A (Kirchhoff)."""
    plan = report_of("escs: {e: {}}\nservos: {a: {plug: rx.1}, b: {plug: rx.2}}\n"
                     "receivers: {rx: {sockets: 6}}\n").plan  # fmt: skip
    esc, one, two = (plan.parts[name] for name in ("e", "a", "b"))
    amounts = {
        Draw(esc, "body", 0.0, 0.0, 0.0, "line 1"): 3.01,
        Draw(esc, "battery", 0.0, 0.0, 0.0, "line 2"): 0.71,
        Draw(one, "body", 0.0, 0.0, 0.0, ""): -0.33,
        Draw(two, "body", 0.0, 0.0, 0.0, ""): -0.34,
    }
    assert told(amounts) == "ESC 3.72 A, less what flows back: 2 servos 0.67 A"
