"""An ESC gets so few volts under load that its low-volts cut-off stops the motor.

What it looks for
    The battery volts at each ESC in every operating case, against the volts a cell at which it
    cuts its motors (`cut-off`, or the catalogue's for the chemistry) times its cells: in a case
    that lasts an error, for seconds a warning. Where the cells themselves break down,
    `supply-breaks-down` tells it.

Why it matters
    The motor stops, or goes down to a trickle, though the pack is not empty: mostly at full
    throttle in the climb after a missed landing, when it is wanted most.

An example that fails
    escs:
      esc: {rated: 60 A, supply: long, bec: none, connector: XT60, wire: 12 AWG, length: 100 mm}
    motors:
      motor: {full-throttle: 40 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 4 Ah, rate: 40 C, connector: XT60}
    power-leads:
      long: {kind: extension, supply: main, length: 3 m, wire: 14 AWG, connector: XT60}

The same, mended
    power-leads:
      long: {kind: extension, supply: main, length: 300 mm, wire: 10 AWG, connector: XT60}

Where it comes from
    3.2 V a lithium cell, 3.0 to 3.4 V by what is set in it: common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.electrics.packs import motor_packs
from harness.facts.cell_volts import CellSag, cutting_escs, damaged_packs
from harness.facts.currents import amps, case_numbers, when
from harness.facts.motion import turning
from harness.facts.stronger import gauge_for, packs_for, shorter
from harness.facts.volts import way_to
from harness.facts.wording import parts_named, volts, volts_line
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Wiring


@rule(Severity.WARNING, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each ESC once."""
    spoilt = {sag.part.id for sag in damaged_packs(desk.wiring)}
    fed = motor_packs(desk.wiring)
    for sag in cutting_escs(desk.wiring):
        if spoilt & set(fed.get(sag.part.id, ())):
            continue
        cell, least = sag.volts / sag.cells, sag.limit.number / sag.cells
        yield check.finding(
            f"{sag.part.named()} gets {volts(round(sag.volts, 2))} at {amps(round(sag.amps, 1))}"
            f"{when(sag.case)}, {volts(round(cell, 2))} a cell: below {volts(least)} it cuts its"
            " motor",
            sag.part.span,
            sag.part,
            *sag.packs,
            severity=Severity.ERROR if sag.lasting else None,
            help=f"{_advice(desk, sag)}or fit a smaller {turning(desk.plan).one}; a cut-off set"
            " lower spoils the cells",
            numbers=(volts_line("cut-off", sag.limit), *case_numbers(desk.wiring, sag.case)),
        )


def _advice(desk: Desk, sag: CellSag) -> str:
    """Name the wires that mend it and their gauge, the biggest eaters first, or the packs."""
    wiring, way = desk.wiring, way_to(desk.wiring, sag.part, sag.case)
    ports = [
        wiring.ports[e.part.id, e.port]
        for e in (way.eaters if way is not None else ())
        if e.kind == "wire" and (e.part.id, e.port) in wiring.ports and not e.part.as_made
    ]

    def mended(after: Wiring) -> bool:
        return all(other.part.id != sag.part.id for other in cutting_escs(after))

    tried = (gauge_for(wiring, ports[:n], mended) for n in range(1, len(ports) + 1))
    thick = next((found for found in tried if found is not None), None)
    says = [f"use {thick.row} or thicker for {parts_named(thick.parts)}"] if thick else []
    if ports and (length := shorter(wiring, ports[0], mended, thicker=False)):
        says.append(length)
    if pack := packs_for(wiring, sag.packs, mended):
        says.append(f"take {pack}")
    if ports and not says and (both := shorter(wiring, ports[0], mended, thicker=True)):
        says = [both]
    if not says:
        says = ["fit thicker or shorter wires and a pack of more capacity or less resistance"]
    return "".join(f"{each}; " for each in says)
