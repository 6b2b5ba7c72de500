"""The limits of a row of figures: what its current and its volts are judged by."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from harness.base.data import dataclass
from harness.electrics.solver.circuit import Array
from harness.parts.figure import Figure, from_catalogue, rule_figure
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.ratings import Limit

if TYPE_CHECKING:
    from harness.electrics.rows import LoadRow

CONTINUOUS, SECONDS = "continuous", "for seconds"
LOWEST, HIGHEST = "lowest volts", "highest volts"
LOWEST_SECONDS = "lowest volts for seconds"

RIGHT_WAY = Limit("fed the right way round", Figure(0.0, "a device has a plus and a minus"))
"""The lowest volts of a device of which nobody knows what it needs."""

NEARLY = 1e-9
"""Relative; a value on its limit has not passed it."""


def least_volts(plan: Plan, part: Part) -> tuple[Limit, Limit]:
    """Return the volts that a part needs in cases that last, and for seconds.

    A rail is to stay at 4.8 V while it lasts (common practice). A stated figure, and that of a
    radio, is taken at its word. What a class says of servos, legs and boxes, or else a rail's
    minimum, are the nominal volts of the supply it is made for: makers state them round, and for
    seconds it is made for what such a pack gives when it is empty (NiMH cells: 1.0 V of 1.2).
    """
    own, rail = part.known(plan.catalogue, "volts-min"), _rail_minimum(plan)
    said = Limit(f"volts-min of {part.named()}", own) if own else RIGHT_WAY
    nominal = part.swings or part.is_leg or part.relays or part.sequences
    lasting = seconds = said
    if nominal and "volts-min" not in part.spans:
        base = said if own else rail
        slack = rule_figure(plan.catalogue, "metered", "allowance")
        lasting = _less(base, Figure(1 - slack.number, slack.origin))
        seconds = _less(base, _empty_share(plan))
    if part.rails and lasting.figure.number < rail.figure.number:
        lasting = rail
    return lasting, seconds


def _less(limit: Limit, share: Figure) -> Limit:
    figure = limit.figure
    origin = f"{figure.number:g} V, {figure.origin}; {share.number:.0%} of it: {share.origin}"
    return Limit(limit.what, Figure(round(figure.number * share.number, 2), origin))


def _rail_minimum(plan: Plan) -> Limit:
    figure = rule_figure(plan.catalogue, "rail", "minimum")
    return Limit("the least a rail should have", figure)


def _empty_share(plan: Plan) -> Figure:
    empty, nominal = (
        from_catalogue(plan.catalogue, "packs", "nimh", key) for key in ("empty", "nominal")
    )
    assert empty is not None and nominal is not None
    return Figure(empty.number / nominal.number, f"an empty NiMH cell, {empty.origin}")


@dataclass(frozen=True, slots=True)
class Margin:
    """One limit of a row: of its `amps` (continuous, for seconds) or its `volts` (lowest, highest).

    A continuous limit and the lowest volts count in the cases that last, the others in all. `slack`
    is the share by which the highest volts may be passed: makers of supplies and of what they feed
    both state round figures.
    """

    what: str
    limit: Limit
    slack: float = 0.0

    @property
    def quantity(self) -> str:
        """What it is laid against."""
        return "volts" if self.what in {LOWEST, LOWEST_SECONDS, HIGHEST} else "amps"

    def beyond(self, values: Array, lasting: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Return which values pass it; one that is not a number passes nothing."""
        number = self.limit.figure.number
        if self.what in {LOWEST, LOWEST_SECONDS}:
            low = np.asarray(values < number * (1 - NEARLY))
            return low & lasting if self.what == LOWEST else low
        if self.what == HIGHEST:
            return np.asarray(values > number * (1 + self.slack + NEARLY))
        over = np.abs(values) > number * (1 + NEARLY)
        return np.asarray(over & lasting if self.what == CONTINUOUS else over)


def margins_of(plan: Plan, row: LoadRow) -> tuple[Margin, ...]:
    """Return the limits of a row, those of its current first."""
    found = [(CONTINUOUS, row.steady), (SECONDS, row.burst)]
    if row.kind == "part":
        part = plan.parts[row.part]
        lasting, seconds = least_volts(plan, part)
        figure = part.known(plan.catalogue, "volts-max")
        most = Limit(f"volts-max of {part.named()}", figure) if figure else None
        found += [(LOWEST, lasting), (LOWEST_SECONDS, seconds), (HIGHEST, most)]
    slack = {HIGHEST: rule_figure(plan.catalogue, "metered", "allowance").number}
    return tuple(Margin(what, limit, slack.get(what, 0.0)) for what, limit in found if limit)
