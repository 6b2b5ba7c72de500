"""The warmth of a wire apart from ours: scipy's root finder on the air of a handbook's table."""

from __future__ import annotations

import math
from itertools import pairwise

from scipy.optimize import brentq

from harness.base.units import parse_wire
from harness.catalogue import load

AIR = [  # K, 1e-6 m2/s, 1e-3 W/(m K), Prandtl: Incropera and DeWitt, table A.4 (memory)
    (250, 11.44, 22.3, 0.720), (300, 15.89, 26.3, 0.707), (350, 20.92, 30.0, 0.700),
    (400, 26.41, 33.8, 0.690), (450, 32.39, 37.3, 0.686), (500, 38.79, 40.7, 0.684),
]  # fmt: skip
RHO20, ALPHA, SIGMA = 1.724138e-8, 0.00393, 5.670374e-8  # IEC 60028; FAA AC 43.13-1B; CODATA


def _air(kelvin: float) -> list[float]:
    """Straight between the rows of the table, and on beyond its ends."""
    low, high = next((p for p in pairwise(AIR) if kelvin <= p[1][0]), (AIR[-2], AIR[-1]))
    share = (kelvin - low[0]) / (high[0] - low[0])
    return [a + share * (b - a) for a, b in zip(low[1:], high[1:], strict=True)]


def by_scipy(amps: float, area: float, outer: float, air: float) -> float:
    """The copper's degC: area in mm2, outer in mm; emissivity 0.9, insulation 0.2 W/(m K).

    Churchill and Chu 1975 (memory) for the air that rises past it, Stefan and Boltzmann.
    """
    size, bare = outer / 1e3, 2 * math.sqrt(area / math.pi) / 1e3
    around = air + 273.15

    def given(surface: float) -> float:
        nu, k, prandtl = _air((surface + around) / 2)
        film = (surface + around) / 2
        rayleigh = 9.81 / film * (surface - around) * size**3 * prandtl / (nu * 1e-6) ** 2
        root = 0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
        h = root**2 * k * 1e-3 / size
        return math.pi * size * (h * (surface - around) + 0.9 * SIGMA * (surface**4 - around**4))

    def copper(surface: float) -> float:
        return surface + given(surface) * math.log(size / bare) / (2 * math.pi * 0.2)

    def left(surface: float) -> float:
        ohms = RHO20 / (area * 1e-6) * (1 + ALPHA * (copper(surface) - 293.15))
        return amps**2 * ohms - given(surface)

    if not amps:
        return air
    return float(copper(brentq(left, around + 1e-9, around + 2000, xtol=1e-9))) - 273.15


def wire_ohms(gauge: str, length: float, amps: float, air: float = 20) -> float:
    """There and back, as warm as its own current makes it; `length` in mm."""
    area, outer = parse_wire(gauge).area_mm2, load().number("wires", gauge, "outer")
    warm = by_scipy(amps, area, outer, air)
    return 2 * RHO20 * 1e6 / area * length / 1000 * (1 + ALPHA * (warm - 20))


def amps_for(gauge: str, warm: float, air: float) -> float:
    """The amperes that warm a gauge to `warm` degC in the end."""
    area, outer = parse_wire(gauge).area_mm2, load().number("wires", gauge, "outer")
    return float(brentq(lambda a: by_scipy(a, area, outer, air) - warm, 0.1, 60 * area**0.7))
