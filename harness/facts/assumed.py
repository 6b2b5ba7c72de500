"""What nobody stated of the copper on a way, so that it had to be assumed."""

from __future__ import annotations

from collections.abc import Iterable

from harness.electrics.ohms import Assumed
from harness.facts.currents import currents
from harness.wiring.build import Wiring


def assumed_on(wiring: Wiring, links: Iterable[int]) -> list[Assumed]:
    """Return what was assumed of some links, by number, that a key of the plan could state."""
    ohms, parts = currents(wiring).outcome.net.ohms, wiring.plan.parts
    found = {one for number in links if number in ohms for one in ohms[number].assumed}
    keyed = [one for one in found if parts[one.part].has_key(one.key)]
    return sorted(keyed, key=lambda one: (one.part, one.key))
