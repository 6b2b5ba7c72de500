"""The copper of a wire: its resistance, by area, length and temperature.

Sources: IEC 60028 (annealed copper, 100 % IACS), and the
coefficient 0.00393 /K at 20 degC of the copper tables quoted in FAA AC 43.13-1B chapter 11.
"""

from __future__ import annotations

from harness.base.units import WireSize

RESISTIVITY_20C = 1 / 58
"""Ohm mm2/m at 20 degC, IEC 60028."""

DENSITY = 8.89
"""g/cm3, IEC 60028; so many grams has a metre of 1 mm2."""

COEFFICIENT_20C = 0.00393
"""Per kelvin, counted from 20 degC."""


def at_temperature(ohms_20c: float, temp_c: float) -> float:
    """Resistance of copper in ohm at `temp_c` degC, from its value at 20 degC."""
    return ohms_20c * (1 + COEFFICIENT_20C * (temp_c - 20))


def ohm_per_metre(size: WireSize, temp_c: float = 20.0) -> float:
    """Resistance of one metre of solid copper in ohm."""
    return at_temperature(RESISTIVITY_20C / size.area_mm2, temp_c)


def resistance(
    size: WireSize, length_mm: float, temp_c: float = 20.0, strand_factor: float = 1.0
) -> float:
    """Resistance in ohm of one wire of `length_mm`, there only, not there and back.

    `strand_factor` multiplies for the lay of strands and for plating: 1 for solid copper.
    """
    if length_mm < 0 or strand_factor < 1:
        raise ValueError(f"no wire is {length_mm} mm long with a strand factor of {strand_factor}")
    return ohm_per_metre(size, temp_c) * length_mm / 1000 * strand_factor
