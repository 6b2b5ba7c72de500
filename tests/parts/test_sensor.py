"""Sensors: the battery line through them, and telemetry that is no channel.

What is expected is the thing itself (what breaks a line breaks all behind it) and Ohm's law; which
sockets carry telemetry is common practice, no published source.
"""

from __future__ import annotations

import pytest
from support import plan_of, report_of, rules_of

from harness.base.finding import Finding, Severity
from harness.electrics.cases import built_in
from harness.electrics.outcome import outcome_of
from harness.electrics.solver.circuit import DECIMALS
from harness.facts.homes import open_channels
from harness.facts.signals import free_sockets
from harness.parts.contacts import Contact
from harness.plan.load import PlanError
from harness.wiring.build import build
from harness.wiring.codes import codes_by_part
from harness.wiring.leads import leads_of

PLAN = """
receivers: {rx: {sockets: 6, telemetry: tele, supply-sockets: 0}}
transmitter: {order: AETR}
channels: {2: elevator, 3: {function: throttle, failsafe: off}}
servos: {elevator: {class: 9g-analogue, moves: elevator, plug: rx.2}}
packs:
  main: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 35 C, connector: XT60, wire: 12 AWG,
    length: 80 mm}
sensors:
  line: {through: yes, supply: main, connector: XT60, wire: 12 AWG, length: 80 mm, plug: rx.tele,
    lead-length: 200 mm, lead-wire: 26 AWG}
escs:
  esc: {rated: 40 A, cells-max: 4, bec: {volts: 5 V, rated: 3 A, metered: 5 V, kind: switching},
    plug: rx.3, supply: line, connector: XT60, wire: 14 AWG, length: 80 mm, lead-length: 200 mm,
    lead-wire: 22 AWG}
motors: {motor: {full-throttle: 25 A, plug: esc, rotation: clockwise}}
"""


def told(*edits: tuple[str, str]) -> list[Finding]:
    return [f for f in report_of(edited(*edits)).findings if f.severity > Severity.NOTE]


def edited(*edits: tuple[str, str]) -> str:
    text = PLAN
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    return text


def test_a_sound_one_is_silent() -> None:
    assert told() == []


@pytest.mark.parametrize("pole", ["positive", "negative"])
def test_its_shunt_takes_volts_by_ohms_law(pole: str) -> None:
    edit = ("through: yes", f"through: yes, isolated: yes, pole: {pole}, resistance: 20 mohm")
    wiring = build(plan_of(edited(edit)))
    case = next(case for case in built_in(wiring.plan) if case.name == "full-throttle")
    outcome = outcome_of(wiring, [case])
    amps = float(outcome.into("esc", "supply")[0])
    ends = [Contact("line", side, pole) for side in ("tap", "load")]
    drop = float(outcome.volts(*ends)[0]) * (1 if pole == "positive" else -1)
    assert amps > 15
    assert drop == pytest.approx(amps * 0.020, abs=10.0**-DECIMALS)
    other = "negative" if pole == "positive" else "positive"
    assert (
        float(outcome.volts(Contact("line", "tap", other), Contact("line", "load", other))[0]) == 0
    )
    # The ESC gets what the pack has left behind its cells, less shunt and copper.
    assert float(outcome.volts_in("esc", "battery")[0]) < 12.6 - drop


@pytest.mark.parametrize(
    ("edit", "rule"),
    [
        (("supply: main,", "supply: {into: main, poles: crossed},"), "poles-crossed"),
        (("supply: line", "supply: {into: line, poles: crossed}"), "poles-crossed"),
        (("supply: main,", "supply: {into: main, pulled: positive},"), "no-source"),
        (("supply: main,", "supply: {into: main, pulled: negative},"), "no-source"),
        (("supply: line", "supply: {into: line, pulled: negative}"), "stray-return"),
        (("escs:", "as-found: [{end: line.in-1, fact: dead}]\nescs:"), "no-source"),
        (("escs:", "as-found: [{end: line.1, wire: positive, fact: open}]\nescs:"), "no-source"),
        ((" supply: main,", ""), "no-source"),
        (("supply: main,", "supply: main.balance,"), "wrong-socket-kind"),
        (("12 AWG, length: 80 mm, plug", "20 AWG, length: 80 mm, plug"), "wire-load"),
        (("through: yes,", "through: yes, rated: 20 A,"), "wire-load"),
        (("connector: XT60, wire: 12 AWG, length: 80 mm, plug",
          "connector: XT60, connector-in: XT90, wire: 12 AWG, length: 80 mm, plug"),
         "connectors-differ"),
        (("plug: rx.tele", "plug: rx.5"), "no-telemetry"),
        (("plug: rx.tele", "plug: {into: rx.tele, pulled: positive}"), "no-source"),
    ],
)  # fmt: skip
def test_the_line_is_seen_through_it(edit: tuple[str, str], rule: str) -> None:
    assert [f.rule for f in told(edit)] == [rule]


def test_above_another_pack_its_data_ground_shorts_the_lower_one() -> None:
    edits = (
        ("supply: main,", "supply: up,"),
        ("sensors:", "  up: {like: main}\npower-leads: {both: {kind: series, supply: [main, line],"
         " connector: XT60, wire: 12 AWG, length: 50 mm}}\nsensors:"),
        ("supply: line", "supply: both"),
        ("cells-max: 4", "cells-max: 6"),
    )  # fmt: skip
    assert [f.rule for f in told(*edits)] == ["upper-pack-tap"]
    assert "upper-pack-tap" not in rules_of(
        edited(*edits, ("through: yes", "through: yes, isolated: yes"))
    )


CHAIN = (
    ("through: yes", "through: yes, passes-on: yes"),
    ("escs:", "  next: {through: yes, supply: line, connector: XT60, wire: 12 AWG, length: 20 mm,"
     " plug: line.next, lead-length: 80 mm, lead-wire: 26 AWG}\nescs:"),
    ("plug: rx.3, supply: line", "plug: rx.3, supply: next"),
)  # fmt: skip


def test_two_in_a_row_pass_line_and_data_on() -> None:
    assert told(*CHAIN) == []
    wiring = build(plan_of(edited(*CHAIN)))
    end = wiring.driver("next")
    assert end is not None
    assert end.short == "rx.tele"


def test_two_that_feed_each_other_are_a_ring() -> None:
    ring = edited(*CHAIN, ("supply: main,", "supply: next,"), ("plug: rx.tele", "plug: next.next"),
                  ("plug: line.next", "passes-on: yes, plug: line.next"))  # fmt: skip
    assert "leads-in-a-ring" in rules_of(ring)


def test_in_a_radio_packs_lead_it_hands_on_what_the_pack_gives() -> None:
    radio = """
receivers: {rx: {sockets: [1, 2, tele]}}
packs: {rp: {chemistry: life, cells: 2, capacity: 1 Ah, rate: 10 C, plug: line.1}}
sensors: {line: {through: yes, out: %s, plug: rx.tele}}
servos: {a: {class: standard-low-torque, moves: aileron, plug: rx.1, volts-max: 8 V}}
channels: {1: aileron}
"""
    assert rules_of(radio % "rx.batt") == []
    assert rules_of(radio % "{into: rx.batt, pulled: negative}") == ["stray-return"]
    assert rules_of(radio % "{into: rx.batt, pulled: positive}") == ["no-source"]


@pytest.mark.parametrize("key", ["rated: 20 A", "resistance: 1 mohm", "pole: negative"])
def test_what_is_said_of_a_line_wants_one(key: str) -> None:
    with pytest.raises(PlanError) as refused:
        plan_of(edited(("through: yes", key)))
    assert "nothing goes through" in str(refused.value.problems[0].message)


@pytest.mark.parametrize("sockets", ["sockets: 6, telemetry: 5", "sockets: [1, 2, 3, 4, sens, 6]"])
def test_a_socket_for_telemetry_is_no_channel(sockets: str) -> None:
    plan = plan_of(
        f"receivers: {{rx: {{{sockets}}}}}\nservos: {{s: {{moves: rudder, plug: rx.1}}}}\n"
        "sensors: {v: {supply: p.balance}}\npacks: {p: {chemistry: lipo, cells: 3}}\n"
        "channels: {1: rudder}"
    )
    wiring, rx = build(plan), plan.parts["rx"]
    name = "5" if "5" in sockets else "sens"
    assert name not in rx.channels
    assert name not in free_sockets(wiring, "rx", wiring.ports["s", "plug"])
    assert "5" not in open_channels(wiring, "gear") or name == "sens"


def test_a_channel_cannot_be_telemetry_by_name() -> None:
    with pytest.raises(PlanError):
        plan_of("receivers: {rx: {sockets: {aile: 1, x: 2}, telemetry: x}}")


def test_an_escs_telemetry_lead_brings_its_bec_along_by_three_wires() -> None:
    esc = """
receivers: {rx: {sockets: 6, telemetry: tele}}
channels: {3: {function: throttle, failsafe: off}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 35 C}}
power-leads: {y: {kind: parallel, ways: 2, supply: main}}
escs: {esc: {bec: {kind: switching, volts: 5 V, rated: 3 A}, plug: {into: rx.3, pulled: positive},
  supply: y.1, telemetry: rx.tele, telemetry-wires: %d}}
regulators: {reg: {kind: switching, volts: 6 V, rated: 5 A, supply: y.2, plug: rx.batt}}
"""
    assert "several-sources" in rules_of(esc % 3)
    assert "several-sources" not in rules_of(esc % 2)
    assert "several-sources" not in rules_of(esc % 1)
    assert "no-telemetry" in rules_of((esc % 1).replace("telemetry: rx.tele", "telemetry: rx.4"))


def test_each_lead_has_a_label_and_the_line_is_one() -> None:
    wiring = build(plan_of(PLAN))
    kinds = [lead.kind for lead in leads_of(wiring) if lead.part.id == "line"]
    assert kinds == ["sensor in line", "sensor data lead"]
    assert codes_by_part(wiring)["line"] == ["SEN-P", "SEN"]


def test_a_wire_too_thin_is_told_the_gauge_that_does() -> None:
    (found,) = told(("12 AWG, length: 80 mm, plug", "20 AWG, length: 80 mm, plug"))
    assert found.help == "use 14 AWG or thicker"
    assert told(("12 AWG, length: 80 mm, plug", "14 AWG, length: 80 mm, plug")) == []
