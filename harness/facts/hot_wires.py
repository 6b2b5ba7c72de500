"""Which wires get warmer than their insulation bears, in cases that last, and what cools them.

They are the leads that `harness load` marks: one set. Cases of seconds are not judged so: the plan
does not say how many seconds, and what a wire bears for seconds is judged by its amperes.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.base.units import WireSize
from harness.facts.currents import amps, currents, derated
from harness.facts.overloaded_plugs import only_supplies, worst_leads
from harness.parts.contacts import Port
from harness.parts.figure import Figure
from harness.wiring.build import PortId, Wiring
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from harness.electrics.outcome import Outcome
    from harness.electrics.rows import LoadRow


@dataclass(frozen=True)
class HotWire:
    """A wire at its warmest: degC of its copper and of the air, in which case, with how many A.

    `port` is the plug or socket its lead begins at, `bears` the degC of its insulation; `astray`:
    most of its current does not come back by its own lead.
    """

    port: Port
    size: WireSize
    celsius: float
    air: float
    bears: Figure
    case: str
    amps: float
    astray: bool

    @property
    def words(self) -> str:
        """Say how warm it gets, and what it bears."""
        return (
            f"gets to {self.celsius:.0f} degC with {amps(self.amps)} (in {self.case}, air of"
            f" {self.air:g} degC); its insulation bears {self.bears.number:g} degC"
        )


@fact
def hot_wires(wiring: Wiring) -> dict[PortId, HotWire]:
    """Return the leads with a wire beyond its insulation, by the plug or socket each begins at."""
    from harness.electrics.flows import held
    from harness.electrics.rows import lead_rows

    told = currents(wiring)
    if told.shorted:
        return {}
    outcome = held(told.wiring)
    least = min(wiring.plan.catalogue.column("wires", "rated-temperature").values())
    if not any((copper > least).any() for copper in outcome.net.warmth.values()):
        return {}
    each = (_hot(outcome, row) for row in lead_rows(outcome))
    return {hot.port.id: hot for hot in each if hot is not None}


def _hot(outcome: Outcome, row: LoadRow) -> HotWire | None:
    at, port, warmth = row.hottest, outcome.wiring.ports[row.part, row.port], outcome.net.warmth
    size = port.wire.size
    if at is None or row.insulation is None or size is None:
        return None
    links = outcome.wiring.links
    number = max(row.wires, key=lambda n: (round(float(warmth[n][at]), 6), -n))
    ends = {(c.part, c.port) for c in (links[number].a, links[number].b)}
    beside = [n for n in row.wires if {(c.part, c.port) for c in (links[n].a, links[n].b)} == ends]
    flows, case = abs(float(outcome.link(number)[at])), outcome.cases[at]
    left = abs(sum(float(outcome.link(n)[at]) for n in beside))
    return HotWire(
        port,
        size,
        float(warmth[number][at]),
        case.temperature,
        row.insulation,
        case.name,
        flows,
        astray=left > flows / 2,
    )


@fact
def told_at_plugs(wiring: Wiring) -> frozenset[PortId]:
    """Return the plugs whose overload is reported: what their own wires come to is said there."""
    return frozenset(joint.id for joint in (*only_supplies(wiring), *worst_leads(wiring)))


def heat_words(hot: HotWire | None) -> str:
    """Return what a message on a wire's current adds where it gets too hot, else ""."""
    return f"; its {hot.size.text} wire {hot.words}" if hot else ""


def leads_for(wiring: Wiring, hot: HotWire) -> int:
    """Return among how many like leads its current is to be shared out; 0 where none helps.

    Each then carries its share, and none lies in the other's bundle.
    """
    each = lasting(wiring, hot, hot.size)
    return math.ceil(hot.amps / each) if each > 0 else 0


def lasting(wiring: Wiring, hot: HotWire, size: WireSize) -> float:
    """Return the A with which a wire of some gauge, where it lies, is as warm as it may be."""
    from harness.electrics.heat import lasting_amps
    from harness.electrics.warm import cord_of

    cord = cord_of(wiring.plan, size, derated(wiring.plan, hot.port.part).number)
    return lasting_amps(cord, hot.air, hot.bears.number)
