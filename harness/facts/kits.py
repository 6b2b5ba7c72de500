"""What the rules about the kit share."""

from __future__ import annotations

from harness.airframe.kit import Kit, kit_of
from harness.wiring.build import Wiring
from harness.wiring.fact import fact


@fact
def kit(wiring: Wiring) -> Kit | None:
    """Return the kit against the plan; None where the plan lists none."""
    return kit_of(wiring.plan) if wiring.plan.kit else None
