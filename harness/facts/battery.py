"""The way from a part's battery wires back to the packs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from harness.parts.contacts import Form
from harness.parts.figure import from_catalogue
from harness.parts.fuse import Fuse
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.mate import Mate

if TYPE_CHECKING:
    from networkx import DiGraph

ON_THE_WAY = (Pack, PowerLead, Fuse)
"""What a way to a pack passes, or ends in."""


@dataclass(frozen=True)
class Run:
    """One way from a part to a pack: the part first, then leads and fuses, the pack last."""

    parts: tuple[Part, ...]

    @property
    def pack(self) -> Pack | None:
        """The pack at the end, if the run gets to one."""
        last = self.parts[-1]
        return last if isinstance(last, Pack) else None

    @property
    def length(self) -> float:
        """The lengths that are known, added up, in mm."""
        return sum(getattr(part, "length", None) or 0.0 for part in self.parts)

    @property
    def unmeasured(self) -> list[Part]:
        """The parts of the run without a length; a pack's own wires count when they are given."""
        wires = [part for part in self.parts if not isinstance(part, Pack)]
        return [part for part in wires if getattr(part, "length", None) is None]


def source_mates(wiring: Wiring, part: Part) -> list[Mate]:
    """Return the mates of a part's battery-side plugs, in the order of the plan."""
    ports = [name for name, _ in part.joins() if wiring.ports[part.id, name].form is Form.POWER]
    mates = [wiring.by_plug[part.id, name] for name in ports]
    return [mate for mate in mates if mate.fits and mate.first]


@fact
def battery_sides(wiring: Wiring) -> DiGraph[str]:
    """Return the parts with a step from each to the packs, leads and fuses on its battery plugs."""
    from networkx import DiGraph

    graph: DiGraph[str] = DiGraph()
    for part in wiring.plan.parts.values():
        graph.add_node(part.id)
        for mate in () if isinstance(part, Pack) else source_mates(wiring, part):
            socket = mate.socket
            if socket and socket.form is Form.POWER and isinstance(socket.part, ON_THE_WAY):
                graph.add_edge(part.id, socket.part.id)
    return graph


def runs_of(wiring: Wiring, part: Part) -> list[Run]:
    """Return every way from a part's battery plugs to a pack."""
    from networkx import all_simple_paths, descendants

    parts, graph = wiring.plan.parts, battery_sides(wiring)
    packs = [name for name in (part.id, *descendants(graph, part.id)) if name in _packs(wiring)]
    ways = all_simple_paths(graph, part.id, packs)
    return [Run(tuple(parts[name] for name in way)) for way in ways]


@fact
def _packs(wiring: Wiring) -> frozenset[str]:
    return frozenset(pack.id for pack in wiring.plan.of(Pack))


def full_volts(wiring: Wiring, part: Part, seen: tuple[str, ...] = ()) -> float | None:
    """Return the volts a part gets from fully charged packs; None when nobody knows."""
    if isinstance(part, Pack):
        per_cell = from_catalogue(wiring.plan.catalogue, "packs", part.chemistry, "full")
        return part.cells * per_cell.number if per_cell else None
    mates = [m for m in source_mates(wiring, part) if m.socket]
    above = [m.socket.part for m in mates if m.socket and m.socket.part.id not in seen]
    series = isinstance(part, PowerLead) and part.kind == "series"
    once = above if series else list({other.id: other for other in above}.values())
    volts = [full_volts(wiring, other, (*seen, part.id)) for other in once]
    known = [v for v in volts if v is not None]
    if not known or len(known) < len(volts):
        return None
    return sum(known) if series else max(known)
