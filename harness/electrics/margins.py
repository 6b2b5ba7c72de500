"""The limits that a row of figures is judged by, and which of its values pass them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from harness.electrics.rows import LoadRow
from harness.electrics.solver.circuit import Array
from harness.parts.figure import Figure, rule_figure
from harness.plan.plan import Plan
from harness.wiring.ratings import Limit

CONTINUOUS, SECONDS = "continuous", "for seconds"
LOWEST, HIGHEST = "lowest volts", "highest volts"

RIGHT_WAY = Limit("fed the right way round", Figure(0.0, "a device has a plus and a minus"))
"""The lowest volts of a device of which nobody knows what it needs."""

NEARLY = 1e-9
"""Relative; a value on its limit has not passed it."""


@dataclass(frozen=True, slots=True)
class Margin:
    """One limit of a row: of its `amps` (continuous, for seconds) or its `volts` (lowest, highest).

    A continuous limit counts in the cases that last, every other one in all of them. `slack` is
    the share by which the highest volts may be passed: makers of supplies and of what they feed
    both state round figures.
    """

    what: str
    limit: Limit
    slack: float = 0.0

    @property
    def quantity(self) -> str:
        """What it is laid against."""
        return "volts" if self.what in {LOWEST, HIGHEST} else "amps"

    def beyond(self, values: Array, lasting: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Return which values pass it; one that is not a number passes nothing."""
        number = self.limit.figure.number
        if self.what == LOWEST:
            return np.asarray(values < number * (1 - NEARLY))
        if self.what == HIGHEST:
            return np.asarray(values > number * (1 + self.slack + NEARLY))
        over = np.abs(values) > number * (1 + NEARLY)
        return np.asarray(over & lasting if self.what == CONTINUOUS else over)


def margins_of(plan: Plan, row: LoadRow) -> tuple[Margin, ...]:
    """Return the limits of a row, those of its current first."""
    found = [(CONTINUOUS, row.steady), (SECONDS, row.burst)]
    if row.kind == "part":
        part = plan.parts[row.part]
        for what, word in ((LOWEST, "volts-min"), (HIGHEST, "volts-max")):
            figure = part.known(plan.catalogue, word)
            limit = Limit(f"{word} of {part.named()}", figure) if figure else None
            found.append((what, limit or (RIGHT_WAY if what == LOWEST else None)))
        if part.is_radio:
            figure = rule_figure(plan.catalogue, "rail", "minimum")
            found.append((LOWEST, Limit("the least a rail should have", figure)))
    slack = rule_figure(plan.catalogue, "metered", "allowance").number
    return tuple(
        Margin(what, limit, slack if what == HIGHEST else 0.0)
        for what, limit in found
        if limit is not None
    )
