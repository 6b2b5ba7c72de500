"""Whatever has two poles, wired backwards in whatever way: told once, and by a rule on polarity.

That two crossings in a row undo each other is plain parity; what becomes of each kind of part fed
backwards is common practice, no source. Pin order: Arduino and PX4 documentation (power in the
middle), so that a plug of three pins turned round swaps signal and negative, one of two the poles.
"""

from __future__ import annotations

import pytest
from support import report_of, rules_of

from harness.base.finding import Finding, Severity

BASE = """
channels: {3: {function: throttle, failsafe: off}, 5: {function: gear, failsafe: hold}, 6: lamp}
receivers: {rx: {sockets: 8, telemetry: tele, volts-max: 9 V}}
packs:
  radio: {chemistry: lipo, cells: 2, capacity: 2.2 Ah, rate: 25 C, connector: bullet-4mm}
  drive: {chemistry: lipo, cells: 3, capacity: 5 Ah, rate: 60 C, connector: bullet-4mm}
regulators:
  reg: {kind: switching, volts: 6 V, rated: 8 A, burst: 12 A, cells-max: 3, metered: 6 V,
        connector: bullet-4mm, connector-out: bullet-4mm, supply: {into: radio, poles: straight},
        plug: [rx.batt, rx.8]}
"""
BOX = """
sequencers:
  box: {plug: rx.5, outlets: [leg, other], motor-outlets: [leg, other], power-up: holds,
        length: 200 mm}
"""
SWAP = "map: {positive: negative, negative: positive}"
COLOURS = 'ends: {plug: [WH, RD, BK], "1": [WH, BK, RD]}'

LEG = BOX + "retracts: {it: {kind: bare-motor, class: small, plug: {into: %s%s}}}\n"
OWN_LEG = "retracts: {it: {kind: self-contained, class: small, plug: {into: %s%s}}}\n"
LAMP = "loads: {it: {current: 300 mA, moves: lamp, volts-max: 9 V, plug: {into: %s%s}}}\n"
SERVO = "servos: {it: {class: 9g-analogue, moves: lamp, plug: {into: %s%s}}}\n"
FED_LAMP = (
    "loads: {it: {current: 300 mA, volts-max: 20 V, connector: bullet-4mm, supply: {into: %s%s}}}\n"
)
FED_BOX = (
    "sequencers: {it: {plug: {into: rx.5, pulled: positive}, outlets: 1, power-up: holds,"
    " connector: bullet-4mm, length: 200 mm, supply: {into: %s%s}}}\n"
    "retracts: {leg: {kind: self-contained, class: small, plug: it.1}}\n"
)
ESC = (
    "escs: {it: {bec: none, rated: 40 A, connector: bullet-4mm, plug: {into: rx.3, pulled:"
    " positive}, supply: {into: %s%s}}}\n"
)
LEAD = "leads: {ext: {kind: custom, tested: yes, plug: %s, %s}}\n"
POWER = (
    "power-leads: {ext: {kind: adapter, crossed: %s, connector: bullet-4mm,"
    " supply: {into: %s, poles: straight}}}\n"
)

CONTROL = [(LEG, "box.leg"), (OWN_LEG, "rx.5"), (LAMP, "rx.6"), (SERVO, "rx.6")]
FED = [(FED_LAMP, "reg.out"), (FED_LAMP, "drive"), (FED_BOX, "reg.out"), (ESC, "drive")]


def only(text: str) -> Finding:
    found = [f for f in report_of(BASE + text).findings if f.severity > Severity.NOTE]
    assert len(found) == 1, [(f.rule, f.message) for f in found]
    return found[0]


@pytest.mark.parametrize(("device", "socket"), CONTROL)
@pytest.mark.parametrize(
    "fault", ["at the join", "as found", "by the map", "by the colours", "as found at the lead"]
)
def test_crossed_poles_on_the_control_side(device: str, socket: str, fault: str) -> None:
    text = {
        "at the join": device % (socket, ", poles: crossed"),
        "as found": device % (socket, "") + "as-found: [{end: it, fact: crossed}]\n",
        "by the map": device % ("ext.1", "") + LEAD % (socket, SWAP),
        "by the colours": device % ("ext.1", "") + LEAD % (socket, COLOURS),
        "as found at the lead": device % ("ext.1", "")
        + LEAD % (socket, "length: 300 mm")
        + "as-found: [{end: ext, fact: crossed}]\n",
    }[fault]
    found = only(text)
    assert found.rule == "pins-swapped"
    assert "it" in found.parts
    bare = "bare-motor" in text
    assert found.severity is (Severity.ERROR if bare else Severity.DANGER)
    assert ("goes up when the box says down" in found.message) is bare
    assert ("will" in found.message) is not bare


@pytest.mark.parametrize(("device", "socket"), CONTROL)
def test_two_crossings_in_control_leads_undo_each_other(device: str, socket: str) -> None:
    assert rules_of(BASE + device % ("ext.1", ", poles: crossed") + LEAD % (socket, SWAP)) == []


@pytest.mark.parametrize(("device", "socket"), CONTROL)
def test_straight_is_no_fault(device: str, socket: str) -> None:
    assert rules_of(BASE + device % (socket, "")) == []
    assert rules_of(BASE + device % ("ext.1", "") + LEAD % (socket, "length: 300 mm")) == []


@pytest.mark.parametrize(("device", "socket"), CONTROL)
def test_a_turned_plug(device: str, socket: str) -> None:
    found = only(device % (socket, ", turned: yes"))
    assert (found.rule, found.severity) == ("turned-plug", Severity.ERROR)
    assert ("goes up when the box says down" in found.message) is ("bare-motor" in device)


@pytest.mark.parametrize("wire", ["28 AWG", "22 AWG", "16 AWG"])
def test_no_wire_is_thick_enough_to_silence_a_leg_that_goes_the_wrong_way(wire: str) -> None:
    leg = LEG.replace("class: small", f"class: small, wire: {wire}")
    assert only(leg % ("box.leg", ", poles: crossed")).rule == "pins-swapped"


def test_legs_on_one_y_lead_are_told_together() -> None:
    legs = (
        "retracts:\n  a: {kind: bare-motor, class: small, plug: y.1}\n  b: {like: a, plug: y.2}\n"
    )
    y = "leads: {y: {kind: y, plug: {into: box.leg, poles: crossed}}}\n"
    found = only(BOX + legs + y)
    assert (found.rule, found.severity) == ("pins-swapped", Severity.ERROR)
    assert "go up when the box says down" in found.message
    assert {"a", "b"} <= set(found.parts)


@pytest.mark.parametrize(("device", "source"), FED)
@pytest.mark.parametrize("fault", ["at the join", "as found", "by an adapter"])
def test_crossed_poles_on_the_battery_side(device: str, source: str, fault: str) -> None:
    text = {
        "at the join": device % (source, ", poles: crossed"),
        "as found": device % (source, ", poles: straight")
        + "as-found: [{end: it.supply, fact: crossed}]\n",
        "by an adapter": device % ("ext.1", ", poles: straight") + POWER % ("yes", source),
    }[fault]
    found = only(text)
    assert (found.rule, found.severity) == ("poles-crossed", Severity.DANGER)
    # 3 cells of 3.7 V nominal: PX4 user guide, battery page; or what the regulator states
    volts = "6 V backwards" if "reg" in source else "11.1 V backwards"
    # the box's own ground already meets the regulator's, by the receiver
    assert ('"reg" is shorted' if device is FED_BOX else volts) in found.message


@pytest.mark.parametrize(("device", "source"), FED)
def test_two_crossings_on_the_battery_side_undo_each_other(device: str, source: str) -> None:
    text = device % ("ext.1", ", poles: crossed") + POWER % ("yes", source)
    assert rules_of(BASE + text) == []
    assert rules_of(BASE + device % (source, ", poles: straight")) == []


@pytest.mark.parametrize("fault", ["poles: crossed", "found"])
def test_a_capacitor_soldered_the_wrong_way_round_bursts(fault: str) -> None:
    own = ", poles: crossed" if fault != "found" else ""
    text = ESC % ("drive", ", poles: straight") + (
        f"capacitors: {{caps: {{across: it, value: 220 uF, volts: 25 V{own}}}}}\n"
    )
    text += "as-found: [{end: caps, fact: crossed}]\n" if fault == "found" else ""
    found = only(text)
    assert (found.rule, found.severity) == ("poles-crossed", Severity.DANGER)
    assert 'capacitor "caps" is fed 11.1 V backwards and will burst' in found.message


def test_a_capacitor_at_a_crossed_esc_is_told_with_it() -> None:
    caps = "capacitors: {caps: {across: it, value: 220 uF, volts: 25 V}}\n"
    found = only(ESC % ("drive", ", poles: crossed") + caps)
    assert {"it", "caps"} <= set(found.parts)


def test_a_sensor_tapped_the_wrong_way_round() -> None:
    sensor = (
        "sensors: {it: {plug: rx.tele, isolated: yes, supply: {into: drive, poles: crossed}}}\n"
    )
    assert only(sensor).rule == "poles-crossed"


def test_outputs_of_two_regulators_joined_the_wrong_way_round() -> None:
    other = (
        "  two: {kind: switching, volts: 6 V, rated: 8 A, isolated: yes, connector: bullet-4mm,"
        " connector-out: bullet-4mm, supply: {into: drive, poles: straight}}\n"
        "power-leads: {both: {kind: parallel, connector: bullet-4mm, supply: [{into: reg.out,"
        " poles: straight}, {into: two.out, poles: %s}]}}\n"
    )
    told = {poles: rules_of(BASE + other % poles) for poles in ("crossed", "straight")}
    assert "reversed-pack" in told["crossed"]
    assert "reversed-pack" not in told["straight"]
