"""The runs of a plan that states positions, and its bundles: reckoned once for all rules."""

from __future__ import annotations

from harness.assembly.bundles import Bundle, bundles_of
from harness.assembly.lengths import Measured, is_measured, lengths_of
from harness.assembly.lengths.plugs import Plug, plugs_on, sealed_of
from harness.checks.memo import once
from harness.checks.rule import Desk


@once
def measured_runs(desk: Desk) -> tuple[Measured, ...]:
    """Return every run with what it needs; none where the plan states no positions."""
    return lengths_of(desk.wiring) if is_measured(desk.plan) else ()


@once
def measured_plugs(desk: Desk) -> tuple[tuple[Measured, tuple[Plug, ...]], ...]:
    """Return every run with the plugs in its middle, and where they can lie."""
    sealed = sealed_of(desk.plan)
    return tuple((m, plugs_on(desk.plan, m, sealed)) for m in measured_runs(desk))


@once
def bundles(desk: Desk) -> tuple[Bundle, ...]:
    """Return what lies together on each stretch."""
    return bundles_of(desk.plan, measured_runs(desk))
