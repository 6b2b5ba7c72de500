"""A pack is reversed among packs joined side by side.

What it looks for
    Packs in parallel of which one is joined with its poles crossed, by bare bullets, an adapter
    or a lead found crossed.

Why it matters
    Both packs drive current the same way round a loop of nothing but copper: the volts add, and
    only the packs' own resistance limits a current of many hundred amperes. The leads burn before
    anything can be pulled.

An example that fails
    packs:
      front: {chemistry: lipo, cells: 3, capacity: 4 Ah, volts: 11.9 V, connector: bullet-4mm}
      rear: {chemistry: lipo, cells: 3, capacity: 4 Ah, volts: 11.9 V, connector: bullet-4mm}
    power-leads:
      both:
        kind: parallel
        connector: bullet-4mm
        supply: [{into: front, poles: straight}, {into: rear, poles: crossed}]

The same, mended
    power-leads:
      both:
        supply: [{into: front, poles: straight}, {into: rear, poles: straight}]

Where it comes from
    Common practice; no published source. The current is the loop's volts over the packs' own
    resistance: a cell has about 5 milliohm (PX4 user guide, battery page).
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.poles import PoleFault, pole_faults
from harness.facts.wording import by_cells, joined, volts
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each crossing once."""
    faults = pole_faults(desk.wiring)
    return (_finding(fault) for fault in faults if fault.kind == "reversed-pack")


def _finding(fault: PoleFault) -> Finding:
    owner, mate = fault.crossing.owner, fault.crossing.mate
    socket = mate.socket if mate else None
    much = max(v for _, v in fault.wrong.rings)
    where = f"where {joined(mate)} goes" if mate else owner.named()
    source = socket.part if socket else owner
    return check.finding(
        f"{source.named()} is reversed in a parallel join: {volts(much)} drive a short circuit"
        " through copper alone, and the leads burn",
        fault.crossing.span,
        source,
        owner,
        *(pack for pack, _ in fault.wrong.rings),
        help=f"packs off; join red to red and black to black {where}, and meter across the last"
        " plug before you close it: there must be nearly no volts",
        spot=socket.name if socket else "",
        numbers=(by_cells("round the loop", much),),
    )
