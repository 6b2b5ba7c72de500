"""The solved currents that the load rules judge by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.facts.poles import put_right
from harness.wiring.build import Wiring
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from harness.electrics.flows import Flows


@fact
def currents(wiring: Wiring) -> Flows:
    """Return the solved currents of the wiring with faults of polarity put right.

    Such a fault is reported once, by its own rule.
    """
    from harness.electrics.flows import flows_of

    return flows_of(put_right(wiring))
