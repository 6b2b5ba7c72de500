"""A fully charged source gives more volts than a part bears.

What it looks for
    On every rail the volts of the fully charged source (or of the BEC, as metered or stated, less
    the diodes on the way) against the lowest `volts-max` of what hangs on it; and the stack of
    packs against the cells an ESC or regulator bears.

Why it matters
    Servos hum, get hot and burn; a receiver dies with all its channels; an ESC fails with fire.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {class: 9g-analogue, plug: rx.4}
    packs:
      radio: {chemistry: nimh, cells: 5, plug: rx.batt}

The same, mended
    packs:
      radio: {chemistry: nimh, cells: 4, plug: rx.batt}

Where it comes from
    Full volts a cell: 4.2 V LiPo, PX4 user guide; 1.4 V NiMH and 3.6 V LiFe common practice, no
    published source. Limits by class: the catalogue's servos and receivers.
"""

from __future__ import annotations

import math

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.rails import source_volts
from harness.facts.shorts import shorts
from harness.facts.supplied import Beyond, battery_volts, beyond, gives, source_span, unlimited
from harness.facts.volts import volts_wanted
from harness.facts.wording import in_plan, volts, volts_line
from harness.parts.esc import Esc
from harness.parts.figure import from_catalogue
from harness.parts.part import Part
from harness.parts.regulator import Regulator
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER, solved=True)
def check(desk: Desk) -> Findings:
    """Report each source once, with all it is too much for."""
    for part in unlimited(desk.wiring, "volts-max", "full"):
        desk.not_known(part, "the highest supply it bears (volts-max)", "volts-max")
    for source, parts in beyond(desk.wiring, "volts-max", "full"):
        yield _finding(desk, source, parts)
    fed: list[Esc | Regulator] = [*desk.plan.of(Esc), *desk.plan.of(Regulator)]
    for part in fed if not shorts(desk.wiring) else ():
        yield from _cells(desk, part)


def _finding(desk: Desk, source: Part, parts: tuple[Beyond, ...]) -> Finding:
    top = max(part.volts for part in parts)
    figure = source_volts(desk.wiring, source, "full")
    words = [f"{b.part.named()} bears {volts(b.limit.number)}" for b in parts[:3]]
    more = [f"{len(parts) - 3} more bear too little"] if len(parts) > 3 else []
    return check.finding(
        f"{gives(desk.wiring, source, top, 'full')}, but {spoken([*words, *more])}",
        source_span(source),
        source,
        *(b.part for b in parts),
        help=f"{volts_wanted(desk.wiring, source)}, or use parts made for more volts",
        numbers=(
            *((volts_line(source.id, figure),) if figure else ()),
            *(volts_line(b.part.id, b.limit) for b in parts),
        ),
    )


def _cells(desk: Desk, part: Esc | Regulator) -> Findings:
    """Cells are counted by their volts, so that any chemistry can be judged: LiPo cells full."""
    fed = battery_volts(desk.wiring, part, "full")
    cell = from_catalogue(desk.plan.catalogue, "packs", "lipo", "full")
    if fed is None or cell is None:
        return
    if part.cells_max is None:
        desk.not_known(part, "how many cells it bears (cells-max)", "cells-max")
    elif fed > part.cells_max * cell.number + 1e-6:
        yield check.finding(
            f"{part.named()} bears {part.cells_max} cells, {volts(part.cells_max * cell.number)},"
            f" but its battery wires see {volts(fed)} fully charged",
            part.supply.span if part.supply else part.span,
            part,
            spot="supply",
            help="use a pack of fewer cells or a part made for"
            f" {math.ceil(fed / cell.number - 1e-6)}",
            numbers=(
                ("most cells", in_plan(f"{part.cells_max}", part.at("cells-max"))),
                volts_line("a cell full", cell),
                ("battery wires", f"{volts(fed)} (cells of the packs, catalogue packs)"),
            ),
        )
