"""The leads that can be used: loose leads of the plan, the kit, and what the shop has."""

from __future__ import annotations

from collections import Counter

from harness.airframe.kit import kit_of
from harness.airframe.stock import thinner
from harness.base.data import dataclass
from harness.base.units import LENGTH, WireSize, format_quantity, parse_wire
from harness.parts.contacts import size_of
from harness.parts.lead import LEAD_WORDS, Lead
from harness.plan.kit import LEAD_KINDS
from harness.plan.plan import Plan
from harness.wiring.build import Wiring

BUY = "buy"


@dataclass(frozen=True, order=True)
class StockPiece:
    """One kind of lead that can be had. `origin`: lead ID (of the plan), box, drawer or buy.

    `length` in mm, `area` in mm2; below 0 where nobody said. Order is the order of preference
    among pieces that cost the same.
    """

    rank: int
    kind: str
    ways: int
    length: float
    area: float
    gauge: str
    origin: str

    @property
    def bought(self) -> bool:
        """Say whether it has to be bought."""
        return self.origin == BUY

    @property
    def reach(self) -> float:
        """What it adds to a run, in mm; nothing where its length is not known."""
        return max(0.0, self.length)

    def thick_enough(self, wire: WireSize | None) -> bool:
        """Say whether it is at least as thick as a part's own lead, as far as both are known."""
        return wire is None or self.area < 0 or not thinner(self.area, wire.area_mm2)

    def named(self, count: int = 1) -> str:
        """Return it in words: Y-lead, 300 mm, 22 AWG; in the plural for more than one."""
        word = f"{self.ways}-way lead" if self.kind == "n-way" else LEAD_WORDS.get(self.kind)
        said = [(word or self.kind) + "s" * (count != 1)]
        said += [format_quantity(self.length, LENGTH)] if self.length >= 0 else []
        said += [self.gauge] if self.gauge else []
        return ", ".join(said)

    def where(self) -> str:
        """Return where it comes from."""
        if self.bought:
            return "to buy"
        if self.origin.startswith("lead "):
            return f'"{self.origin[5:]}" of the plan'
        return f"from the {self.origin}"


def _piece(
    rank: int, kind: str, ways: int | None, length: float | None, wire: WireSize | None, origin: str
) -> StockPiece:
    count = ways or {"y": 2}.get(kind, 1)
    area, gauge = (wire.area_mm2, wire.text) if wire else (-1.0, "")
    return StockPiece(rank, kind, count, -1.0 if length is None else length, area, gauge, origin)


def stock_of(plan: Plan, wiring: Wiring) -> dict[StockPiece, int]:
    """Return what is at hand and how many of it: loose leads, and what the kit has left.

    A piece of the kit that does for a lead of the plan is not counted twice.
    """
    loose: Counter[StockPiece] = Counter()
    for lead in sorted(plan.of(Lead), key=lambda lead: lead.id):
        used = any(wiring.by_socket.get((lead.id, name)) for name in lead.outlets)
        if lead.plug is None and not used and lead.kind in LEAD_KINDS:
            ways, origin = len(lead.outlets), f"lead {lead.id}"
            loose[_piece(0, lead.kind, ways, lead.length, lead.wire, origin)] += 1
    for left in kit_of(plan).left:
        line = left.piece
        if line.kind in LEAD_KINDS and line.meant_for not in plan.parts:
            rank = 1 if line.found == "box" else 2
            piece = _piece(rank, line.kind, line.ways, line.length, line.wire, line.found)
            loose[piece] += left.count
    return dict(sorted(loose.items()))


def bought(plan: Plan, kind: str, length: float | None, wire: WireSize | None) -> StockPiece:
    """Return a lead to buy: of the usual wire, or of the part's own where that is thicker."""
    usual = size_of(plan.catalogue, "leads", kind, "wire") or parse_wire("22 AWG")
    thick = wire if wire and thinner(usual.area_mm2, wire.area_mm2) else usual
    return _piece(3, kind, None, length, thick, BUY)
