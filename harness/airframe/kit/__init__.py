"""The kit against the plan: what is used where, what is missing, what is left over.

3-pin leads are compared with every kit, battery leads with a kit that lists any battery lead.
What else a plan has is compared by kind, class and connector as soon as the kit lists one of its
kind. What is not compared is taken as owned, and the answer says so. Without a `kit:` every lead
is missing. Lights and other loads are no kind of a kit.

A piece does for a lead when its kind and number of sockets agree, its wire is no thinner, and its
length is not less than the plan's and not more than the next stock length above it. What the kit
does not tell of a piece is no hindrance, but such a piece is a last choice, and is to be checked.
A piece with `for:` goes to that part whatever it is like; where it is less than the plan says, the
two are told as differing.

Of all ways to give the pieces out, the one with most needs met; of those, with fewest `spare:`
pieces taken; with fewest untold facts; with the least length to spare in all; with the least
copper to spare; then parts in the order of their ids take pieces in the order of what they are.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from harness.airframe.kit.fit import (
    BATTERY,
    LEADS,
    MATERIAL,
    THREE_PIN,
    WORDS,
    KitNeed,
    copper,
    counted_kind,
    misfits,
    mm,
    need_of,
    not_stated,
    plain_kind,
    shares,
    surplus,
    too_long,
)
from harness.airframe.stock import stock_lengths
from harness.base.data import dataclass
from harness.parts.part import Part
from harness.plan.kit import KitPiece
from harness.plan.plan import Plan
from harness.wiring.codes import natural


@dataclass(frozen=True, slots=True)
class KitUse:
    """`count` pieces of one line of the kit become a part.

    `over`: mm longer than the plan says; `unknown`: what the kit does not tell and must be
    checked; `differs`: where a piece meant `for` the part is not what the plan says.
    """

    piece: KitPiece
    part: Part
    count: int
    over: float = 0.0
    unknown: tuple[str, ...] = ()
    differs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Missing:
    """What a part still lacks; `nearest` says why no piece that is left does for it."""

    need: KitNeed
    count: int
    nearest: str = ""


@dataclass(frozen=True, slots=True)
class Left:
    """What is left of one line of the kit, whether that is expected, and why it is left."""

    piece: KitPiece
    count: int
    expected: bool
    why: str


@dataclass(frozen=True, slots=True)
class Kit:
    """The kit of one plan. `owned`: kinds that the plan has and the kit does not list."""

    plan: Plan
    used: tuple[KitUse, ...]
    missing: tuple[Missing, ...]
    left: tuple[Left, ...]
    owned: tuple[str, ...]

    @property
    def differing(self) -> tuple[KitUse, ...]:
        """Pieces meant for a part that are not what the plan says of it."""
        return tuple(use for use in self.used if use.differs)


def kit_of(plan: Plan) -> Kit:
    """Compare a plan with its kit."""
    found = [need for part in plan.parts.values() if (need := need_of(part))]
    compared = _compared(plan)
    needs = [need for need in found if need.kind in compared]
    owned = {need.kind for need in found} - {need.kind for need in needs}
    giving = _Giving(plan, needs)
    giving.pinned()
    giving.matched()
    used = sorted(giving.used, key=lambda u: (_content(u.piece), natural(u.part.id)))
    return Kit(
        plan,
        tuple(used),
        giving.missing(),
        giving.left(),
        tuple(kind for kind in WORDS if kind in owned),
    )


def _compared(plan: Plan) -> set[str]:
    """Return the kinds that are not taken as owned."""
    listed = {plain_kind(piece.kind, piece.ways) for piece in plan.kit}
    battery = set(BATTERY) if not listed or listed & set(BATTERY) else set()
    return {*THREE_PIN, *battery, *listed}


class _Giving:
    """Gives the pieces of a kit out, line by line."""

    def __init__(self, plan: Plan, needs: Sequence[KitNeed]) -> None:
        self.plan, self.stock = plan, stock_lengths(plan)
        self.needs = sorted(needs, key=lambda n: natural(n.part.id))
        self.wanted = {need.part.id: need.count for need in self.needs}
        self.pieces = sorted(plan.kit, key=_content)
        self.there = [piece.count for piece in self.pieces]
        self.used: list[KitUse] = []

    def pinned(self) -> None:
        """Give each piece that says `for:` to that part, as many as the part has use for."""
        by_part = {need.part.id: need for need in self.needs}
        for number, piece in enumerate(self.pieces):
            part = self.plan.parts.get(piece.meant_for)
            if part is None:
                continue
            need = by_part.get(part.id)
            if piece.kind in MATERIAL:
                self._material(number, part, need)
            elif need is not None and self.wanted[part.id]:
                self._pin(number, need)

    def _material(self, number: int, part: Part, need: KitNeed | None) -> None:
        """Wire and loose connectors meant for a part are all used; wire makes up a custom lead."""
        piece = self.pieces[number]
        self.used.append(KitUse(piece, part, self.there[number]))
        self.there[number] = 0
        if need is not None and need.kind == "custom" and piece.kind == "wire":
            self.wanted[part.id] = 0

    def _pin(self, number: int, need: KitNeed) -> None:
        piece = self.pieces[number]
        kind = plain_kind(piece.kind, piece.ways)
        if kind != need.kind and not (need.kind == "custom" and kind in LEADS):
            return
        many = min(self.there[number], self.wanted[need.part.id])
        differs = () if need.kind == "custom" else tuple(misfits(need, piece))
        self._give(number, need, many, differs)

    def _give(self, number: int, need: KitNeed, many: int, differs: tuple[str, ...] = ()) -> None:
        piece = self.pieces[number]
        self.there[number] -= many
        self.wanted[need.part.id] -= many
        self.used.append(
            KitUse(piece, need.part, many, surplus(need, piece), not_stated(need, piece), differs)
        )

    def matched(self) -> None:
        """Give out what is not meant for a certain part, as well as can be."""
        classes: dict[tuple[object, ...], list[KitNeed]] = defaultdict(list)
        for need in self.needs:
            if self.wanted[need.part.id]:
                classes[need.alike].append(need)
        alike = list(classes.values())
        wanted = [sum(self.wanted[n.part.id] for n in group) for group in alike]
        heaps = self._heaps()
        free = [sum(self.there[number] for number in heap) for heap in heaps]
        firsts = [self.pieces[heap[0]] for heap in heaps]
        given = shares(wanted, free, self._costs([group[0] for group in alike], firsts))
        for (group, heap), many in given.items():
            self._deal(alike[group], heaps[heap], many)

    def _heaps(self) -> list[list[int]]:
        """Return the lines of the kit that are meant for no part, those alike together."""
        found: dict[tuple[object, ...], list[int]] = defaultdict(list)
        for number, piece in enumerate(self.pieces):
            if not piece.meant_for:
                found[_alike(piece)].append(number)
        return list(found.values())

    def _costs(
        self, needs: Sequence[KitNeed], pieces: Sequence[KitPiece]
    ) -> dict[tuple[int, int], int]:
        fits = {
            (n, p): need_cost
            for n, need in enumerate(needs)
            for p, piece in enumerate(pieces)
            if (need_cost := self._cost(need, piece)) is not None
        }
        most = sum(self.wanted.values()) + 1
        bases = [max((cost[i] for cost in fits.values()), default=0) * most + 1 for i in range(4)]
        found = {}
        for pair, cost in fits.items():
            total = 0
            for digit, base in zip(cost, bases, strict=True):
                total = total * base + digit
            found[pair] = total
        return found

    def _cost(self, need: KitNeed, piece: KitPiece) -> tuple[int, int, int, int] | None:
        """Return what a piece costs a need, weightiest first; None where it does not fit."""
        if any(misfits(need, piece)) or too_long(need, piece, self.stock):
            return None
        return (
            int(piece.spare),
            len(not_stated(need, piece)),
            round(surplus(need, piece) * 1000),
            round(copper(need, piece) * 1e6),
        )

    def _deal(self, group: Iterable[KitNeed], heap: Iterable[int], many: int) -> None:
        for number in heap:
            for need in group:
                some = min(many, self.wanted[need.part.id], self.there[number])
                if some:
                    self._give(number, need, some)
                    many -= some

    def missing(self) -> tuple[Missing, ...]:
        """Return what is still wanted, in the order of the plan."""
        order = {name: n for n, name in enumerate(self.plan.parts)}
        lacking = [
            need for need in self.needs if self.wanted[need.part.id] and not need.part.as_made
        ]
        lacking.sort(key=lambda n: order[n.part.id])
        return tuple(
            Missing(need, self.wanted[need.part.id], self._nearest(need)) for need in lacking
        )

    def _nearest(self, need: KitNeed) -> str:
        """Say why the pieces of that kind that are left do not do; the one with fewest reasons."""
        tried = [
            (len(why), _content(piece), piece, why)
            for piece, many in zip(self.pieces, self.there, strict=True)
            if many and plain_kind(piece.kind, piece.ways) == need.kind
            if (why := self._why_not(need, piece))
        ]
        if not tried:
            return ""
        _, _, piece, why = min(tried, key=lambda t: t[:2])
        return f"{told(piece)} does not do: {' and '.join(why)}"

    def _why_not(self, need: KitNeed, piece: KitPiece) -> list[str]:
        long = too_long(need, piece, self.stock)
        meant = f"it is meant for {piece.meant_for}" if piece.meant_for else ""
        return [why for why in (*misfits(need, piece), long, meant) if why]

    def left(self) -> tuple[Left, ...]:
        """Return what is over of each line, in the order of what it is."""
        pairs = zip(self.pieces, self.there, strict=True)
        return tuple(self._left(piece, many) for piece, many in pairs if many)

    def _left(self, piece: KitPiece, many: int) -> Left:
        if piece.kind in MATERIAL:
            return Left(piece, many, True, "to make leads of")
        if piece.spare:
            return Left(piece, many, True, "kept as a spare")
        return Left(piece, many, False, self._why_left(piece))

    def _why_left(self, piece: KitPiece) -> str:
        kind = plain_kind(piece.kind, piece.ways)
        if piece.meant_for and self.plan.parts[piece.meant_for].kit_kind() != kind:
            return f"{self.plan.parts[piece.meant_for].named()} is no {WORDS[kind][0]}"
        if piece.meant_for:
            return f"{self.plan.parts[piece.meant_for].named()} has all it needs"
        lacking = [n for n in self.needs if n.kind == kind and self.wanted[n.part.id]]
        if lacking:
            return f"for {lacking[0].part.id}: {' and '.join(self._why_not(lacking[0], piece))}"
        if not any(need.kind == kind for need in self.needs):
            return f"the plan has no {WORDS[kind][0]}"
        return f"the {WORDS[kind][1]} of the plan are all found"


def told(piece: KitPiece) -> str:
    """Say what a piece is: the Y-lead (300 mm, 22 AWG)."""
    return f"the {WORDS[plain_kind(piece.kind, piece.ways)][0]}{_facts(piece)}"


def told_many(piece: KitPiece, many: int) -> str:
    """Say what and how many: 2 Y-leads (300 mm, 22 AWG)."""
    return counted_kind(plain_kind(piece.kind, piece.ways), many) + _facts(piece)


def _facts(piece: KitPiece) -> str:
    facts = [mm(piece.length)] if piece.length is not None else []
    facts += [piece.wire.text] if piece.wire else []
    facts += [word for word in (piece.class_, piece.connector) if word]
    facts += [f"{piece.ways} sockets"] if piece.ways else []
    facts += [f"split at its {piece.split}"] if piece.split else []
    return f" ({', '.join(facts)})" if facts else ""


def _content(piece: KitPiece) -> tuple[object, ...]:
    """Sort pieces by what they are, so that their order in the file is free."""
    return (*_alike(piece), piece.meant_for, piece.about, piece.count, piece.span)


def _alike(piece: KitPiece) -> tuple[object, ...]:
    """Return all that decides what a piece is good for."""
    area = piece.wire.area_mm2 if piece.wire else 0.0
    kinds = list(WORDS)
    return (
        kinds.index(plain_kind(piece.kind, piece.ways)),
        piece.ways or 0,
        piece.class_,
        piece.connector,
        piece.split,
        -1.0 if piece.length is None else piece.length,
        area,
        piece.found,
        piece.spare,
    )
