"""The kit for other programs: CSV and JSON. Lengths in mm, areas in mm2."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.airframe.kit import Kit, kit_of
from harness.airframe.kit.fit import plain_kind
from harness.airframe.kit.shopping import Purchase, shopping
from harness.paper.records import CsvRecord, as_csv, as_json
from harness.plan.kit import KitPiece
from harness.wiring.build import Wiring

COLUMNS = ("status", "group", "what", "count", "length mm", "stated mm", "wire", "class",
           "connector", "sockets", "from", "for", "ends", "expected", "remark")  # fmt: skip


def kit_csv(wiring: Wiring) -> str:
    """Return one row a purchase, a use and what is left; status buy, used or left."""
    kit = kit_of(wiring.plan)
    return as_csv(COLUMNS, (*map(_bought, shopping(kit)), *_used(kit), *_left(kit)))


def kit_json(wiring: Wiring) -> str:
    """Return the same as one JSON document."""
    kit = kit_of(wiring.plan)
    return as_json(_data(kit, shopping(kit)))


def _row(**known: Any) -> CsvRecord:
    return {column: known.get(column.replace(" ", "_"), "") for column in COLUMNS}


def _bought(p: Purchase) -> CsvRecord:
    return _row(
        status="buy", group=p.group, what=p.what, count=p.count, length_mm=p.length,
        stated_mm="; ".join(f"{length:g}" for length in p.stated), wire=p.wire, ends=p.ends,
        **{"for": "; ".join(part.id for part in p.parts)}, remark="; ".join(p.nearest),
    )  # fmt: skip


def _piece(piece: KitPiece) -> dict[str, Any]:
    return {
        "what": plain_kind(piece.kind, piece.ways),
        "length_mm": piece.length,
        "wire": piece.wire.text if piece.wire else "",
        "class": piece.class_,
        "connector": piece.connector,
        "sockets": piece.ways,
        "from": piece.found,
    }


def _used(kit: Kit) -> Iterator[CsvRecord]:
    for use in kit.used:
        notes = [*use.differs, *(f"check its {word}" for word in use.unknown)]
        stated = getattr(use.part, "length", None)
        yield _row(status="used", count=use.count, **_piece(use.piece), **{"for": use.part.id},
                   stated_mm=stated, remark="; ".join(notes))  # fmt: skip


def _left(kit: Kit) -> Iterator[CsvRecord]:
    for left in kit.left:
        yield _row(status="left", count=left.count, **_piece(left.piece),
                   expected=left.expected, remark=left.why)  # fmt: skip


def _data(kit: Kit, buying: tuple[Purchase, ...]) -> dict[str, Any]:
    plan = kit.plan
    return {
        "aircraft": plan.aircraft,
        "revision": plan.revision,
        "kit-listed": bool(plan.kit),
        "buy-at-most": plan.buy_at_most,
        "buy": [
            {
                "group": p.group, "what": p.what, "count": p.count, "length-mm": p.length,
                "stated-mm": p.stated, "made-to-length": p.made, "wire": p.wire, "ends": p.ends,
                "for": [part.id for part in p.parts], "nearest": p.nearest,
            }
            for p in buying
        ],
        "used": [
            {
                **_told(use.piece), "count": use.count, "for": use.part.id,
                "longer-by-mm": use.over, "to-check": use.unknown, "differs": use.differs,
            }
            for use in kit.used
        ],
        "left": [
            {**_told(left.piece), "count": left.count, "expected": left.expected, "why": left.why}
            for left in kit.left
        ],
        "taken-as-owned": kit.owned,
    }  # fmt: skip


def _told(piece: KitPiece) -> dict[str, Any]:
    facts = {key.replace("_", "-"): value for key, value in _piece(piece).items()}
    return {**facts, "spare": piece.spare, "line": piece.span.line}
