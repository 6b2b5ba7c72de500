"""The kit, the runs and the bundles of a plan: reckoned once for all rules."""

from __future__ import annotations

from harness.airframe.bundles import Bundle, bundles_of
from harness.airframe.kit import Kit, kit_of
from harness.airframe.lengths import MeasuredRun, Plug, is_measured, lengths_of, plugs_on, sealed_of
from harness.wiring.build import Wiring
from harness.wiring.fact import fact


@fact
def kit(wiring: Wiring) -> Kit | None:
    """Return the kit against the plan; None where the plan lists none."""
    return kit_of(wiring.plan) if wiring.plan.kit else None


@fact
def measured_runs(wiring: Wiring) -> tuple[MeasuredRun, ...]:
    """Return every run with what it needs; none where the plan states no positions."""
    return lengths_of(wiring) if is_measured(wiring.plan) else ()


@fact
def measured_plugs(wiring: Wiring) -> tuple[tuple[MeasuredRun, tuple[Plug, ...]], ...]:
    """Return every run with the plugs in its middle, and where they can lie."""
    sealed = sealed_of(wiring.plan)
    return tuple((m, plugs_on(wiring.plan, m, sealed)) for m in measured_runs(wiring))


@fact
def bundles(wiring: Wiring) -> tuple[Bundle, ...]:
    """Return what lies together on each stretch."""
    return bundles_of(wiring.plan, measured_runs(wiring))
