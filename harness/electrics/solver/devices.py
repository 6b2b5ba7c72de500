"""The characteristics of the devices, each with its slopes, for a whole batch at once."""

from __future__ import annotations

from typing import ClassVar, Self

import numpy as np
from numpy.typing import NDArray

from harness.base.data import dataclass, fields
from harness.electrics.solver.circuit import LEAK, Array, Circuit
from harness.electrics.solver.motor_law import motor_current

STRAIGHT = 1e6
"""A where a diode's exponential goes on as a straight line: no step on the way to an answer runs
away to slopes beside which all the rest of the network is lost in rounding."""


@dataclass(frozen=True, slots=True)
class _Devices:
    """The amounts of all devices of one kind; every array has shape (draws, devices)."""

    group: ClassVar[str]
    """What a circuit calls them."""

    @classmethod
    def of(cls, circuit: Circuit) -> Self:
        """Gather the amounts."""
        every = getattr(circuit, cls.group)
        return cls(*(circuit.amounts([getattr(d, f.name) for d in every]) for f in fields(cls)))

    def some(self, draws: NDArray[np.intp]) -> Self:
        """Return them in some of the draws."""
        return type(self)(*(getattr(self, field.name)[draws] for field in fields(self)))


@dataclass(frozen=True, slots=True)
class Consumers(_Devices):
    """All consumers of a circuit; every array has shape (draws, consumers)."""

    group: ClassVar[str] = "consumers"

    amps: Array
    siemens: Array
    watts: Array
    knee: Array
    stall: Array
    duty: Array
    winding: Array
    no_load: Array
    load: Array
    switching: Array

    @property
    def motor(self) -> tuple[Array, Array, Array, Array, Array]:
        """What the law of motors asks for."""
        return self.duty, self.winding, self.no_load, self.load, self.switching

    @property
    def bending(self) -> tuple[Array, Array, Array]:
        """What makes its current anything but a resistor's."""
        return self.amps, self.watts, self.duty

    def idle(self) -> Consumers:
        """Return them with nothing drawn."""
        every = {f.name: np.zeros_like(self.amps) for f in fields(self)}
        return Consumers(**{**every, "knee": self.knee, "stall": self.stall})

    def current(self, volts: Array) -> tuple[Array, Array]:
        """Return the current in A at some volts, and its slope in S."""
        above = volts >= self.knee
        amps = np.where(above, self.amps, self.amps * volts / self.knee)
        slope = np.where(above, 0.0, self.amps / self.knee) + self.siemens + LEAK
        working = volts >= self.stall
        safe = np.where(working, volts, self.stall)
        power = np.where(working, self.watts / safe, self.watts * volts / self.stall**2)
        bend = np.where(working, -self.watts / safe**2, self.watts / self.stall**2)
        motor, by = motor_current(volts, *self.motor)
        return amps + (self.siemens + LEAK) * volts + power + motor, slope + bend + by


def diode_current(saturation: Array, slope: Array, volts: Array) -> tuple[Array, Array]:
    """Return the current of diodes in A and its slope in S; straight beyond `STRAIGHT`."""
    x, most = volts / slope, np.log(STRAIGHT / saturation)
    bent = np.exp(np.minimum(x, most))
    over = np.maximum(x - most, 0.0)
    current = saturation * (bent * (1 + over) - 1) + LEAK * volts
    return current, saturation * bent / slope + LEAK


def limited_junction(old: Array, new: Array, slope: Array, critical: Array) -> Array:
    """Return how far a diode may go in one step: its exponential is followed by its logarithm.

    The usual junction limiting of circuit simulation (L. W. Nagel, SPICE2, 1975; from memory).
    """
    step = (new - old) / slope
    up = np.where(
        old > 0,
        old + slope * np.log1p(np.maximum(step, 0.0)),
        slope * np.log(np.maximum(new / slope, 1e-30)),
    )
    return np.where((new > critical) & (step > 2.0), up, new)


def within(old: Array, new: Array) -> Array:
    """Let volts move by half of themselves, or by 1 V, in one round."""
    reach = np.maximum(1.0, 0.5 * np.abs(old))
    return np.clip(new, old - reach, old + reach)


def falling(old: Array, new: Array, top: Array) -> Array:
    """The same, but anywhere above a converter's own volts is alike: it gives nothing."""
    return np.where(new >= top, new, within(np.minimum(old, top), new))


@dataclass(frozen=True, slots=True)
class Given:
    """What converters give and take: currents in A and slopes in S against volts in and out."""

    out: Array
    out_by_in: Array
    out_by_out: Array
    taken: Array
    taken_by_in: Array
    taken_by_out: Array
    limited: NDArray[np.bool_]
    """Whether each is at its limit."""


@dataclass(frozen=True, slots=True)
class Converters(_Devices):
    """All converters of a circuit; every array has shape (draws, converters)."""

    group: ClassVar[str] = "converters"

    volts: Array
    ohms: Array
    drop_out: Array
    limit: Array
    efficiency: Array
    quiescent: Array

    def given(self, fed: Array, out: Array) -> Given:
        """Return currents and slopes at volts `fed` on the input and `out` on the output."""
        low = fed < self.volts + self.drop_out
        target = np.maximum(np.where(low, fed - self.drop_out, self.volts), 0.0)
        wanted = (target - out) / self.ohms
        limited = wanted > self.limit
        live = (wanted > 0) & ~limited
        amps = np.clip(wanted, 0.0, self.limit)
        by_out = np.where(live, -1 / self.ohms, 0.0)
        by_in = np.where(live & low & (target > 0), 1 / self.ohms, 0.0)
        taken = self._taken(fed, out, amps, by_in, by_out)
        # a leak over the output keeps its volts defined when nothing is given
        return Given(amps - LEAK * out, by_in, by_out - LEAK, *taken, limited=limited)

    def _taken(
        self, fed: Array, out: Array, amps: Array, by_in: Array, by_out: Array
    ) -> tuple[Array, Array, Array]:
        """Linear: what goes out comes in. Switching: out * amps / (efficiency * in)."""
        linear = self.efficiency <= 0
        eff = np.where(linear, 1.0, self.efficiency)
        held = np.maximum(fed, 1.0)
        above = fed > 1.0
        ratio = np.where(linear, 1.0, out / (eff * held))
        ratio_in = np.where(linear | ~above, 0.0, -out / (eff * held**2))
        ratio_out = np.where(linear, 0.0, 1 / (eff * held))
        rest = np.where(above, self.quiescent, self.quiescent * fed)
        rest_in = np.where(above, 0.0, self.quiescent) + LEAK
        return (
            amps * ratio + rest + LEAK * fed,
            by_in * ratio + amps * ratio_in + rest_in,
            by_out * ratio + amps * ratio_out,
        )
