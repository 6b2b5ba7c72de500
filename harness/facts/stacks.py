"""Packs joined side by side and end to end: levels, and which level stands on which."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from harness.facts.poles import put_right
from harness.parts.contacts import Contact, LinkKind
from harness.parts.figure import Figure, from_catalogue, known
from harness.parts.pack import Pack
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.fact import fact


@dataclass(frozen=True, slots=True)
class PackLevel:
    """Packs with both poles in common, by id; `low` and `high` are their nets."""

    packs: tuple[Pack, ...]
    low: Contact
    high: Contact

    @property
    def capacity(self) -> float | None:
        """The sum of what the packs hold, Ah; None when one is not stated."""
        held = [pack.capacity for pack in self.packs]
        return None if None in held else sum(h for h in held if h is not None)


@fact
def levels(wiring: Wiring) -> tuple[PackLevel, ...]:
    """Return every level; a pack with nothing beside it is a level of its own."""
    wiring = put_right(wiring)
    found: dict[tuple[Contact, Contact], list[Pack]] = defaultdict(list)
    for link in wiring.links:
        part = wiring.plan.parts[link.owner]
        if link.kind is LinkKind.SOURCE and isinstance(part, Pack):
            poles = (wiring.nets.root[link.a], wiring.nets.root[link.b])
            if poles[0] != poles[1]:
                found[poles].append(part)
    every = [
        PackLevel(tuple(sorted(packs, key=lambda p: p.id)), *poles)
        for poles, packs in found.items()
    ]
    return tuple(sorted(every, key=lambda level: level.packs[0].id))


@fact
def standing(wiring: Wiring) -> tuple[tuple[PackLevel, PackLevel], ...]:
    """Return each pair (lower level, upper level) of a stack."""
    by_low: dict[Contact, list[PackLevel]] = defaultdict(list)
    for level in levels(wiring):
        by_low[level.low].append(level)
    return tuple((low, up) for low in levels(wiring) for up in by_low.get(low.high, ()))


def pack_ohms(plan: Plan, pack: Pack) -> Figure | None:
    """Return the resistance of a whole pack in ohm: its cells in series."""
    cell = known(
        plan.catalogue, pack, "cell-resistance", pack.cell_resistance, "packs", pack.chemistry
    )
    return cell * pack.cells if cell is not None else None


def pack_volts(plan: Plan, pack: Pack, state: str) -> Figure | None:
    """Return the volts of a whole pack "full", "nominal" or "empty"."""
    cell = from_catalogue(plan.catalogue, "packs", pack.chemistry, state)
    return cell * pack.cells if cell is not None else None
