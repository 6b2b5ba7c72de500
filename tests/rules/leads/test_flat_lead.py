"""Long flat leads beside motor wires are worth a note: common practice, no published source."""

from __future__ import annotations

import pytest
from support import plan_of, report_of

from harness.airframe.kit.fit import misfits, need_of
from harness.diagram.lead_ribbons import gauge_of
from harness.drawing.ribbon import CONTROL, TWISTED
from harness.wiring.build import build

TEXT = """
plan: 1
aircraft: Garganey 2
places:
  fuselage: {at: 400 mm}
  wing: {joins: fuselage, side: left, at: {aft: 400 mm, out: 700 mm}}
transmitter: {order: AETR}
channels: {1: aileron, 3: {function: throttle, failsafe: off}}
receivers:
  rx: {sockets: 6, supply-sockets: 0, place: fuselage, at: 400 mm}
servos:
  aileron: {class: 9g-analogue, moves: aileron, shaft: left, place: wing, plug: ext.1,
    at: {aft: 400 mm, out: 750 mm}, length: 300 mm, wire: 26 AWG}
escs:
  esc: {rated: 40 A, cells-max: 4, bec: {kind: switching, volts: 5 V, rated: 3 A}, plug: rx.3,
    supply: main, place: fuselage, at: 400 mm, wire: 14 AWG, length: 100 mm, connector: XT60,
    lead-length: 150 mm, lead-wire: 26 AWG}
motors:
  motor: {plug: esc, place: wing, at: {aft: 400 mm, out: 700 mm}, length: 1000 mm, wire: 14 AWG,
    full-throttle: 20 A, rotation: clockwise}
leads:
  ext: {kind: extension, plug: rx.1, length: 900 mm, wire: 22 AWG, wires: flat, tested: yes}
packs:
  main: {chemistry: lipo, cells: 3, capacity: 3 Ah, rate: 35 C, connector: XT60, wire: 12 AWG,
    length: 80 mm, place: fuselage, at: 300 mm}
"""


def notes(old: str, new: str) -> list[str]:
    assert old in TEXT
    return [f.message for f in report_of(TEXT.replace(old, new)).findings if f.rule == "flat-lead"]


def test_the_flat_one_is_named_with_its_length() -> None:
    (one,) = notes("plan: 1", "plan: 1")
    assert 'extension "ext"' in one
    assert "for 700 mm" in one  # from fuselage to wing; in the wing the motor is at once


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("wires: flat", "wires: twisted"),
        (", wires: flat", ""),
        # The motor beside its ESC: its wires pass no joint.
        ("motor: {plug: esc, place: wing, at: {aft: 400 mm, out: 700 mm}",
         "motor: {plug: esc, place: fuselage, at: 300 mm"),
        # Half of the way: 350 mm are not long.
        ("out: 700 mm", "out: 350 mm"),
    ],
)  # fmt: skip
def test_others_are_not(old: str, new: str) -> None:
    assert notes(old, new) == []


def test_the_kit_keeps_the_two_apart_and_the_picture_shows_it() -> None:
    kit = "kit: [{kind: extension, length: 900 mm, wire: 22 AWG, wires: twisted}]\n"
    plan = plan_of(TEXT + kit)
    need = need_of(plan.parts["ext"])
    assert need is not None
    assert list(misfits(need, plan.kit[0])) == ["its wires are twisted, the plan wants them flat"]
    for way, gauge in (("flat", CONTROL), ("twisted", TWISTED)):
        wiring = build(plan_of(TEXT.replace("wires: flat", f"wires: {way}")))
        assert gauge_of(wiring.by_plug["ext", "plug"]) == gauge
