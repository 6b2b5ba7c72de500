"""Wires of a 3-pin lead are swapped.

What it looks for
    A lead whose wires change place on the way, so that terminals of different roles meet: by its
    pin map, by the colours at its two ends, or by what was found on the bench. Two swaps that undo
    each other are no fault, and an adapter between different pin orders is none either.

Why it matters
    With red and black swapped in one branch of a Y-lead, the servo on that branch gets its supply
    the wrong way round and burns within seconds, while the other one works. A bare-motor leg goes
    up when its box says down. With the pale wire swapped, the device does nothing or loads the
    receiver's output.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      flap-left: {plug: flap-y.1}
      flap-right: {plug: flap-y.2}
    leads:
      flap-y:
        kind: custom
        ways: 2
        plug: rx.1
        ends: {plug: [WH, RD, BK], "1": [WH, RD, BK], "2": [WH, BK, RD]}

The same, mended
    leads:
      flap-y:
        ends: {plug: [WH, RD, BK], "1": [WH, RD, BK], "2": [WH, RD, BK]}

Where it comes from
    Pin order and colours: Arduino and PX4 documentation (ground, power in the middle, signal).
    A wrong Y-lead is common even when new: common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.mend_first import burns, reported_by
from harness.facts.poles import Crossing, beyond, lead_faults
from harness.facts.wording import INSULATION, becomes, harmless, parts_named, verb
from harness.parts.join import PINS
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each lead or branch at fault once."""
    for fault in lead_faults(desk.wiring):
        if reported_by(fault) == check.name:
            yield _finding(desk, fault)


def _finding(desk: Desk, fault: Crossing) -> Finding:
    wires = " and ".join(_wires(fault))
    lead, where, spot = _place(fault)
    hit = beyond(desk.wiring, fault)
    return check.finding(
        f"{wires} are swapped {where}: {_effect(fault, hit)}",
        fault.span,
        lead,
        *hit,
        severity=Severity.DANGER if burns(desk.wiring, fault) else Severity.ERROR,
        spot=spot,
        help="change its two wires over, try it with the wheels free, and write it straight"
        if harmless(hit)
        else f"do not plug it in; put its {wires} pins back in their places, "
        "meter every branch from end to end, and state the mended lead in the plan",
    )


def _wires(fault: Crossing) -> list[str]:
    moved = {pin for link in fault.links for pin in (link.a.pin, link.b.pin)}
    return [INSULATION[pin] for pin in ("positive", "negative", "signal") if pin in moved]


def _place(fault: Crossing) -> tuple[Part, str, str]:
    """Return the part to mark, where the swap is, and the port."""
    lead = fault.owner
    if fault.mate is not None:
        socket = fault.mate.socket
        assert socket is not None
        if socket.part.carries_signal:
            return socket.part, f"in branch {socket.name} of {socket.part.named()}", socket.name
        return lead, f"between {lead.named()} and {socket.short}", fault.mate.plug.name
    where = f"in branch {fault.outlet} of" if fault.outlet else "from end to end of"
    return lead, f"{where} {lead.named()}", fault.outlet or "plug"


def _effect(fault: Crossing, hit: list[Part]) -> str:
    sources = [part for part in hit if part.holds_cells or part.regulates]
    if sources:
        return f"{parts_named(sources)} would feed the receiver backwards, and all on it burns"
    if fault.swaps("positive", "negative"):
        return becomes(hit)
    who = f"{parts_named(hit) or 'what hangs on it'} {verb(hit, 'gets its', 'get their')}"
    if fault.swaps("positive", "signal"):
        return f"{who} supply on the signal pin, and the receiver's output bears it too"
    return f"{who} signal on the ground pin and does nothing"


assert set(INSULATION) == set(PINS)
