"""What the rules about the kit share."""

from __future__ import annotations

from harness.assembly.kit import Kit, kit_of
from harness.checks.memo import once
from harness.checks.rule import Desk


@once
def kit(desk: Desk) -> Kit | None:
    """Return the kit against the plan; None where the plan lists none."""
    return kit_of(desk.plan) if desk.plan.kit else None
