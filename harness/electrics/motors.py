"""What the motors on an ESC are to the network: one motor law, by what is stated or usual.

Motors alike on one ESC are one motor of their summed currents; unlike ones are taken for that too.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from harness.base.data import dataclass
from harness.catalogue import Catalogue
from harness.electrics.solver.motor_law import duty_of, load_of
from harness.parts.figure import Draw, rule_figure, unknown_draw
from harness.parts.motor import Motor
from harness.parts.part import Part

LOSSES = ("", "-low", "-high")
"""Which end of its span a motor's or controller's loss is taken at, where nobody stated it."""

MOST = 0.5
"""Of its volts: a winding that keeps more to itself gives less power than one of more ohms."""

Law = tuple[float, float, float, float]
"""Winding in ohm, no-load current in A, load in A / V^2, switching loss as a share."""


@dataclass(frozen=True, slots=True)
class MotorLaw:
    """The motors of an ESC as one, and the duty at each throttle (`throttles` rise from 0 to 1)."""

    winding: float
    no_load: float
    load: float
    switching: float
    throttles: tuple[float, ...] = (0.0, 1.0)
    duties: tuple[float, ...] = (0.0, 1.0)

    def duty(self, throttle: float) -> float:
        """Return the duty: the throttle itself, or what makes the measured currents."""
        return float(np.interp(throttle, self.throttles, self.duties))


NO_MOTOR = MotorLaw(0.0, 0.0, 0.0, 0.0, duties=(0.0, 0.0))


def draw_of(esc: Part, motors: Sequence[Motor], volts: float) -> Draw:
    """Return what an ESC draws from its pack at full throttle, at the volts it was read at.

    `volts`: nominal volts of its pack, which hold for a motor whose plan names none.
    """
    if not motors:
        return unknown_draw(esc, "battery", "full-throttle current of the motor on it")
    for motor in motors:
        if motor.full() is None:
            return unknown_draw(esc, "battery", f"full-throttle current of {motor.named()}")
        if volts and not _turns(motor, volts):
            return unknown_draw(
                esc,
                "battery",
                f"a winding resistance of {motor.named()} that leaves it half of"
                f" its {motor.full_volts() or volts:.3g} V at full throttle",
            )
    full = [figure for motor in motors if (figure := motor.full()) is not None]
    amps = sum(figure.number for figure in full)
    return Draw(esc, "battery", amps, amps, amps, full[0].origin)


def _turns(motor: Motor, volts: float) -> bool:
    full = motor.full()
    assert full is not None
    return (motor.resistance or 0.0) * full.number < MOST * (motor.full_volts() or volts)


def laws_of(motors: Sequence[Motor], volts: float, catalogue: Catalogue) -> Mapping[str, MotorLaw]:
    """Return the motors of one ESC as one, by the end of the usual losses."""
    return {end: _together(motors, volts, catalogue, end) for end in LOSSES}


def _together(motors: Sequence[Motor], volts: float, catalogue: Catalogue, end: str) -> MotorLaw:
    each = [(motor, law_of(motor, volts, catalogue, end)) for motor in motors]
    laws = [law for _, law in each]
    table = next(((m, law) for m, law in each if m.measured), None)
    throttles, duties = _duties(*table, volts) if table else ((0.0, 1.0), (0.0, 1.0))
    winding = 1 / sum(1 / law[0] for law in laws)
    no_load, load = sum(law[1] for law in laws), sum(law[2] for law in laws)
    return MotorLaw(winding, no_load, load, laws[0][3], throttles, duties)


def law_of(motor: Motor, volts: float, catalogue: Catalogue, end: str = "") -> Law:
    """Return the law of one motor: by its own figures, or by the usual shares."""
    full, at = motor.full(), motor.full_volts() or volts
    assert full is not None
    winding = motor.resistance or _usual(motor, catalogue, "resistance-share", end) * (
        at / full.number
    )
    share = _usual(motor, catalogue, "no-load-share", end)
    no_load = share * full.number if motor.no_load is None else motor.no_load
    switching = rule_figure(catalogue, "controller", f"switching-loss{end}").number
    return winding, no_load, load_of(full.number, at, winding, no_load), switching


def _usual(motor: Motor, catalogue: Catalogue, key: str, end: str) -> float:
    return catalogue.number(*motor.row, f"{key}{end}")


def _duties(motor: Motor, law: Law, volts: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the throttles of a measured table, and the duties at which the law gives its A."""
    lines = sorted(motor.measured, key=lambda one: one.throttle)
    points = {0.0: 0.0, 1.0: 1.0}
    for one in (line for line in lines if line.throttle > 0):
        at = one.volts or motor.full_volts() or volts
        points[one.throttle] = duty_of(one.current, at, *law)
    return tuple(sorted(points)), tuple(points[throttle] for throttle in sorted(points))
