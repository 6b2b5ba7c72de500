"""The way from a part's battery wires back to the packs."""

from __future__ import annotations

from dataclasses import dataclass

from harness.parts.contacts import Form
from harness.parts.figure import from_catalogue
from harness.parts.pack import Pack
from harness.parts.part import Part, of_kind
from harness.parts.power_lead import PowerLead
from harness.wiring.build import Wiring
from harness.wiring.mate import Mate


@dataclass(frozen=True)
class Run:
    """One way from a part to a pack: the part first, then leads and fuses, the pack last."""

    parts: tuple[Part, ...]

    @property
    def pack(self) -> Pack | None:
        """The pack at the end, if the run gets to one."""
        last = self.parts[-1]
        return next(iter(of_kind(Pack, [last])), None)

    @property
    def length(self) -> float:
        """The lengths that are known, added up, in mm."""
        return sum(getattr(part, "length", None) or 0.0 for part in self.parts)

    @property
    def unmeasured(self) -> list[Part]:
        """The parts of the run without a length; a pack's own wires count when they are given."""
        wires = [part for part in self.parts if not part.holds_cells]
        return [part for part in wires if getattr(part, "length", None) is None]


def source_mates(wiring: Wiring, part: Part) -> list[Mate]:
    """Return the mates of a part's battery-side plugs, in the order of the plan."""
    ports = [name for name, _ in part.joins() if wiring.ports[part.id, name].form is Form.POWER]
    mates = [wiring.by_plug[part.id, name] for name in ports]
    return [mate for mate in mates if mate.fits and mate.first]


def runs_of(wiring: Wiring, part: Part, before: tuple[Part, ...] = ()) -> list[Run]:
    """Return every way from a part's battery plugs to a pack."""
    chain = (*before, part)
    if part.holds_cells:
        return [Run(chain)]
    found: list[Run] = []
    parts = {m.socket.part.id: m for m in source_mates(wiring, part) if m.socket}
    for mate in parts.values():
        if mate.socket is None or mate.socket.form is not Form.POWER:
            continue
        above = mate.socket.part
        if (above.holds_cells or above.battery_lead) and above not in chain:
            found += runs_of(wiring, above, chain)
    return found


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
