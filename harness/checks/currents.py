"""The solved currents that the load rules judge by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.checks.memo import once
from harness.checks.poles import put_right
from harness.checks.rule import Desk

if TYPE_CHECKING:
    from harness.electrics.flows import Flows


@once
def currents(desk: Desk) -> Flows:
    """Return the solved currents of the wiring with faults of polarity put right.

    Such a fault is reported once, by its own rule.
    """
    from harness.electrics.flows import flows_of

    return flows_of(put_right(desk))
