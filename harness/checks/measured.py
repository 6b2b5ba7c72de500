"""The runs of a plan that states positions, and its bundles: reckoned once for all rules."""

from __future__ import annotations

from harness.assembly.bundles import Bundle, bundles_of
from harness.assembly.lengths import Measured, is_measured, lengths_of
from harness.checks.memo import once
from harness.checks.rule import Desk


@once
def measured_runs(desk: Desk) -> tuple[Measured, ...]:
    """Return every run with what it needs; none where the plan states no positions."""
    return lengths_of(desk.wiring) if is_measured(desk.plan) else ()


@once
def bundles(desk: Desk) -> tuple[Bundle, ...]:
    """Return what lies together on each stretch."""
    return bundles_of(desk.plan, measured_runs(desk))
