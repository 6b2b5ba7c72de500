"""A pack in a stack is reversed: its volts are taken away instead of added.

What it looks for
    Packs joined end to end of which one has its poles crossed.

Why it matters
    The stack gives less than it should, perhaps nothing, and the reversed pack is charged by the
    others at full flight current: it swells and burns.

An example that fails
    packs:
      low: {chemistry: lipo, cells: 6, capacity: 5 Ah, connector: bullet-6mm}
      high: {chemistry: lipo, cells: 6, capacity: 5 Ah, connector: bullet-6mm}
    power-leads:
      stack:
        kind: series
        connector: bullet-6mm
        supply: [{into: low, poles: straight}, {into: high, poles: crossed}]

The same, mended
    power-leads:
      stack:
        supply: [{into: low, poles: straight}, {into: high, poles: straight}]

Where it comes from
    Volts of a series join add up with their signs (Kuphaldt, Lessons in Electric Circuits I).
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.fed import put_right
from harness.facts.poles import PoleFault, pole_faults, stack_volts, straightened
from harness.facts.wording import by_cells, volts
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each reversed level once."""
    faults = pole_faults(desk.wiring)
    return (_finding(desk, fault) for fault in faults if fault.kind == "cancelling-series")


def _finding(desk: Desk, fault: PoleFault) -> Finding:
    lead, end, _ = fault.wrong.levels[0]
    others = [f.crossing for f in pole_faults(desk.wiring) if f is not fault]
    right = stack_volts(put_right(desk.wiring), lead)
    wrong = stack_volts(straightened(desk.wiring, others), lead)
    socket = desk.wiring.by_plug[lead.id, end].socket
    source = socket.part if socket is not None else lead
    return check.finding(
        f"{source.named()} is reversed in the stack of {lead.named()}: it gives {volts(wrong)}"
        f" instead of {volts(right)}, and the others charge it with all the current drawn",
        fault.crossing.span,
        source,
        lead,
        spot=socket.name if socket is not None else end,
        help=f"packs off; turn {source.id} round at its own end of {lead.id}: its red wire to the"
        " red one of that end, its black to the black; meter the stack, then check again, as no"
        " volts are judged while poles are crossed",
        numbers=(by_cells("as joined", wrong), by_cells("as meant", right)),
    )
