"""A motor with its propeller or fan behind an ideal chopper: current against volts, first order.

    U = d V                   an ideal chopper of duty d
    U = E + R I               a winding R turning against its own volts E = n / Kv
    I = I0 + c E^2            torque goes with I - I0, and a propeller's with the square of n
    pack current = (d + s (1 - d)) I

`s` is what the controller loses by switching, of volts times motor current; at full duty it
does not switch. With E + R c E^2 = U - R I0 the speed is the root of a quadratic, taken in the
form in which nothing cancels. Below R I0 nothing turns, and the winding alone draws. More volts
never draw less; fed the wrong way round it draws nothing here, and is refused.

Source: "Motor Math", Sailplane & Electric Modeler, April 2002 (motor = ideal motor, resistor,
current sink); theory pages of open propulsion solvers (constant torque coefficient).
"""

from __future__ import annotations

import math

import numpy as np

from harness.electrics.solver.circuit import Array


def motor_current(
    volts: Array, duty: Array, winding: Array, no_load: Array, load: Array, switching: Array
) -> tuple[Array, Array]:
    """Return what is drawn from the pack, A, and its slope, S; arrays of one shape.

    `volts` of the pack at the controller, `duty` from 0 (off) to 1, `winding` R in ohm, `no_load`
    I0 in A, `load` c in A / V^2, `switching` s.
    """
    across = duty * volts
    ohms = np.where(winding > 0, winding, 1.0)
    starts = across / ohms
    over = np.maximum(across - ohms * no_load, 0.0)
    root = np.sqrt(1.0 + 4.0 * winding * load * over)
    own = 2.0 * over / (1.0 + root)
    share = duty + switching * (1.0 - duty)
    amps = np.clip(starts, 0.0, no_load) + load * own**2
    still = (starts > 0) & (starts < no_load)
    slope = np.where(still, 1.0 / ohms, 2.0 * load * own / root)
    return share * amps, share * duty * slope


def load_of(full: float, volts: float, winding: float, no_load: float) -> float:
    """Return c in A / V^2 by the current at full throttle, A, and the volts it was read at."""
    return (full - no_load) / (volts - winding * full) ** 2


def duty_of(
    amps: float, volts: float, winding: float, no_load: float, load: float, switching: float
) -> float:
    """Return the duty at which a motor takes `amps` from `volts`, at most 1."""
    low, high = 0.0, 1.0
    law = [np.array(value) for value in (winding, no_load, load, switching)]
    while high - low > math.ulp(1.0):
        middle = (low + high) / 2
        drawn = motor_current(np.array(volts), np.array(middle), *law)[0]
        low, high = (middle, high) if drawn < amps else (low, middle)
    return high
