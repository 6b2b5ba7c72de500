"""The kit as a document, and as CSV and JSON: what is bought, used where, left over."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import Any

from harness.airframe.kit import Kit, KitUse, Left, kit_of, told, told_many
from harness.airframe.kit.fit import BATTERY, WORDS, mm, plain_kind
from harness.airframe.kit.shopping import GROUPS, Purchase, leads_to_buy, shopping
from harness.base.near import capital, spoken
from harness.documents.cautions import MAKERS, METERED
from harness.documents.index import title_of
from harness.paper.blocks import BLANK, Block, Chapter, Paper, Points
from harness.paper.records import CsvRecord, as_csv, as_json
from harness.paper.sheet import Cell, PlainRow, Table, amounts, grouped, headings, noted, table
from harness.parts.part import Part
from harness.plan.kit import KitPiece
from harness.rules.run import Report
from harness.wiring.build import Wiring
from harness.wiring.codes import codes_by_part

ENDS = (
    "Plug and socket: the plug of a 3-pin lead is like a servo's own and goes onto the pins of a "
    "receiver (its contacts are female), its sockets have pins (male). On the battery side the "
    "live side wears the socket: the lead's plugs (male) face the pack, its sockets (female) "
    "the loads. Shops name either the contacts or the housings: compare with a part you have."
)
"""Common practice, no published source."""


def kit_paper(source: Report | Wiring) -> Paper:
    """Return the kit of a plan as a document of its own."""
    wiring = source if isinstance(source, Wiring) else source.wiring
    plan = wiring.plan
    return Paper(
        f"Kit of {plan.aircraft}",
        "what is used where, what is bought, what is left over",
        plan.revision,
        (kit_chapter(source),),
        (METERED, MAKERS),
    )


def kit_chapter(source: Report | Wiring) -> Chapter:
    """Return the kit of a plan as a chapter: shopping list, what goes where, what is left."""
    wiring = source if isinstance(source, Wiring) else source.wiring
    kit = kit_of(wiring.plan)
    buying = shopping(kit)
    blocks: list[Block] = [Points(tuple(points(kit, buying)))]
    if buying:
        blocks.append(_shopping(buying))
    blocks += _checks(kit)
    if kit.used:
        blocks.append(_used(wiring, kit))
    if kit.left:
        blocks.append(_left(kit))
    return Chapter("kit", title_of("kit"), tuple(blocks))


def points(kit: Kit, buying: tuple[Purchase, ...]) -> Iterator[Cell]:
    """Yield the sentences that say how the kit stands, what matters first."""
    if not kit.plan.kit:
        yield Cell(
            f"the plan has no `kit:`, so all its leads are on the shopping list{_not_leads(kit)}"
        )
    if buying:
        yield Cell(f"to buy or make: {spoken(_brief(p) for p in buying)}", "warning")
        if kit.plan.buy_at_most is not None:
            yield _limit(kit.plan.buy_at_most, leads_to_buy(buying))
    else:
        yield Cell(_nothing(kit), "ok")
    if kit.plan.kit:
        yield from _rest(kit)
        if kit.owned:
            yield Cell(f"the kit lists no {_owned(kit)}: they are taken as owned", "faint")


def _limit(most: int, leads: int) -> Cell:
    said = f"buy-at-most allows {most} more 3-pin leads, the plan wants {leads}"
    return Cell(said, "danger" if leads > most else "")


def _nothing(kit: Kit) -> str:
    if kit.plan.kit:
        return "nothing has to be bought: the kit holds all that the plan uses of its kinds"
    return "nothing has to be bought: the plan uses no separate leads"


def _not_leads(kit: Kit) -> str:
    return ", and all else is taken as owned" if kit.owned else ""


def _owned(kit: Kit) -> str:
    """Name the kinds taken as owned, battery leads as one kind."""
    battery = any(kind in BATTERY for kind in kit.owned)
    words = [WORDS[kind][1] for kind in kit.owned if kind not in BATTERY]
    return spoken([*(["battery leads"] if battery else []), *words], "or")


def _brief(purchase: Purchase) -> str:
    return purchase.counted + (f" of {mm(purchase.length)}" if purchase.length else "")


def _rest(kit: Kit) -> Iterator[Cell]:
    for expected, tone in ((False, "warning"), (True, "")):
        some = [left for left in kit.left if left.expected is expected]
        if some:
            word = "as expected" if expected else "and not expected"
            yield Cell(f"left over {word}: {spoken(map(_over, some))}", tone)


def _over(left: Left) -> str:
    return told_many(left.piece, left.count)


def _shopping(buying: tuple[Purchase, ...]) -> Table:
    columns = headings("What", *amounts("Count"), "Length", "Wire", "Ends", "For", "Got")
    groups = (
        (capital(name), [_wanted(p) for p in buying if p.group == name])
        for name in GROUPS
        if any(p.group == name for p in buying)
    )
    leads = any(p.ends for p in buying)
    return grouped("Shopping list", columns, groups, ENDS if leads else "")


def _wanted(p: Purchase) -> PlainRow:
    says = f" (the plan says {p.other_lengths})" if p.other_lengths and p.length else ""
    names = ", ".join(part.id for part in p.parts)
    return p.what, str(p.count), p.length_words + says, p.wire, p.ends, names, BLANK


def _checks(kit: Kit) -> Iterator[Block]:
    near = (why for p in shopping(kit) for why in p.nearest)
    yield from noted("Why the nearest in the kit does not do", near)
    differing = (f"{u.part.id}: {spoken(u.differs)}" for u in kit.differing)
    yield from noted("Meant for a part, but not what the plan says of it", differing)
    unsure = (
        f"{use.part.id}: the kit does not tell {spoken(use.unknown)} of {told(use.piece)}"
        for use in kit.used
        if use.unknown
    )
    yield from noted("To check before it is fitted", unsure)


def _used(wiring: Wiring, kit: Kit) -> Table:
    codes = codes_by_part(wiring)
    groups = []
    for piece, uses in groupby(kit.used, key=lambda use: use.piece):
        found = list(uses)
        many = sum(use.count for use in found)
        title = f"{told_many(piece, many)}, from the {piece.found}"
        groups.append((title, [_use(wiring, codes, use) for use in found]))
    return grouped("What goes where", ("Becomes", "Label", "Goes into", "Longer by"), groups)


def _use(wiring: Wiring, codes: dict[str, list[str]], use: KitUse) -> PlainRow:
    own = dict.fromkeys(codes.get(use.part.id, ()))
    label = ", ".join(own) if len(own) < 3 else ""
    name = use.part.id + (f", {use.count} of them" if use.count > 1 else "")
    return name, label, goes_into(wiring, use.part), mm(use.over) if use.over else ""


def goes_into(wiring: Wiring, part: Part) -> str:
    """Say where the plugs of a part go: rx.6."""
    into = [mate.into for mate in wiring.mates if mate.plug.part.id == part.id]
    return ", ".join(into) if into or not part.carries_signal else "nothing yet"


def _left(kit: Kit) -> Table:
    rows = (
        (
            told(left.piece).removeprefix("the "),
            str(left.count),
            left.piece.found,
            Cell("yes", "ok") if left.expected else Cell("no", "warning"),
            "; ".join(word for word in (left.why, left.piece.about) if word),
        )
        for left in kit.left
    )
    return table("Left over", headings("What", *amounts("Count"), "From", "Expected", "Why"), rows)


COLUMNS = ("status", "group", "what", "count", "length mm", "stated mm", "wire", "class",
           "connector", "sockets", "from", "for", "ends", "expected", "remark")  # fmt: skip


def kit_csv(wiring: Wiring) -> str:
    """Return one row a purchase, a use and what is left; status buy, used or left."""
    kit = kit_of(wiring.plan)
    return as_csv(COLUMNS, (*map(_bought, shopping(kit)), *_used_records(kit), *_left_records(kit)))


def kit_json(wiring: Wiring) -> str:
    """Return the same as one JSON document."""
    kit = kit_of(wiring.plan)
    return as_json(_data(kit, shopping(kit)))


def _row(**known: Any) -> CsvRecord:
    return {column: known.get(column.replace(" ", "_"), "") for column in COLUMNS}


def _bought(p: Purchase) -> CsvRecord:
    return _row(
        status="buy",
        group=p.group,
        what=p.what,
        count=p.count,
        length_mm=p.length,
        stated_mm="; ".join(f"{length:g}" for length in p.stated),
        wire=p.wire,
        ends=p.ends,
        **{"for": "; ".join(part.id for part in p.parts)},
        remark="; ".join(p.nearest),
    )


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


def _used_records(kit: Kit) -> Iterator[CsvRecord]:
    for use in kit.used:
        notes = [*use.differs, *(f"check its {word}" for word in use.unknown)]
        stated = getattr(use.part, "length", None)
        yield _row(
            status="used",
            count=use.count,
            **_piece(use.piece),
            **{"for": use.part.id},
            stated_mm=stated,
            remark="; ".join(notes),
        )


def _left_records(kit: Kit) -> Iterator[CsvRecord]:
    for left in kit.left:
        yield _row(
            status="left",
            count=left.count,
            **_piece(left.piece),
            expected=left.expected,
            remark=left.why,
        )


def _data(kit: Kit, buying: tuple[Purchase, ...]) -> dict[str, Any]:
    plan = kit.plan
    return {
        "aircraft": plan.aircraft,
        "revision": plan.revision,
        "kit_listed": bool(plan.kit),
        "buy_at_most": plan.buy_at_most,
        "buy": [
            {
                "group": p.group,
                "what": p.what,
                "count": p.count,
                "length_mm": p.length,
                "stated_mm": p.stated,
                "made_to_length": p.made,
                "wire": p.wire,
                "ends": p.ends,
                "for": [part.id for part in p.parts],
                "nearest": p.nearest,
            }
            for p in buying
        ],
        "used": [
            {
                **_told(use.piece),
                "count": use.count,
                "for": use.part.id,
                "longer_by_mm": use.over,
                "to_check": use.unknown,
                "differs": use.differs,
            }
            for use in kit.used
        ],
        "left": [
            {**_told(left.piece), "count": left.count, "expected": left.expected, "why": left.why}
            for left in kit.left
        ],
        "taken_as_owned": kit.owned,
    }


def _told(piece: KitPiece) -> dict[str, Any]:
    return {**_piece(piece), "spare": piece.spare, "line": piece.span.line}
