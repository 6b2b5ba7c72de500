"""Packs: volts at rest by how full they are, and the resistance of their cells."""

from __future__ import annotations

from itertools import pairwise

from harness.parts.figure import Figure, from_catalogue, stated
from harness.parts.pack import Pack
from harness.plan.plan import Plan

STEPS = tuple(range(0, 101, 10))
"""The charges, in percent, at which the catalogue gives a cell's volts."""


def _curve(plan: Plan, pack: Pack) -> list[float]:
    values = [
        from_catalogue(plan.catalogue, "packs", pack.chemistry, f"ocv-{step}") for step in STEPS
    ]
    known = [value.number for value in values if value is not None]
    if len(known) == len(STEPS):
        return known
    low, high = (
        from_catalogue(plan.catalogue, "packs", pack.chemistry, k) for k in ("empty", "full")
    )
    bottom, top = (low.number if low else 3.0), (high.number if high else 4.2)
    return [bottom + (top - bottom) * step / 100 for step in STEPS]


def rest_volts(plan: Plan, pack: Pack, charge: float) -> float:
    """Return the volts at rest of a whole pack that is `charge` full (0 to 1)."""
    curve = _curve(plan, pack)
    place = min(max(charge, 0.0), 1.0) * (len(STEPS) - 1)
    low = min(int(place), len(STEPS) - 2)
    return pack.cells * (curve[low] + (curve[low + 1] - curve[low]) * (place - low))


def charge_at(plan: Plan, pack: Pack, volts: float) -> float:
    """Return how full a pack is, 0 to 1, that shows `volts` at rest."""
    curve, cell = _curve(plan, pack), volts / pack.cells
    if cell >= curve[-1]:
        return 1.0
    for low, (a, b) in enumerate(pairwise(curve)):
        if cell < b:
            return max(0.0, (low + (cell - a) / (b - a)) / (len(STEPS) - 1))
    return 1.0


def cell_ohms(plan: Plan, pack: Pack) -> Figure:
    """Return the resistance of one cell at 20 degC: stated, or of its class by its capacity.

    A cell of twice the capacity is two cells side by side.
    """
    own = stated(pack, "cell-resistance", pack.cell_resistance)
    if own is not None:
        return own
    usual = from_catalogue(plan.catalogue, "packs", pack.chemistry, "cell-resistance")
    of = from_catalogue(plan.catalogue, "packs", pack.chemistry, "cell-resistance-capacity")
    if usual is None:
        return Figure(0.01, "our own assumption: a class without a cell resistance")
    if of is None or not pack.capacity:
        return usual
    return usual * (of.number / pack.capacity)


def warmth_factor(plan: Plan, pack: Pack, temperature: float) -> float:
    """Return by how much the cells resist more than at 20 degC: straight up to 0 degC and on."""
    cold = from_catalogue(plan.catalogue, "packs", pack.chemistry, "cold-factor")
    extra = (cold.number if cold else 1.0) - 1.0
    return 1.0 + extra * max(0.0, (20.0 - temperature) / 20.0)


def pack_ohms(plan: Plan, pack: Pack, temperature: float = 20.0) -> float:
    """Return the resistance of all cells of a pack in ohm."""
    return pack.cells * cell_ohms(plan, pack).number * warmth_factor(plan, pack, temperature)
