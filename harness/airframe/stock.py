"""What leads are sold as: the lengths shops have, and when one wire is thinner than another."""

from __future__ import annotations

from harness.plan.plan import Plan

EVEN = 1e-3
"""mm: less than this is no difference."""
_SLIVER = 1e-9
"""Two ways of writing one gauge differ by less than this share of its copper."""


def stock_lengths(plan: Plan) -> tuple[float, ...]:
    """Return the lengths leads are sold in, mm, shortest first (catalogue stock-lengths)."""
    rows = plan.catalogue.rows("stock-lengths")
    return tuple(sorted(plan.catalogue.number("stock-lengths", row, "length") for row in rows))


def next_stock(plan: Plan, length: float) -> float | None:
    """Return the shortest stock length, mm, that is long enough; None where none is."""
    return next((stock for stock in stock_lengths(plan) if stock >= length - EVEN), None)


def thinner(area: float, asked: float) -> bool:
    """Say whether a wire of one area, mm2, is thinner than what is asked for, mm2."""
    return area < asked * (1 - _SLIVER)
