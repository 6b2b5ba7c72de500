"""Which extensions make a run long enough: an exact search, what lies in the drawer first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from harness.airframe.kit import kit_of
from harness.airframe.lengths import MeasuredRun
from harness.airframe.runs import LeadRun
from harness.airframe.stock import EVEN, next_stock, stock_lengths, thinner
from harness.base.data import dataclass
from harness.parts.contacts import Form
from harness.parts.figure import rule_figure
from harness.plan.plan import Plan


@dataclass(frozen=True, slots=True)
class StockChoice:
    """Extensions that reach: `pieces` mm each, longest first; `bought` of them are not there."""

    pieces: tuple[float, ...]
    bought: tuple[float, ...]

    @property
    def total(self) -> float:
        """All of them, mm."""
        return sum(self.pieces)

    @property
    def rank(self) -> tuple[int, int, float, tuple[float, ...]]:
        """Fewest pieces, then fewest bought, then least length; ties: the longer piece first."""
        order = tuple(-length for length in self.pieces)
        return (len(self.pieces), len(self.bought), self.total, order)


@dataclass(frozen=True, slots=True)
class Offer:
    """What would make a run long enough.

    `extra` mm are wanting. `add`: extensions to put in. `swap`: a lead of the run and the stock
    length to take in its place, which makes no joint more. `whole`: the stock length that takes
    all of a run of which no lead is known. None where there is none.
    """

    extra: float
    add: StockChoice | None
    swap: tuple[str, float] | None
    whole: float | None


class Drawer:
    """The extensions of a kit that no part of the plan is."""

    def __init__(self, plan: Plan) -> None:
        left = kit_of(plan).left if plan.kit else ()
        self.pieces = [
            (one.piece.length, one.piece.wire.area_mm2 if one.piece.wire else 0.0)
            for one in left
            if one.piece.kind == "extension" and one.piece.length and not one.piece.meant_for
            for _ in range(one.count)
        ]

    def fit_for(self, run: LeadRun) -> Counter[float]:
        """Return how many there are by length, none thinner than the run's own lead."""
        own = run.port.wire.size.area_mm2 if run.port.wire.size else 0.0
        return Counter(length for length, area in self.pieces if self._thick(area, own))

    @staticmethod
    def _thick(area: float, own: float) -> bool:
        return not area or not own or not thinner(area, own)

    def take(self, run: LeadRun, choice: StockChoice) -> None:
        """Take out what a choice uses, of each length the thinnest that will do."""
        own = run.port.wire.size.area_mm2 if run.port.wire.size else 0.0
        for length in (Counter(choice.pieces) - Counter(choice.bought)).elements():
            fits = [p for p in self.pieces if p[0] == length and self._thick(p[1], own)]
            self.pieces.remove(min(fits))


def choose(
    extra: float, shop: Iterable[float], drawer: Mapping[float, int], most: int
) -> StockChoice | None:
    """Return the best extensions that are `extra` mm or more together; None above `most`."""
    lengths = sorted({*shop, *(length for length, count in drawer.items() if count)}, reverse=True)
    for count in range(1, most + 1):
        found = list(_sums(extra, lengths, count))
        choices = [c for pieces in found if (c := _bought(pieces, set(shop), drawer)) is not None]
        if choices:
            return min(choices, key=lambda choice: choice.rank)
    return None


def _sums(extra: float, lengths: Sequence[float], count: int) -> Iterator[tuple[float, ...]]:
    """Yield every choice of `count` pieces that reaches, each once, longest piece first."""
    if count == 0:
        if extra <= EVEN:
            yield ()
        return
    for n, length in enumerate(lengths):
        if length * count < extra - EVEN:
            return  # all further ones are shorter still
        for rest in _sums(extra - length, lengths[n:], count - 1):
            yield (length, *rest)


def _bought(
    pieces: tuple[float, ...], shop: set[float], drawer: Mapping[float, int]
) -> StockChoice | None:
    """Take from the drawer what it has; None where it lacks a length that no shop has."""
    lacking = Counter(pieces) - Counter(drawer)
    if any(length not in shop for length in lacking):
        return None
    return StockChoice(pieces, tuple(sorted(lacking.elements(), reverse=True)))


def offers(plan: Plan, runs: Iterable[MeasuredRun]) -> tuple[Offer | None, ...]:
    """Return what each run wants, in order; what one takes from the drawer is gone for the next."""
    drawer, shop = Drawer(plan), stock_lengths(plan)
    most = int(rule_figure(plan.catalogue, "extensions", "most").number)
    found: list[Offer | None] = []
    for measured in runs:
        offer = _offer(plan, measured, (shop, drawer.fit_for(measured.run), most))
        if offer is not None and offer.add is not None:
            drawer.take(measured.run, offer.add)
        found.append(offer)
    return tuple(found)


def _offer(
    plan: Plan, measured: MeasuredRun, stock: tuple[Sequence[float], Counter[float], int]
) -> Offer | None:
    need = measured.need
    if need is None or measured.verdict == "enough":
        return None
    extra = round(need.needed - measured.known, 3)
    if extra <= EVEN:
        return None
    whole = None if measured.known else next_stock(plan, need.needed)
    if measured.run.form is not Form.THREE_PIN or measured.unmeasured:
        return Offer(extra, None, None, whole)
    add = choose(extra, *stock)
    return Offer(extra, add, swap_for(plan, measured, extra), whole)


def swap_for(plan: Plan, measured: MeasuredRun, extra: float) -> tuple[str, float] | None:
    """Return the extension of a run to be taken longer, where that adds least, and its length."""
    ways = [
        (stock - piece.length.number, piece.part.id, stock)
        for piece in measured.run.pieces
        if piece.part.carries_signal and piece.part.kind == "extension" and piece.length
        if not piece.part.as_made
        if (stock := next_stock(plan, piece.length.number + extra)) is not None
    ]
    return min(ways)[1:] if ways else None
