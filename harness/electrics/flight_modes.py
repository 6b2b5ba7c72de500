"""The ways to fly the phases of a plan: typical, worst, best; and what makes the worst worse.

When to be down is not the worst, in which all that could shorten a flight comes at once. What is
known before take-off (an aged pack, a cold day) shortens it by all it does; what nobody knows is
combined as independent uncertainties are, after JCGM 100:2008 (the GUM; from memory): relative
ones by the root of the sum of their squares (5.1.6), each evenly likely within its bounds (4.3.7);
what only ever shortens a flight counts from the middle of its bounds (4.3.8); coverage factor 2.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import exp, log, sqrt

from harness.base.data import dataclass, replace
from harness.electrics.cases import Activity, OperatingCase, cases_of, meant
from harness.parts.figure import Figure, rule_figure
from harness.plan.plan import Plan

AGED = Figure(0.8, "our own assumption: what an aged pack still holds of its capacity")
USUAL = "cruise"
"""The case that holds where a phase names none."""

UNTOLD = (
    "the plan does not say how it is flown: write its phases, for example `flight: [{phase:"
    " circuits, time: 8 min, throttle: 50 %}]`, or at a pack the `mean-current` read over a flight"
)

AGING, COLD, LOSSY, BUSY, HAND = (
    "aged packs", "cold cells", "motors and ESCs that lose more", "flight surfaces always working",
    "more throttle as the volts fall",
)  # fmt: skip
WORSE = (AGING, COLD, LOSSY, BUSY, HAND)
"""What makes a flight shorter, one apart from the other."""
OF_MOTORS = (LOSSY, HAND)
BEFOREHAND, BY_CHANCE = (AGING, COLD), (LOSSY, BUSY, HAND)
"""Known before take-off; nobody knows."""
COVERAGE = 2


@dataclass(frozen=True, slots=True)
class Mode:
    """A way to fly the phases: `worse`: what makes it shorter; `losses` as in a case.

    `slice_`: into how much longer slices its phases are cut than those that are drawn.
    """

    name: str
    about: str
    worse: tuple[str, ...] = ()
    losses: str = ""
    slice_: float = 4.0


TYPICAL = Mode("typical", "the phases of the plan, motors with the usual losses", slice_=1.0)


def worst_mode(worse: tuple[str, ...], losses: str) -> Mode:
    """Return the mode in which all of some causes come at once."""
    return Mode("worst", "all at once: " + ", ".join(worse), worse, losses, slice_=1.0)


def landing(
    typical: float, alone: Mapping[str, float], both: float, worst: float, *, cut: bool
) -> dict[str, float]:
    """Return by when to be down, s, by what is known beforehand ("": nothing, all of it).

    `alone`: s that a flight lasts with each cause by itself; `both`: with all that is known
    beforehand; `worst`: with all at once, and nothing is earlier. `cut`: there an ESC cuts, which
    single causes cannot tell of: as much is then taken off.
    """
    shares = {word: log(typical / alone[word]) for word in BY_CHANCE if word in alone}
    middle = sum(share / 2 for word, share in shares.items() if word != LOSSY)
    squares = sum(share**2 / (3 if word == LOSSY else 12) for word, share in shares.items())
    less = min(middle + COVERAGE * sqrt(squares), sum(shares.values()))
    if cut:
        less = max(less, log(both / worst))
    known = {"": typical, **{w: alone[w] for w in BEFOREHAND if w in alone}}
    if len(known) > len(BEFOREHAND):
        known[" and ".join(BEFOREHAND)] = both
    return {word: max(time * exp(-less), min(worst, time)) for word, time in known.items()}


@dataclass(frozen=True, slots=True)
class FlightLeg:
    """One phase: its name, how long it lasts (s; None: as long as it goes on), its case."""

    name: str
    time: float | None
    case: OperatingCase


def legs_of(plan: Plan, mode: Mode) -> tuple[tuple[FlightLeg, ...], tuple[str, ...]]:
    """Return the phases of a plan in one mode, and what was assumed."""
    cases = {case.name: case for case in cases_of(plan)}
    legs = [
        FlightLeg(p.phase, p.time, _throttled(cases[p.case or USUAL], p.throttle))
        for p in plan.flight
    ]
    assumed = [
        f"{p.phase}: {cases[p.case or USUAL].throttle:.0%} throttle, as in {p.case or USUAL}"
        for p in plan.flight
        if p.throttle is None
    ]
    share = rule_figure(plan.catalogue, "sizing", "continuous-share")
    cold = cases["cold"].temperature
    told = {
        AGING: f"packs hold {AGED.number:.0%} of their capacity ({AGED.origin})",
        COLD: f"air of {cold:g} degC: the cells resist more and give less of their capacity",
        LOSSY: "motors and ESCs lose what shortens it most, where nothing is stated",
        BUSY: f"flight surfaces work at {share.number:.0%} of their stall ({share.origin})",
        HAND: "as the volts fall the pilot gives more throttle, up to all of it",
    }
    assumed += [told[word] for word in mode.worse]
    air = cold if COLD in mode.worse else None
    work = share.number if BUSY in mode.worse else 0.0
    legs = [replace(leg, case=_worked(plan, leg.case, air, work, mode.losses)) for leg in legs]
    return tuple(legs), tuple(assumed)


def _throttled(case: OperatingCase, throttle: float | None) -> OperatingCase:
    return case if throttle is None else replace(case, throttle=throttle, throttles={})


def _worked(
    plan: Plan, case: OperatingCase, cold: float | None, share: float, losses: str
) -> OperatingCase:
    """Lay work of the flight surfaces, cold and losses over a case; what draws more stays."""
    working = {
        part: Activity("stalled", share)
        for part in (meant(plan, ["flight"]) if share else ())
        if case.doing(part).state != "stalled" or case.doing(part).share < share
    }
    activity = {**case.activity, **working}
    air = case.temperature if cold is None else min(case.temperature, cold)
    return replace(case, activity=activity, temperature=air, losses=losses)
