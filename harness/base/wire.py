"""The copper of a wire: gauge, area, circular mils and resistance.

Sources: ASTM B258 (American Wire Gauge), IEC 60028 (annealed copper, 100 % IACS), and the
coefficient 0.00393 /K at 20 degC of the copper tables quoted in FAA AC 43.13-1B chapter 11.
"""

from __future__ import annotations

import math

from harness.base.units import WireSize, gauge_diameter_mm, gauge_text

RESISTIVITY_20C = 1 / 58
"""Ohm mm2/m at 20 degC, IEC 60028."""

COEFFICIENT_20C = 0.00393
"""Per kelvin, counted from 20 degC."""

THICKEST_GAUGE, THINNEST_GAUGE = -3, 40
_MIL_MM = 0.0254


def gauge_size(gauge: int) -> WireSize:
    """Give the solid wire of an AWG number, 4/0 being -3; `ValueError` outside 4/0 to 40."""
    if not THICKEST_GAUGE <= gauge <= THINNEST_GAUGE:
        raise ValueError(f"gauge {gauge} is outside 4/0 to 40 AWG")
    return WireSize(math.pi / 4 * gauge_diameter_mm(gauge) ** 2, gauge_text(gauge))


def diameter_mm(size: WireSize) -> float:
    """Diameter in mm of the solid round wire with this copper area."""
    return math.sqrt(4 * size.area_mm2 / math.pi)


def circular_mils(size: WireSize) -> float:
    """Area in circular mils: the square of the diameter in thousandths of an inch."""
    return (diameter_mm(size) / _MIL_MM) ** 2


def nearest_gauge(area_mm2: float) -> int:
    """AWG number whose diameter is nearest by ratio, kept within 4/0 (-3) to 40.

    Raises `ValueError` for an area that is not positive.
    """
    if not area_mm2 > 0:
        raise ValueError(f"a wire of {area_mm2} mm2 has no copper")
    steps = math.log(math.sqrt(4 * area_mm2 / math.pi) / gauge_diameter_mm(36), 92) * 39
    return min(max(round(36 - steps), THICKEST_GAUGE), THINNEST_GAUGE)


def nearest_awg(size: WireSize) -> WireSize:
    """Give the AWG size nearest to `size`."""
    return gauge_size(nearest_gauge(size.area_mm2))


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
