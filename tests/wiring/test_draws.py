"""What one part draws. Class values: common practice, no published source (the trade's table)."""

from __future__ import annotations

import pytest
from support import plan_of

from harness.electrics.motors import draw_of
from harness.parts.esc import Esc
from harness.parts.figure import Draw
from harness.parts.motor import Motor
from harness.parts.servo import Servo
from harness.wiring.ratings import together


def draw(text: str) -> Draw:
    plan = plan_of(text)
    found = next(iter(plan.parts.values())).draw(plan.catalogue)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("text", "steady", "moving", "stall"),
    [
        # 17 g digital: 0.2-0.5 A moving, 1.2-1.8 A stall; the cautious end; 30 % continuously
        ("servos:\n  s: {class: 17g-digital}", 0.3 * 1.8, 0.5, 1.8),
        # giant HV: 1-3 A moving, 10 A stall
        ("servos:\n  s: {class: giant-hv}", 3.0, 3.0, 10.0),
        # the plan's own figure goes before the class
        ("servos:\n  s: {class: 17g-digital, stall: 2 A}", 0.6, 0.5, 2.0),
        # no moving current given: 30 % of the stall
        ("servos:\n  s: {stall: 2 A}", 0.6, 0.6, 2.0),
        # a leg nobody measured: 1 A running, 2 A at the stop
        ("retracts:\n  leg: {kind: self-contained}", 0.6, 1.0, 2.0),
        ("receivers:\n  rx: {sockets: 4}", 0.1, 0.1, 0.1),
        ("loads:\n  lamp: {current: 0.7 A}", 0.7, 0.7, 0.7),
    ],
)
def test_figures(text: str, steady: float, moving: float, stall: float) -> None:
    found = draw(text)
    assert (found.steady, found.moving, found.stall) == pytest.approx((steady, moving, stall))
    assert found.origin
    assert not found.missing


@pytest.mark.parametrize("text", ["servos:\n  s: {moves: flap}", "loads:\n  lamp: {}"])
def test_a_missing_fact_is_named(text: str) -> None:
    assert "current" in draw(text).missing
    assert draw(text).steady == 0


@pytest.mark.parametrize(
    ("function", "group"),
    [
        ("aileron", "flight"),
        ("aileron-left", "flight"),
        ("rudder", "flight"),
        ("flap", "flap"),
        ("flap-right", "flap"),
        ("gear-door", "gear"),
        ("gear", "gear"),
        ("", ""),
    ],
)
def test_what_moves_together(function: str, group: str) -> None:
    (servo,) = plan_of(
        f"servos: {{s: {{moves: {function}}}}}" if function else "servos: {s: {}}"
    ).of(Servo)
    assert together(servo) == group


def test_the_origin_names_the_line() -> None:
    assert draw("servos:\n  s:\n    stall: 2 A\n").origin == "plan line 5"


@pytest.mark.parametrize(
    ("motors", "amps", "missing"),
    [
        ("m: {full-throttle: 34 A, plug: e}", 34, ""),
        ("m: {plug: e}", 0, 'full-throttle current of motor "m"'),
        ("", 0, "full-throttle current of the motor on it"),
    ],
)
def test_an_esc_at_full_throttle(motors: str, amps: float, missing: str) -> None:
    plan = plan_of("escs:\n  e: {rated: 50 A}\n" + (f"motors:\n  {motors}\n" if motors else ""))
    esc = next(plan.of(Esc))
    found = draw_of(esc, list(plan.of(Motor)), 11.1)
    assert (found.steady, found.stall, found.missing) == (amps, amps, missing)


@pytest.mark.parametrize(
    ("function", "group"),
    [
        ("ailerons", "flight"),
        ("elevator-2", "flight"),
        ("ruddervator-left", "flight"),
        ("undercarriage", "gear"),
        ("landing-gear", "gear"),
        ("doors", "gear"),
        ("flaps", "flap"),
    ],
)
def test_words_that_mean_the_same_move_together(function: str, group: str) -> None:
    """The trade's own synonyms; common practice, no source."""
    (servo,) = plan_of(
        f"servos: {{s: {{moves: {function}}}}}" if function else "servos: {s: {}}"
    ).of(Servo)
    assert together(servo) == group
