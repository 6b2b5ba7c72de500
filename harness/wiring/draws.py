"""What each part draws from its supply: continuously, and for seconds.

Sizing by common practice: continuously, 30 % of all stalls added; for seconds, the stalls of what
moves together, while the rest moves freely.
"""

from __future__ import annotations

from harness.base.functions import plain
from harness.parts.draw import Draw, unknown_draw
from harness.parts.esc import Esc
from harness.parts.figure import stated
from harness.parts.motor import Motor
from harness.parts.part import Part, of_kind
from harness.wiring.build import Wiring

FLIGHT = frozenset({"aileron", "elevator", "rudder", "v-tail", "elevon", "flaperon"})


def together(function: str) -> str:
    """Return the group a function moves with: all flight surfaces together, the rest alone."""
    base = plain(function)
    if base in FLIGHT:
        return "flight"
    return "gear" if base in {"gear", "gear-door"} else base


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


def motors_on(wiring: Wiring, esc: Part) -> list[Motor]:
    """Return the motors on an ESC."""
    mates = wiring.by_socket.get((esc.id, "motor"), [])
    return of_kind(Motor, (m.plug.part for m in mates if m.fits))
