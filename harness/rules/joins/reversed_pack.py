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
from harness.facts.wording import joined, volts
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each crossing once."""
    for fault in pole_faults(desk.wiring):
        if fault.kind == "reversed-pack":
            yield _finding(fault)


def _finding(fault: PoleFault) -> Finding:
    crossing = fault.crossing
    much = max(v for _, v in fault.wrong.rings)
    where = f"where {joined(crossing.mate)} goes" if crossing.mate else crossing.owner.named()
    source = crossing.mate.socket.part if crossing.mate and crossing.mate.socket else crossing.owner
    return check.finding(
        f"{source.named()} is reversed in a parallel join: {volts(much)} drive a short circuit"
        " through copper alone, and the leads burn",
        crossing.span,
        source,
        *({p.id: p for p in (crossing.owner, *(p for p, _ in fault.wrong.rings))}.values()),
        help=f"never plug it in; red to red and black to black {where}, and meter the volts across"
        " the open join before closing it: they must be nearly nothing",
        spot=crossing.mate.socket.name if crossing.mate and crossing.mate.socket else "",
        numbers=(
            ("round the loop", f"{volts(much)} (cells times nominal volts, catalogue packs)"),
        ),
    )
