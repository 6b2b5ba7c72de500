"""The characteristics of the devices, each with its slopes, for a whole batch at once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from harness.electrics.solver.circuit import LEAK, Array, Circuit

EXPONENT = 200.0
"""Where a diode's exponential goes on as a straight line, so that no step can overflow."""


def _gathered(circuit: Circuit, every: Sequence[object], names: Iterable[str]) -> Iterator[Array]:
    """Yield each amount of all devices of one kind as an array of shape (draws, devices)."""
    for name in names:
        yield circuit.amounts([getattr(device, name) for device in every])


@dataclass(frozen=True, slots=True)
class Consumers:
    """All consumers of a circuit; every array has shape (draws, consumers)."""

    amps: Array
    siemens: Array
    watts: Array
    knee: Array
    stall: Array

    @classmethod
    def of(cls, circuit: Circuit) -> Consumers:
        """Gather the amounts."""
        return cls(*_gathered(circuit, circuit.consumers, cls.__slots__))

    def some(self, draws: NDArray[np.intp]) -> Consumers:
        """Return them in some of the draws."""
        return Consumers(*(getattr(self, name)[draws] for name in self.__slots__))

    def current(self, volts: Array) -> tuple[Array, Array]:
        """Return the current in A at some volts, and its slope in S."""
        above = volts >= self.knee
        amps = np.where(above, self.amps, self.amps * volts / self.knee)
        slope = np.where(above, 0.0, self.amps / self.knee) + self.siemens + LEAK
        working = volts >= self.stall
        safe = np.where(working, volts, self.stall)
        power = np.where(working, self.watts / safe, self.watts * volts / self.stall**2)
        bend = np.where(working, -self.watts / safe**2, self.watts / self.stall**2)
        return amps + (self.siemens + LEAK) * volts + power, slope + bend


def diode_current(saturation: Array, slope: Array, volts: Array) -> tuple[Array, Array]:
    """Return the current of diodes in A and its slope in S; straight beyond `EXPONENT`."""
    x = volts / slope
    bent = np.exp(np.minimum(x, EXPONENT))
    over = np.maximum(x - EXPONENT, 0.0)
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
class Converters:
    """All converters of a circuit; every array has shape (draws, converters)."""

    volts: Array
    ohms: Array
    drop_out: Array
    limit: Array
    efficiency: Array
    quiescent: Array

    @classmethod
    def of(cls, circuit: Circuit) -> Converters:
        """Gather the amounts."""
        return cls(*_gathered(circuit, circuit.converters, cls.__slots__))

    def some(self, draws: NDArray[np.intp]) -> Converters:
        """Return them in some of the draws."""
        return Converters(*(getattr(self, name)[draws] for name in self.__slots__))

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
