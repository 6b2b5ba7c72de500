"""The phases of a flight as operating cases, typical and worst."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from harness.electrics.cases import Activity, OperatingCase, cases_of, meant
from harness.parts.figure import Figure, rule_figure
from harness.plan.plan import Plan

AGED = Figure(0.8, "our own assumption: what an aged pack still holds of its capacity")
USUAL = "cruise"
"""The case that holds where a phase names none, and all the time where the plan has no flight."""

MODES: Mapping[str, str] = {
    "typical": "as stated",
    "worst": "aged packs, cold cells, flight surfaces always working",
}


@dataclass(frozen=True, slots=True)
class FlightLeg:
    """One phase: its name, how long it lasts (s; None: as long as it goes on), its case."""

    name: str
    time: float | None
    case: OperatingCase


def legs_of(plan: Plan, mode: str) -> tuple[tuple[FlightLeg, ...], tuple[str, ...]]:
    """Return the phases of a plan in one mode, and what was assumed.

    Without phases: the cruise case for as long as it lasts.
    """
    cases = {case.name: case for case in cases_of(plan)}
    legs = [
        FlightLeg(p.phase, p.time, _throttled(cases[p.case or USUAL], p.throttle))
        for p in plan.flight
    ]
    assumed = []
    if not legs:
        legs = [FlightLeg(USUAL, None, cases[USUAL])]
        about = f"{cases[USUAL].throttle:.0%} throttle"
        assumed.append(f"the plan has no flight: the case {USUAL} ({about}) from full to reserve")
    if mode == "worst":
        legs = [replace(leg, case=_worked(plan, leg.case, cases["cold"])) for leg in legs]
        share = _share(plan)
        assumed += [
            f"packs hold {AGED.number:.0%} of their capacity ({AGED.origin})",
            f"air of {cases['cold'].temperature:g} degC: the cells resist more",
            f"flight surfaces work at {share.number:.0%} of their stall ({share.origin})",
        ]
    return tuple(legs), tuple(assumed)


def longest(legs: tuple[FlightLeg, ...]) -> FlightLeg:
    """Return the phase that lasts longest; of several the first."""
    return max(legs, key=lambda leg: float("inf") if leg.time is None else leg.time)


def _throttled(case: OperatingCase, throttle: float | None) -> OperatingCase:
    return case if throttle is None else replace(case, throttle=throttle, throttles={})


def _share(plan: Plan) -> Figure:
    return rule_figure(plan.catalogue, "sizing", "continuous-share")


def _worked(plan: Plan, case: OperatingCase, cold: OperatingCase) -> OperatingCase:
    """Lay work of the flight surfaces and the cold over a case; what draws more stays."""
    share = _share(plan).number
    working = {
        part: Activity("stalled", share)
        for part in meant(plan, ["flight"])
        if case.doing(part).state != "stalled" or case.doing(part).share < share
    }
    activity = {**case.activity, **working}
    return replace(case, activity=activity, temperature=min(case.temperature, cold.temperature))
