"""What each part draws from its supply: continuously, and for seconds.

Sizing by common practice: continuously, 30 % of all stalls added; for seconds, the stalls of what
moves together, while the rest moves freely.
"""

from __future__ import annotations

from dataclasses import dataclass

from harness.base.functions import plain
from harness.parts.autopilot import Autopilot
from harness.parts.esc import Esc
from harness.parts.figure import Figure, from_catalogue, known, rule_figure, stated
from harness.parts.load import Load
from harness.parts.motor import Motor
from harness.parts.part import Part
from harness.parts.receiver import Receiver
from harness.parts.retract import Retract
from harness.parts.sensor import Sensor
from harness.parts.sequencer import Sequencer
from harness.parts.servo import Servo
from harness.parts.stabiliser import Stabiliser
from harness.plan.plan import Plan
from harness.wiring.build import Wiring

FLIGHT = frozenset({"aileron", "elevator", "rudder", "v-tail", "elevon", "flaperon"})


@dataclass(frozen=True, slots=True, eq=False)
class Draw:
    """What one part draws, in A.

    `missing` says which fact nobody gave: the figures are zero then.
    """

    part: Part
    inside: str
    steady: float
    moving: float
    stall: float
    origin: str
    missing: str = ""
    idle: float = 0.0


def together(function: str) -> str:
    """Return the group a function moves with: all flight surfaces together, the rest alone."""
    base = plain(function)
    if base in FLIGHT:
        return "flight"
    return "gear" if base in {"gear", "gear-door"} else base


def servo_figure(plan: Plan, servo: Servo, word: str) -> Figure | None:
    """Return idle, moving or stall of a servo in A."""
    return known(plan.catalogue, servo, word, getattr(servo, word), "servos", servo.class_)


def retract_figure(plan: Plan, leg: Retract, word: str, key: str = "") -> Figure:
    """Return running, stop (A) or travel (s) of a leg; without a class, the cautious guess."""
    found = known(plan.catalogue, leg, word, getattr(leg, word), "retracts", leg.class_, key)
    guess = found or from_catalogue(plan.catalogue, "retracts", "unmeasured", key or word)
    assert guess is not None
    return guess


def draw_of(plan: Plan, part: Part) -> Draw | None:
    """Return what a part draws on the control side; None when it draws nothing or nobody knows."""
    if isinstance(part, Servo):
        return _servo(plan, part)
    if isinstance(part, Retract):
        run, stop = retract_figure(plan, part, "running"), retract_figure(plan, part, "stop")
        share = rule_figure(plan.catalogue, "sizing", "continuous-share").number
        steady = share * stop.number
        return Draw(part, "body", steady, run.number, stop.number, stop.origin)
    return _box(plan, part)


def esc_draws(esc: Esc, motors: list[Motor]) -> list[Draw]:
    """Return what an ESC draws from its pack at full throttle, one for each motor on it."""
    if not motors:
        return [unknown_draw(esc, "battery", "full-throttle current of the motor on it")]
    found = []
    for motor in motors:
        amps = stated(motor, "full-throttle", motor.full_throttle)
        if amps is None:
            found.append(unknown_draw(esc, "battery", f"full-throttle current of {motor.named()}"))
        else:
            full = amps.number
            found.append(Draw(esc, "battery", full, full, full, amps.origin))
    return found


def motors_on(wiring: Wiring, esc: Esc) -> list[Motor]:
    """Return the motors on an ESC."""
    mates = wiring.by_socket.get((esc.id, "motor"), [])
    return [m.plug.part for m in mates if m.fits and isinstance(m.plug.part, Motor)]


def unknown_draw(part: Part, inside: str, missing: str) -> Draw:
    """Return a draw that nobody knows."""
    return Draw(part, inside, 0.0, 0.0, 0.0, "", missing)


def _servo(plan: Plan, part: Servo) -> Draw:
    stall, moving = (servo_figure(plan, part, word) for word in ("stall", "moving"))
    if stall is None:
        return unknown_draw(part, "body", "its stall current, or its class (stall or class)")
    share = rule_figure(plan.catalogue, "sizing", "continuous-share").number
    free = moving.number if moving else share * stall.number
    steady = share * stall.number
    idle = servo_figure(plan, part, "idle")
    return Draw(
        part, "body", steady, free, stall.number, stall.origin, idle=idle.number if idle else 0.0
    )


def _box(plan: Plan, part: Part) -> Draw | None:
    """A part that draws the same all the time."""
    rows = {
        Receiver: ("rail", "receiver"),
        Autopilot: ("logic", "autopilot"),
        Stabiliser: ("rail", "stabiliser"),
        Sequencer: ("rail", "sequencer"),
        Sensor: ("body", "sensor"),
    }
    if isinstance(part, Load):
        figure, inside = stated(part, "current", part.current), "body"
    elif type(part) in rows:
        inside, row = rows[type(part)]
        own = getattr(part, "class_", row)
        figure = stated(part, "current", getattr(part, "current", None))
        figure = figure or from_catalogue(plan.catalogue, "receivers", own, "idle")
    else:
        return None
    if figure is None:
        return unknown_draw(part, inside, "the current it draws (current)")
    amps = figure.number
    return Draw(part, inside, amps, amps, amps, figure.origin, idle=amps)
