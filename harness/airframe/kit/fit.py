"""Whether a piece of the kit does for a part of the plan, and how well."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from harness.airframe.kit.kit_words import BATTERY, LEADS, THREE_PIN, plain_kind
from harness.airframe.stock import thinner
from harness.base.units import LENGTH, WireSize, format_quantity
from harness.parts.capacitor import Capacitor
from harness.parts.lead import Lead
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.plan.kit import KitPiece
from harness.wiring.ratings import THREE_PIN as SERVO_PLUG

_WAYS = ("n-way", "parallel")


@dataclass(frozen=True, slots=True)
class KitNeed:
    """What the plan asks of `count` alike pieces for one part. Length in mm; "" and None: any."""

    part: Part
    kind: str
    count: int = 1
    ways: int | None = None
    class_: str = ""
    connector: str = ""
    length: float | None = None
    wire: WireSize | None = None

    @property
    def alike(self) -> tuple[object, ...]:
        """What two needs have in common when the same pieces do for both."""
        area = self.wire.area_mm2 if self.wire else None
        return (self.kind, self.ways, self.class_, self.connector, self.length, area)


def need_of(part: Part) -> KitNeed | None:
    """Return what a part asks of the kit; None for a part that no kit lists."""
    kind = part.kit_kind()
    if not kind:
        return None
    if isinstance(part, Lead):
        ways = len(part.outlets) if kind in ("n-way", "custom") else None
        return KitNeed(part, kind, 1, ways, "", SERVO_PLUG, part.length, part.wire)
    if isinstance(part, PowerLead):
        ways = part.ways if kind in _WAYS else None
        return KitNeed(part, kind, 1, ways, "", part.connector, part.length, part.wire)
    count = part.count if isinstance(part, Capacitor) else 1
    return KitNeed(part, kind, count, None, part.kit_class(), part.connector)


def mm(length: float) -> str:
    """Write a length: 300 mm."""
    return format_quantity(length, LENGTH)


def misfits(need: KitNeed, piece: KitPiece) -> Iterator[str]:
    """Yield why a piece cannot be that part, whatever its length to spare."""
    kind = plain_kind(piece.kind, piece.ways)
    if kind != need.kind:
        yield "it is of another kind"
        return
    if need.ways and piece.ways and need.ways != piece.ways:
        yield f"it has {piece.ways} sockets, the plan wants {need.ways}"
    if need.class_ and piece.class_ and need.class_ != piece.class_:
        yield f"it is of class {piece.class_}, the plan wants {need.class_}"
    if need.connector and piece.connector and need.connector != piece.connector:
        yield f"its connector is {piece.connector}, the plan wants {need.connector}"
    if kind in LEADS:
        yield from _too_little(need, piece)


def _too_little(need: KitNeed, piece: KitPiece) -> Iterator[str]:
    if need.length is not None and piece.length is not None and piece.length < need.length:
        yield f"it is {mm(piece.length)} long, the plan wants {mm(need.length)}"
    if need.wire and piece.wire and thinner(piece.wire.area_mm2, need.wire.area_mm2):
        yield f"its wire is {piece.wire.text}, the plan wants {need.wire.text}"


def too_long(need: KitNeed, piece: KitPiece, stock: Sequence[float]) -> str:
    """Say that a piece is longer than the stock length after the stated one, or return ""."""
    if need.kind not in LEADS or need.length is None or piece.length is None:
        return ""
    limit = next((length for length in stock if length > need.length), None)
    if limit is None or piece.length <= limit:
        return ""
    return f"it is {mm(piece.length)} long, much longer than the {mm(need.length)} of the plan"


def not_stated(need: KitNeed, piece: KitPiece) -> tuple[str, ...]:
    """Return what the plan asks for and the kit does not tell of a piece."""
    asked: list[tuple[str, object, object]] = [("class", need.class_, piece.class_)]
    if need.kind not in THREE_PIN:
        asked.append(("connector", need.connector, piece.connector))
    if need.kind in _WAYS:
        asked.append(("number of sockets", need.ways, piece.ways))
    if need.kind in LEADS:
        asked += [("length", need.length, piece.length), ("wire", need.wire, piece.wire)]
    return tuple(word for word, wanted, told in asked if wanted and told in (None, ""))


def surplus(need: KitNeed, piece: KitPiece) -> float:
    """Return by how many mm a lead is longer than the plan says; 0 where either says nothing."""
    if need.kind not in LEADS or need.length is None or piece.length is None:
        return 0.0
    return max(piece.length - need.length, 0.0)


def copper(need: KitNeed, piece: KitPiece) -> float:
    """Return by how many mm2 the wire is thicker than the plan asks; 0 where either is silent."""
    if need.kind not in (*THREE_PIN, *BATTERY) or need.wire is None or piece.wire is None:
        return 0.0
    return max(piece.wire.area_mm2 - need.wire.area_mm2, 0.0)
