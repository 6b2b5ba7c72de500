"""Which plug closes the circuit from the packs to an ESC's capacitors, and so needs an anti-spark.

It is the first plug after which a whole chain of packs, and every arming plug on the way, is made:
of a stack its last pack, with an arming plug that plug, of packs side by side the first of them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from harness.airframe.stages import plug_task
from harness.airframe.steps import hangs_on
from harness.base.near import spoken
from harness.documents.steps.work import Work
from harness.electrics.charge import pack_chains
from harness.parts.contacts import Form
from harness.parts.esc import Esc
from harness.parts.pack import Pack
from harness.parts.part import Part, of_kind
from harness.wiring.build import Mate


def spark_details(work: Work, mates: Iterable[Mate]) -> dict[str, str]:
    """Return what to mind at the plugs that close a main circuit, by the name of their task.

    `mates`: the plugs that bring current, in the order in which they are made.
    """
    least = work.rule("anti-spark", "cells")
    made, escs, cells = list(mates), dict[str, list[str]](), dict[str, int]()
    for esc in sorted(work.plan.of(Esc), key=lambda part: part.id):
        for name, high in _closing(work, esc, made):
            escs.setdefault(name, []).append(esc.named())
            cells[name] = max(high, cells.get(name, 0))
    return {
        name: f"through an anti-spark: this plug closes the circuit to the capacitors of"
        f" {spoken(some)}, {cells[name]} cells (from {least.number:g} cells up: {least.origin})"
        for name, some in escs.items()
        if cells[name] >= least.number
    }


def _closing(work: Work, esc: Esc, made: Sequence[Mate]) -> Iterator[tuple[str, int]]:
    """Yield the plug that closes an ESC's circuit, and the cells in series there; or nothing."""
    chains = pack_chains(work.wiring, esc)
    wanted = {plug_task(m).name for m in made if _arms(work, m, esc)}
    done: set[str] = set()
    packs: set[str] = set()
    for mate in made:
        done.add(plug_task(mate).name)
        packs |= {p.id for p in of_kind(Pack, _ends(mate)) if not _balance(mate)}
        closed = [chain for chain in chains if {pack.id for pack in chain} <= packs]
        if closed and wanted <= done:
            yield plug_task(mate).name, max(sum(p.cells for p in chain) for chain in closed)
            return


def _ends(mate: Mate) -> tuple[Part | None, ...]:
    return (mate.plug.part, mate.socket.part) if mate.socket is not None else (mate.plug.part,)


def _balance(mate: Mate) -> bool:
    return Form.BALANCE in {mate.plug.form, mate.socket.form if mate.socket else None}


def _arms(work: Work, mate: Mate, esc: Esc) -> bool:
    lead = mate.plug.part
    if lead is None or not lead.arms:
        return False
    return esc in hangs_on(work.access, lead)
