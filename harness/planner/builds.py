"""How a group is wired to one pulse: splitters, an extension before them, extensions behind.

A run is a chain of pieces; each adds its length. A build settles the splitters and the trunk; what
its arms still want is settled apart, so that pieces of the stock can be shared out by the solver.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import combinations_with_replacement, product

from harness.airframe.lengths import LengthNeed, needed_run
from harness.airframe.routes import Airframe
from harness.airframe.stock import stock_lengths
from harness.base.data import dataclass, field
from harness.base.units import WireSize
from harness.parts.figure import rule_figure
from harness.plan.plan import Plan
from harness.planner.hosts import Host, HostEnd
from harness.planner.items import Unplugged
from harness.planner.stock import StockPiece, bought


@dataclass
class Runs:
    """The runs of one plan, each asked for once."""

    plan: Plan
    _frame: Airframe | None = None
    _known: dict[tuple[str, str], LengthNeed | None] = field(default_factory=dict)

    def need(self, item: Unplugged, box: str) -> LengthNeed | None:
        """Return what a run needs, or None when it is not known.

        Of a lead with loads on it the way of its own place counts.
        """
        at = (item.part.id, box)
        if at not in self._known:
            self._frame = self._frame or Airframe(self.plan)
            self._known[at] = needed_run(self.plan, *at, airframe=self._frame)
        return self._known[at]

    def missing(self, item: Unplugged, box: str, spent: float = 0.0) -> float:
        """Return the mm of lead a run still wants beyond the part's own, 0 when not known."""
        need = self.need(item, box)
        if need is None or item.length is None:
            return 0.0
        return max(0.0, round(need.needed - item.length - spent, 3))

    def known(self, item: Unplugged, box: str) -> bool:
        """Say whether the length a run wants is known."""
        return self.need(item, box) is not None and item.length is not None

    def shared(self, items: tuple[Unplugged, ...], box: str) -> tuple[str, float]:
        """Return the last place that all runs pass, from the box on, and the mm of way to it.

        ("", 0) where that is the box's own place, or not known.
        """
        needs = [self.need(item, box) for item in items]
        ways = [tuple(reversed(need.places)) for need in needs if need]
        if len(ways) < len(items) or not ways[0]:
            return "", 0.0
        count = 0
        while all(len(way) > count for way in ways) and len({way[count] for way in ways}) == 1:
            count += 1
        first = needs[0]
        if count < 2 or first is None:
            return "", 0.0
        legs = [leg for leg in reversed(first.way.legs) if not leg.inside][: count - 1]
        return ways[0][count - 1], round(sum(leg.length for leg in legs), 3)


RUN = 3
"""Most leads behind one another in a run that are thought of."""


@dataclass(frozen=True, order=True)
class Arm:
    """What one plug still wants behind the splitters: mm of lead, in at most `most` pieces.

    `room`: how many leads more in its run the rules have nothing against; below 0 too many.
    """

    item: str
    wants: float
    most: int
    room: int = RUN

    @property
    def advised(self) -> int:
        """How many pieces the rules have nothing against; RUN: any number, -1: none at all."""
        most = self.most if self.wants > 0 else 0
        return RUN if self.room >= most else self.room if self.room > 0 else -1


@dataclass(frozen=True)
class Build:
    """Splitters (root first) and trunk of a group, and what its arms want, in the group's order.

    `shallow`: the plug on the shallow arm of a tree of three; `place`: where the tree lies;
    `carrier`: the plug of the lead whose free sockets take all others, if there is one.
    """

    splitters: tuple[StockPiece, ...]
    trunk: StockPiece | None
    arms: tuple[Arm, ...]
    shallow: int = 0
    place: str = ""
    carrier: int = -1

    @property
    def pieces(self) -> tuple[StockPiece, ...]:
        """Every piece it takes, without those of the arms."""
        return (self.trunk, *self.splitters) if self.trunk else self.splitters

    def above(self, n: int) -> range:
        """Return which of its splitters stand between an item and the trunk."""
        count = len(self.arms)
        if len(self.splitters) < 2 or (count == 3 and n == self.shallow):
            return range(1)
        return range(0, 2) if count == 3 or n < 2 else range(0, 3, 2)

    @property
    def crowded(self) -> int:
        """How many runs have more leads than the rules advise, whatever fills the arms."""
        return sum(arm.wants <= 0 and arm.advised < 0 for arm in self.arms)

    @property
    def key(self) -> tuple[object, ...]:
        """The order among builds that cost the same."""
        return (self.pieces, self.shallow, self.carrier)


@dataclass
class Yard:
    """Everything builds are made from: stock and shop, and the runs of the plan."""

    plan: Plan
    stock: Mapping[StockPiece, int]
    runs: Runs
    _options: dict[tuple[object, ...], tuple[tuple[StockPiece, ...], ...]] = field(
        default_factory=dict
    )
    _least: dict[tuple[object, ...], tuple[int, int, float]] = field(default_factory=dict)

    @cached_property
    def joints(self) -> int:
        """Return how many leads behind one another the rules advise at most."""
        return int(rule_figure(self.plan.catalogue, "joints", "maximum").number)

    def room(self, end: HostEnd, item: Unplugged, leads: int = 0) -> int:
        """Return how many more than these the rules advise between a free end and an item."""
        return self.joints - end.leads - item.leads - leads

    def at_hand(self, kinds: Iterable[str], wire: WireSize | None) -> list[StockPiece]:
        """Return the pieces of the stock of some kinds that are thick enough."""
        known = set(kinds)
        return [p for p in self.stock if p.kind in known and p.thick_enough(wire)]

    def options(self, arm: Arm, wire: WireSize | None) -> tuple[tuple[StockPiece, ...], ...]:
        """Return the ways to fill one arm: no piece, one piece, or two where one is too short."""
        at = (arm.wants, arm.most, wire.area_mm2 if wire else 0.0)
        if at not in self._options:
            self._options[at] = tuple(self._fill(arm.wants, arm.most, wire))
        return self._options[at]

    def least(self, arm: Arm, wire: WireSize | None) -> tuple[int, int, float]:
        """Return the least of (bought, joints, mm) that fills an arm, each taken for itself."""
        at = (arm.wants, arm.most, wire.area_mm2 if wire else 0.0)
        if at not in self._least:
            ways = [_weight(pieces) for pieces in self.options(arm, wire)]
            bought_, joints, length = (min(column) for column in zip(*ways, strict=True))
            self._least[at] = (int(bought_), int(joints), length)
        return self._least[at]

    def _fill(
        self, wants: float, most: int, wire: WireSize | None
    ) -> Iterator[tuple[StockPiece, ...]]:
        if wants <= 0:
            yield ()
            return
        new = [bought(self.plan, "extension", n, wire) for n in stock_lengths(self.plan)]
        pool = [*self.at_hand(("extension",), wire), *new]
        for count in range(1, most + 1):
            for pieces in combinations_with_replacement(sorted(pool), count):
                if _reaches(pieces, wants) and not self._wasteful(pieces, wants, new):
                    yield pieces
            if count == 2 and self.plan.buy_at_most is None and _reaches([new[-1]] * 2, wants):
                return  # two leads to buy do

    def _wasteful(
        self, pieces: tuple[StockPiece, ...], wants: float, new: list[StockPiece]
    ) -> bool:
        """Say whether a piece is not needed, one too many, or a shorter new one would do."""
        for n, piece in enumerate(pieces):
            rest = (*pieces[:n], *pieces[n + 1 :])
            if (rest and _reaches(rest, wants)) or pieces.count(piece) > self.stock.get(piece, 99):
                return True
            shorter = [p for p in new if p.length < piece.length]
            if piece.bought and any(_reaches((*rest, p), wants) for p in shorter):
                return True
        return False


def _reaches(pieces: Sequence[StockPiece], wants: float) -> bool:
    return sum(piece.reach for piece in pieces) >= wants - 1e-6


def thickest(items: Sequence[Unplugged]) -> WireSize | None:
    """Return the thickest own lead of a group."""
    wires = [item.wire for item in items if item.wire]
    return max(wires, key=lambda wire: wire.area_mm2) if wires else None


def builds_of(yard: Yard, items: tuple[Unplugged, ...], host: Host) -> list[Build]:
    """Return the builds of a group on one pulse, without those that another one beats."""
    if len(host.ends) > 1:
        return _on_ends(yard, items, host)
    end = host.ends[0]
    wants = [yard.runs.missing(item, host.box, end.spent) for item in items]
    if len(items) == 1:
        arm = Arm(items[0].id, wants[0], RUN, yard.room(end, items[0]))
        return _possible(yard, items, [Build((), None, (arm,))])
    place, shared = yard.runs.shared(items, host.box)
    lengths = all(yard.runs.known(item, host.box) for item in items)
    found = [
        build
        for splitters in _splitters(yard, items, lengths)
        for trunk in _trunks(yard, items, shared, any(wants))
        for build in _trees(yard, items, splitters, trunk, end, wants, (place, shared))
    ]
    found += _carried(yard, items, host)
    return _best(yard, items, _possible(yard, items, found))


def _carried(yard: Yard, items: tuple[Unplugged, ...], host: Host) -> Iterator[Build]:
    """Yield builds in which the others go into free sockets of a lead that has loads already.

    An extension before that lead is not counted for them.
    """
    spent = host.ends[0].spent
    for n, lead in enumerate(items):
        others = [item for item in items if item is not lead]
        area = lead.wire.area_mm2 if lead.wire else 0.0
        thick = all(not (i.wire and area) or i.wire.area_mm2 <= area + 1e-9 for i in others)
        if len(lead.free) < len(others) or not thick:
            continue
        on = spent + (lead.length or 0.0)
        wants = [yard.runs.missing(i, host.box, spent if i is lead else on) for i in items]
        rooms = [yard.room(host.ends[0], i, 0 if i is lead else lead.leads) for i in items]
        arms = map(Arm, [i.id for i in items], wants, [1] * len(items), rooms)
        yield Build((), None, tuple(arms), carrier=n)


def _on_ends(yard: Yard, items: tuple[Unplugged, ...], host: Host) -> list[Build]:
    """Plugs go to the free ends in the order of their names; no splitter is added."""
    if len(items) > len(host.ends):
        return []
    pairs = zip(items, host.ends, strict=False)
    arms = (Arm(i.id, yard.runs.missing(i, host.box, end.spent), 1, yard.room(end, i))
            for i, end in pairs)  # fmt: skip
    return _possible(yard, items, [Build((), None, tuple(arms))])


def _splitters(
    yard: Yard, items: tuple[Unplugged, ...], lengths: bool
) -> Iterator[tuple[StockPiece, ...]]:
    """Yield one n-way lead of the stock, or Y-leads: one, two or three.

    The two lower Y-leads of a tree of three are alike. New ones have a length only where the
    lengths of the runs are known.
    """
    wire, count = thickest(items), len(items)
    for piece in yard.at_hand(("n-way",), wire):
        if piece.ways >= count:
            yield (piece,)
    sold = stock_lengths(yard.plan) if lengths else (None,)
    ys = [*yard.at_hand(("y",), wire), *(bought(yard.plan, "y", n, wire) for n in sold)]
    if count == 2:
        yield from ((y,) for y in ys)
        return
    for root, lower in product(ys, ys):
        if root.bought and lower.bought and root != lower:
            continue
        tree = (root, *(lower,) * (count - 2))
        if all(tree.count(p) <= yard.stock.get(p, 99) for p in set(tree)):
            yield tree


def _trunks(
    yard: Yard, items: tuple[Unplugged, ...], shared: float, wanted: bool
) -> Iterator[StockPiece | None]:
    """Yield no extension before the splitters, or one where the runs go some way together."""
    yield None
    if not shared or not wanted:
        return
    wire = thickest(items)
    new = [bought(yard.plan, "extension", n, wire) for n in stock_lengths(yard.plan)]
    long_enough = [piece for piece in new if piece.length >= shared][:1]
    yield from yard.at_hand(("extension",), wire)
    yield from [piece for piece in new if piece.length < shared] + long_enough


def _trees(
    yard: Yard, items: tuple[Unplugged, ...], splitters: tuple[StockPiece, ...],
    trunk: StockPiece | None, end: HostEnd, wants: Sequence[float], common: tuple[str, float],
) -> Iterator[Build]:  # fmt: skip
    """Yield the tree; of three plugs each may be the one on the upper Y-lead."""
    before = min(trunk.reach, common[1]) if trunk else 0.0
    deep = len(splitters) > 1
    uneven = deep and len(items) == 3
    choice = uneven and (any(wants) or len({item.leads for item in items}) > 1)
    for shallow in range(len(items)) if choice else (0,):
        arms = []
        for n, item in enumerate(items):
            above = splitters[:1] if not deep or (uneven and n == shallow) else splitters[:2]
            left = wants[n] - before - sum(piece.reach for piece in above)
            leads = len(above) + (trunk is not None)
            room = yard.room(end, item, leads)
            arms.append(Arm(item.id, max(0.0, round(left, 3)), RUN - leads, room))
        yield Build(splitters, trunk, tuple(arms), shallow, common[0] if trunk else "")


def _possible(yard: Yard, items: tuple[Unplugged, ...], found: list[Build]) -> list[Build]:
    """Return the builds whose every arm can be filled."""
    wires = [item.wire for item in items]
    return [
        build
        for build in found
        if all(yard.options(arm, w) for arm, w in zip(build.arms, wires, strict=True))
    ]


@dataclass(frozen=True)
class _Weight:
    """What a build takes of the stock, and its least (crowded, bought, joints, mm), arms filled."""

    build: Build
    stock: dict[StockPiece, int]
    own: tuple[int, int, int, float]
    least: tuple[int, int, int, float]
    wants: bool

    def beats(self, other: _Weight) -> bool:
        """Say whether it never costs more than another, whatever else is chosen."""
        if self.own > (other.own if self.wants else other.least):
            return False
        for piece, count in self.stock.items():  # plain loops: asked some 100,000 times
            if count > other.stock.get(piece, 0):
                return False
        if self.wants:
            for a, b in zip(self.build.arms, other.build.arms, strict=True):
                less = a.most < b.most or a.advised < b.advised
                if a.wants > b.wants or (a.wants and less):
                    return False
        return True


def _weight(pieces: tuple[StockPiece, ...]) -> tuple[int, int, float]:
    return sum(p.bought for p in pieces), len(pieces), sum(p.reach for p in pieces)


def _weighed(yard: Yard, items: tuple[Unplugged, ...], build: Build) -> _Weight:
    pieces = build.pieces
    own = (build.crowded, *_weight(pieces))
    stock = {p: pieces.count(p) for p in pieces if not p.bought}
    arms = [
        yard.least(arm, item.wire)
        for arm, item in zip(build.arms, items, strict=True)
        if arm.wants > 0
    ]
    sums = [sum(column) for column in zip(own[1:], *arms, strict=True)]
    least = (own[0], int(sums[0]), int(sums[1]), sums[2])
    return _Weight(build, stock, own, least, bool(arms))


def _best(yard: Yard, items: tuple[Unplugged, ...], found: list[Build]) -> list[Build]:
    """Drop the builds that another one beats; of two that cost the same the first stays."""
    weights = [_weighed(yard, items, build) for build in found]
    weights.sort(key=lambda w: (w.least, w.build.key))
    kept: list[_Weight] = []
    for one in weights:
        if not any(other.beats(one) for other in kept):
            kept = [other for other in kept if not one.beats(other)] + [one]
    return [weight.build for weight in kept]
