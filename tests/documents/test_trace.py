"""Traces: one part's way to signal and supply, in words."""

from __future__ import annotations

import re

import pytest
from documents.plans import all_wirings, wiring_of

from harness.documents.trace import trace_text
from harness.wiring.codes import codes_of
from harness.wiring.leads import leads_of

WIRINGS = all_wirings()
TWIN = """
places: {fuselage: {}, wing-left: {joins: fuselage, side: left}}
channels: {1: {function: aileron, failsafe: neutral}, 3: throttle}
receivers: {rx: {sockets: 4, place: fuselage}}
servos:
  aileron-left: {class: 9g-analogue, moves: aileron, place: wing-left, plug: y.1}
  loose: {moves: tow}
leads: {y: {kind: y, plug: rx.1, place: fuselage}}
escs:
  esc:
    {plug: {into: rx.3, pulled: positive}, supply: pack, bec: {volts: 5 V, kind: switching}}
motors: {motor: {plug: esc, full-throttle: 30 A}}
packs: {pack: {chemistry: lipo, cells: 3}, radio: {chemistry: lipo, cells: 2}}
regulators: {reg: {kind: linear, volts: 5 V, plug: rx.batt, supply: radio}}
"""


def lines_of(part: str, text: str = TWIN) -> list[str]:
    """Return the lines of a trace without their indents."""
    return [line.strip() for line in trace_text(wiring_of(text), part).split("\n")]


@pytest.mark.parametrize("name", WIRINGS)
def test_every_part_has_a_trace_with_its_codes(name: str) -> None:
    wiring = WIRINGS[name]
    codes = codes_of(wiring)
    for part in wiring.plan.parts:
        text = trace_text(wiring, part)
        assert text.startswith(wiring.plan.parts[part].named())
        mine = [codes[lead.key] for lead in leads_of(wiring) if lead.part.id == part]
        assert all(code in text for code in mine)


@pytest.mark.parametrize("name", WIRINGS)
def test_every_join_on_the_way_to_the_signal_is_a_step(name: str) -> None:
    wiring = WIRINGS[name]
    codes = codes_of(wiring)
    for servo in (p for p in wiring.plan.parts.values() if p.word == "servo"):
        text = trace_text(wiring, servo.id)
        for number, mate in enumerate(wiring.upstream(servo.id), 1):
            step = next(s for s in text.split("\n") if s.strip().startswith(f"{number}. "))
            assert mate.plug.part.id in step
            assert f'"{mate.join.part}"' in step
            key = next(k for k in codes if k[0] == mate.plug.part.id and k[1] == mate.plug.name)
            assert codes[key] in step


def test_a_servo_by_hand() -> None:
    lines = lines_of("aileron-left")
    assert lines[0] == 'servo "aileron-left", in wing-left, moves aileron, plan line 8'
    assert lines[2] == (
        '1. AIL-L (servo lead of "aileron-left") goes into socket 1 of AIL-L-Y, lead "y" '
        "(fuselage); crosses the joint of wing-left"
    )
    assert lines[3] == '2. AIL-L-Y (Y-lead "y") goes into socket 1 of receiver "rx" (fuselage)'
    assert lines[4] == "so it obeys channel 1: aileron, failsafe neutral"
    assert 'from regulator "reg": 5 V' in lines


def test_a_figure_names_its_origin() -> None:
    """The stall of the class is the catalogue's row, a plan's own number its line."""
    stall = next(line for line in lines_of("aileron-left") if line.startswith("stall "))
    assert (
        stall == "stall 0.8 A (catalogue servos, 9g-analogue: common practice, no published source)"
    )
    text = TWIN.replace("class: 9g-analogue", "stall: 1.1 A, class: 9g-analogue")
    assert "stall 1.1 A (plan line 8)" in lines_of("aileron-left", text)


def test_a_pulled_pin_cuts_the_supply_and_is_said() -> None:
    lines = lines_of("esc")
    assert any(line.startswith("1. ESC (") and "positive pulled" in line for line in lines)
    assert 'battery side: from pack "pack": 3 cells lipo, 11.1 V nominal' in lines
    assert "signal side: from its own BEC: 5 V" in lines


def test_what_was_found_open_is_said_where_it_is_and_what_lacks_for_it() -> None:
    """Red alone feeds nothing: the thing itself."""
    found = TWIN + "as-found: [{end: y, wire: signal, fact: open}, {end: reg.plug, fact: dead}]\n"
    lines = lines_of("aileron-left", found)
    assert any(line.startswith("2. ") and line.endswith("signal found open") for line in lines)
    assert "so no signal reaches it" in lines
    assert "no supply as it stands: reg.plug was found dead" in lines
    text = TWIN + "as-found: [{end: pack.main, wire: negative, fact: open}]\n"
    lacks = "the black wire of pack.main was found open"
    assert f"no supply as it stands: {lacks}" in lines_of("esc", text)
    motor = TWIN + "as-found: [{end: motor, wire: b, fact: open}]\n"
    assert "so it does not run" in lines_of("motor", motor)


def test_a_motor_obeys_what_its_esc_obeys() -> None:
    lines = lines_of("motor")
    assert "so it obeys channel 3: throttle" in lines
    assert 'through ESC "esc" from pack "pack": 3 cells lipo, 11.1 V nominal' in lines
    assert "full-throttle 30 A (plan line 14)" in lines


def test_a_pack_says_what_it_feeds() -> None:
    lines = lines_of("pack")
    assert 'main: ESC-P (ESC battery wires of "esc")' in lines
    (given,) = [re.search(r"gives ([\d.]+) A continuously", x) for x in lines if "gives" in x]
    assert given
    # 30 A at 11.1 V; a fixed propeller asks for at most the square of the volts.
    most = 30 * (4.2 * 3 / 11.1) ** 2
    assert 30 < float(given[1]) < most


def test_what_is_missing_is_said() -> None:
    lines = lines_of("loose")
    assert 'TOW (servo lead of "loose") goes nowhere: the plan gives it no socket' in lines
    assert "no supply reaches it" in lines
    assert "not known: its stall current, or its class (stall or class)" in lines


def test_a_socket_can_be_traced() -> None:
    assert lines_of("rx.4")[2] == "4: empty"
    assert lines_of("rx.1")[2].endswith('on to servo "aileron-left"')


@pytest.mark.parametrize(
    ("name", "hint"),
    [("aileron-lef", 'did you mean "aileron-left"'), ("rx.44", "has no socket"), ("", "no part")],
)
def test_an_unknown_part_is_refused_with_the_nearest(name: str, hint: str) -> None:
    with pytest.raises(ValueError, match=hint):
        trace_text(wiring_of(TWIN), name)


def test_packs_in_series_and_diodes_are_on_the_way() -> None:
    text = trace_text(WIRINGS["every-kind"], "esc")
    assert 'which stands in series on pack "low"' in text
    assert 'through diode "diode", one way only' in trace_text(WIRINGS["every-kind"], "rx")
