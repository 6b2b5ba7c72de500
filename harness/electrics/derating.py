"""What bundles and thin air take from a wire's current, and the FAA's estimate of its warmth.

The curves and the estimate are those of FAA AC 43.13-1B, chapter 11; the catalogue's table
`derating` holds the points that are known of them.
"""

from __future__ import annotations

from bisect import bisect_left

import numpy as np

from harness.electrics.solver.circuit import Array
from harness.parts.figure import Figure, from_catalogue
from harness.parts.part import Part
from harness.plan.airframe import Place
from harness.plan.plan import Plan

MM_IN_A_FOOT = 304.8
"""Exact since 1959 (the international foot)."""


def bundle_factor(plan: Plan, place: str) -> Figure:
    """Return the share of its current that a wire carries in the bundle of a place.

    The nearest `bundle` counts: of the place itself, else of what it is in. 1 without one.
    """
    within = (plan.places[name] for name in plan.holds(place) if name in plan.places)
    said = next((here for here in within if here.bundle is not None), None)
    if said is None or said.bundle is None:
        return Figure(1.0, "the plan states no bundle: taken as one wire in free air")
    return _bundled(plan, said, said.bundle)


def _bundled(plan: Plan, place: Place, wires: int) -> Figure:
    factor = _between(plan, "bundle", wires)
    line = place.spans.get("bundle", place.span).line
    many = "wire" if wires == 1 else "wires"
    return Figure(factor.number, f"plan line {line}, {wires} {many} in a bundle; {factor.origin}")


def altitude_factor(plan: Plan) -> Figure:
    """Return the share of its current that a wire carries in thin air: it cools less. 1 unsaid."""
    around = plan.surroundings
    if around.altitude is None:
        return Figure(1.0, "the plan states no altitude: taken as sea level")
    feet = around.altitude / MM_IN_A_FOOT
    factor = _between(plan, "altitude", feet)
    line = around.spans.get("altitude", around.span).line
    return Figure(factor.number, f"plan line {line}, {feet:.0f} ft; {factor.origin}")


def derating(plan: Plan, part: Part) -> Figure:
    """Return what of its current a part's wire carries: its bundle and the altitude together."""
    bundle, altitude = bundle_factor(plan, part.place), altitude_factor(plan)
    return Figure(bundle.number * altitude.number, f"{bundle.origin}; {altitude.origin}")


def faa_temperature(
    amps: float | Array, bears: float | Array, air: float | Array, rated: float | Array
) -> Array:
    """Return degC by FAA AC 43.13-1B chapter 11: T2 = T1 + (TR - T1) * sqrt(I2 / Imax).

    `bears` A (derated, above 0) warm the wire from `air` to `rated`, what its insulation bears.
    Meant for sizing: well above what a wire really gets to below `bears`, too low above it.
    """
    return np.asarray(air + _room(bears, air, rated) * np.sqrt(np.abs(amps) / bears))


def _room(bears: float | Array, air: float | Array, rated: float | Array) -> Array:
    """Return by how much a wire may get warmer than the air, K."""
    if not (np.asarray(bears) > 0).all():
        raise ValueError(f"a wire must bear more than 0 A to have a temperature, not {bears}")
    return np.asarray(np.maximum(np.asarray(rated, dtype=float) - air, 0.0))


def _between(plan: Plan, curve: str, at: float) -> Figure:
    """Read a curve of the catalogue at a place: straight between its points, flat beyond them."""
    keys = sorted(plan.catalogue.keys("derating", curve), key=float)
    places = [float(key) for key in keys]
    number = float(
        np.interp(at, places, [plan.catalogue.number("derating", curve, key) for key in keys])
    )
    above = bisect_left(places, min(max(at, places[0]), places[-1]))
    below = above if places[above] <= at else max(above - 1, 0)
    figures = [
        from_catalogue(plan.catalogue, "derating", curve, keys[n]) for n in sorted({below, above})
    ]
    return Figure(number, " and ".join(dict.fromkeys(f.origin for f in figures if f is not None)))
