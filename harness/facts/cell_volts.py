"""What is left of a pack's volts under load: at its own cells, and at the ESCs that watch them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.electrics.packs import cut_off, damage_volts, pack_chains
from harness.facts.currents import currents
from harness.parts.esc import Esc
from harness.parts.figure import Figure
from harness.parts.pack import Pack
from harness.parts.part import Part, of_kind
from harness.wiring.build import Wiring
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from harness.electrics.rows import LoadRow


@dataclass(frozen=True)
class CellSag:
    """A pack or ESC below the volts it must keep: the least of them, V, and in which case.

    The worst case that lasts, where there is one, else the worst for seconds. `packs`: whose
    volts they are.
    """

    part: Part
    packs: tuple[Pack, ...]
    limit: Figure
    volts: float
    case: str
    lasting: bool
    amps: float

    @property
    def cells(self) -> int:
        """How many cells share the volts."""
        return sum(pack.cells for pack in self.packs)


@fact
def damaged_packs(wiring: Wiring) -> tuple[CellSag, ...]:
    """Return the packs whose cells fall below what damages them."""
    from harness.electrics.flows import held
    from harness.electrics.rows import pack_rows

    flows, found = currents(wiring), list[CellSag]()
    for row in () if flows.shorted else pack_rows(held(flows.wiring)):
        pack = of_kind(Pack, [wiring.plan.parts[row.part]])[0]
        limit = damage_volts(wiring.plan, pack)
        if limit is not None:
            found += _worst(wiring, row, (pack,), limit)
    return tuple(found)


@fact
def rows_of_parts(wiring: Wiring) -> tuple[LoadRow, ...]:
    """Return the rows of the parts with BECs held to what they give. Raises NotSolved."""
    from harness.electrics.flows import held
    from harness.electrics.rows import part_rows

    return part_rows(held(currents(wiring).wiring))


@fact
def cutting_escs(wiring: Wiring) -> tuple[CellSag, ...]:
    """Return the ESCs that get less than the volts at which they cut their motors."""
    flows, found = currents(wiring), list[CellSag]()
    for row in () if flows.shorted else rows_of_parts(wiring):
        for esc in of_kind(Esc, [wiring.plan.parts[row.part]]):
            limit = cut_off(flows.wiring, esc)
            if limit is not None:
                chain = max(pack_chains(flows.wiring, esc), key=lambda c: sum(p.cells for p in c))
                found += _worst(wiring, row, chain, limit)
    return tuple(found)


def _worst(
    wiring: Wiring, row: LoadRow, packs: tuple[Pack, ...], limit: Figure
) -> Iterator[CellSag]:
    """Yield the worst case of a row that `load` marks."""
    at, cases = row.lowest, currents(wiring).outcome.cases
    if at is not None and row.volts is not None:
        part, case = wiring.plan.parts[row.part], cases[at]
        amps, volts = float(row.amps[at]), float(row.volts[at])
        yield CellSag(part, packs, limit, volts, case.name, case.lasting, amps)
