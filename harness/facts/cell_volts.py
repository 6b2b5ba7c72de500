"""What is left of a pack's volts under load: at its own cells, and at the ESCs that watch them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness.electrics.packs import cut_off, damage_volts, pack_chains
from harness.facts.currents import currents
from harness.parts.esc import Esc
from harness.parts.figure import Figure
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from harness.electrics.solver.circuit import Array

TINY = 1e-6
"""V."""


@dataclass(frozen=True)
class Sag:
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
def damaged_packs(wiring: Wiring) -> tuple[Sag, ...]:
    """Return the packs whose cells fall below what damages them."""
    flows = currents(wiring)
    if flows.shorted:
        return ()
    found = list[Sag]()
    for pack in wiring.plan.of(Pack):
        limit, out = damage_volts(wiring.plan, pack), flows.outcome
        if limit is not None:
            at, amps = out.volts_in(pack.id, "cells"), out.given(pack.id)
            found += _worst(wiring, pack, (pack,), limit, at, amps)
    return tuple(found)


@fact
def cutting_escs(wiring: Wiring) -> tuple[Sag, ...]:
    """Return the ESCs that get less than the volts at which they cut their motors."""
    flows = currents(wiring)
    if flows.shorted:
        return ()
    found = list[Sag]()
    for esc in wiring.plan.of(Esc):
        limit, out = cut_off(flows.wiring, esc), flows.outcome
        if limit is not None and esc.id not in out.net.unfed:
            chain = max(pack_chains(flows.wiring, esc), key=lambda c: sum(p.cells for p in c))
            found += _worst(wiring, esc, chain, limit, out.fed(esc.id), out.drawn(esc.id))
    return tuple(found)


def _worst(
    wiring: Wiring, part: Part, packs: tuple[Pack, ...], limit: Figure, volts: Array, amps: Array
) -> Iterator[Sag]:
    """Yield the worst case: where nothing is drawn the pack is what it is."""
    import numpy as np

    flows = currents(wiring)
    judged = np.array([flows.counts(case) for case in flows.outcome.cases])
    low = judged & (amps > TINY) & (volts < limit.number - TINY)
    lasting = low & np.array([case.lasting for case in flows.outcome.cases])
    some = lasting if lasting.any() else low
    if not some.any():
        return
    worst = int(np.argmin(np.where(some, volts, np.inf)))
    case = flows.outcome.cases[worst]
    yield Sag(part, packs, limit, float(volts[worst]), case.name, case.lasting, float(amps[worst]))
