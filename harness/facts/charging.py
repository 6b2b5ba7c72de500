"""What current one source drives into another."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness.facts.currents import currents
from harness.facts.stacks import pack_ohms, pack_volts
from harness.parts.figure import Figure, stated
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from harness.electrics.outcome import Outcome


@fact
def as_joined(wiring: Wiring) -> Outcome | None:
    """Return the built-in case in which the packs have just been joined; None without solution."""
    from harness.electrics.cases import built_in
    from harness.electrics.outcome import outcome_of
    from harness.electrics.solver.circuit import NotSolved

    case = next(case for case in built_in(wiring.plan) if case.name == "joined")
    try:
        return outcome_of(currents(wiring).wiring, [case])
    except NotSolved:
        return None


def charged_with(wiring: Wiring, one: Pack, other: Pack) -> float | None:
    """Return what the emptier of two packs side by side is charged with as they are joined, A.

    All that flows into it comes from beside it. None where it is not stated how full both are, or
    how many volts they have.
    """
    if any(pack.volts is None and pack.charge is None for pack in (one, other)):
        return None
    outcome = as_joined(wiring)
    if outcome is None:
        return None
    given = [float(outcome.given(pack.id)[0]) for pack in (one, other)]
    return None if any(math.isnan(amps) for amps in given) else max(0.0, -min(given))


@dataclass(frozen=True, slots=True)
class Apart:
    """The volts between two packs, and what both resist together."""

    apart: Figure
    ohms: Figure


def estimated(plan: Plan, one: Pack, other: Pack) -> Apart | None:
    """Return what drives and limits a current between two packs, by the volts as metered, else
    the nominal ones, and without the copper between.
    """
    at = [stated(pack, "volts", pack.volts) for pack in (one, other)]
    if None in at:
        at = [pack_volts(plan, pack, "nominal") for pack in (one, other)]
    (low, high), (ohms, more) = at, [pack_ohms(plan, pack) for pack in (one, other)]
    if low is None or high is None or ohms is None or more is None:
        return None
    volts = abs(low.number - high.number)
    return Apart(Figure(volts, low.origin), Figure(ohms.number + more.number, ohms.origin))


def driven_back(wiring: Wiring, part: Part, other: Part) -> float:
    """Return the current that charges an empty pack while the other source is full, A."""
    from harness.electrics.cases import OperatingCase
    from harness.electrics.outcome import outcome_of

    charges = {part.id: 0.0, other.id: 1.0}
    case = OperatingCase("back-fed", "the pack without a diode is empty", charges=charges)
    given = float(outcome_of(currents(wiring).wiring, [case], limited=True).given(part.id)[0])
    return max(0.0, -given)
