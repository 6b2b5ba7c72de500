"""Which overloaded 3-pin plugs are reported as such, and which wait for a supply to be mended."""

from __future__ import annotations

from harness.facts.currents import (
    Joint,
    contact_bears,
    single_supplies,
    told_currents,
    worst_of_runs,
)
from harness.facts.supplied import weak_supplies
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact


def from_weak_supply(wiring: Wiring, mate: Mate) -> bool:
    """Say whether a plug is overloaded by what a weak supply is asked for, not by what it gives."""
    below = wiring.downstream(mate.socket.id) if mate.socket else ()
    weak = not weak_supplies(wiring).isdisjoint(port.part.id for port in below)
    return weak and not contact_bears(wiring).exceeded(told_currents(wiring).port(*mate.plug.id))


@fact
def only_supplies(wiring: Wiring) -> tuple[Joint, ...]:
    """Return the overloaded plugs that are a rail's only supply, unless that is too weak anyway."""
    return tuple(j for j in single_supplies(wiring) if not from_weak_supply(wiring, j.mate))


@fact
def worst_leads(wiring: Wiring) -> tuple[Joint, ...]:
    """Return the other overloaded plugs, the worst of each run."""
    alone = {joint.rail for joint in single_supplies(wiring)}
    return tuple(
        joint
        for joint in worst_of_runs(wiring)
        if not joint.rail or (joint.rail not in alone and not from_weak_supply(wiring, joint.mate))
    )
