"""How warm a wire gets by its own current: heat made per length is heat given off.

I^2 r(T) = pi D (h (Ts - Ta) + e s (Ts^4 - Ta^4)), with the drop through the insulation between the
copper's T and the surface's Ts. A long wire that hangs level in still air, whose walls are as warm.

Sources: natural convection of a level cylinder, S. W. Churchill and H. H. S. Chu, 1975; viscosity
and conductivity of air after Sutherland; Stefan and Boltzmann for radiation (all from memory).
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from harness.base.data import dataclass
from harness.base.wire import COEFFICIENT_20C, RESISTIVITY_20C
from harness.electrics.solver.circuit import Array

KELVIN = 273.15
STEFAN_BOLTZMANN = 5.670374e-8
"""W/(m2 K4), CODATA."""
GRAVITY, GAS, SEA_LEVEL = 9.80665, 287.05, 101325.0
"""m/s2; J/(kg K) of dry air; Pa."""
MELTS = 1085.0
"""degC, of copper: nothing is told to be warmer."""

_RISES = np.concatenate([[0.0], np.geomspace(1e-3, 2000.0, 600)])
"""K by which a surface is warmer than the air: where the balance is struck, straight between."""


@dataclass(frozen=True, slots=True)
class Cord:
    """What of a wire decides how warm it gets.

    `area` of copper in mm2, `outer` diameter over the insulation in mm; `share` of its current in
    free air that warms it as much in its bundle and at its altitude; `emissivity`, `conductivity`
    of the insulation in W/(m K).
    """

    area: float
    outer: float
    share: float = 1.0
    emissivity: float = 0.9
    conductivity: float = 0.2


def convection(outer: float, surface: Array, air: float) -> Array:
    """Return W/(m2 K) from a level cylinder of `outer` mm to still air, both in degC."""
    size, film = outer / 1000, (surface + air) / 2 + KELVIN
    viscosity = 1.458e-6 * film**1.5 / (film + 110.4)
    conducts = 2.6482e-3 * film**0.5 / (1 + 245.4 / film * 10 ** (-12 / film))
    density = SEA_LEVEL / (GAS * film)
    prandtl = viscosity * 1006.0 / conducts
    grashof = GRAVITY * np.abs(surface - air) / film * size**3 * (density / viscosity) ** 2
    bend = (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)
    nusselt = (0.60 + 0.387 * (grashof * prandtl) ** (1 / 6) / bend) ** 2
    return np.asarray(nusselt * conducts / size)


def given_off(cord: Cord, surface: Array, air: float) -> Array:
    """Return the W that a metre of wire gives off in free air, its surface and the air in degC."""
    hot, cool = surface + KELVIN, air + KELVIN
    radiated = cord.emissivity * STEFAN_BOLTZMANN * (hot**4 - cool**4)
    blown = convection(cord.outer, surface, air) * (surface - air)
    return np.asarray(np.pi * cord.outer / 1000 * (radiated + blown))


@lru_cache(maxsize=256)
def balance(cord: Cord, air: float) -> tuple[Array, Array]:
    """Return A^2 and the degC of the copper that they lead to in the end, both rising.

    There is always an answer: what a wire gives off rises faster than its resistance.
    """
    surface = air + _RISES
    watts = given_off(cord, surface, air)
    bare = 2 * np.sqrt(cord.area / np.pi)
    copper = surface + watts * np.log(max(cord.outer / bare, 1.0)) / (2 * np.pi * cord.conductivity)
    ohms = RESISTIVITY_20C / cord.area * (1 + COEFFICIENT_20C * (copper - 20))
    return cord.share**2 * watts / ohms, copper


def conductor_temperature(amps: float | Array, cord: Cord, air: float) -> Array:
    """Return the degC that the copper of a wire gets to in the end, of the shape of `amps`."""
    squares, copper = balance(cord, air)
    return np.minimum(np.interp(np.square(amps), squares, copper), max(MELTS, air))


def lasting_amps(cord: Cord, air: float, warm: float) -> float:
    """Return the A that warm the copper of a wire to `warm` degC in the end."""
    squares, copper = balance(cord, air)
    return float(np.sqrt(np.interp(warm, copper, squares)))
