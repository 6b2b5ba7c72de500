"""How a group is wired to one pulse: splitters, an extension before them, extensions behind.

A run is a chain of pieces; each adds its length. A build settles the splitters and the trunk; what
its arms still want is settled apart, so that pieces of the stock can be shared out by the solver.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import combinations_with_replacement, product

from harness.airframe.stock import stock_lengths
from harness.base.data import dataclass, field
from harness.base.units import WireSize
from harness.parts.figure import rule_figure
from harness.plan.plan import Plan
from harness.planner.hosts import Host, HostEnd
from harness.planner.items import Runs, Unplugged
from harness.planner.stock import StockPiece, bought

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


@dataclass(frozen=True)
class Fork:
    """Splitters and trunk, all their pieces, what they take of the stock, (bought, joints, mm)."""

    splitters: tuple[StockPiece, ...]
    trunk: StockPiece | None
    pieces: tuple[StockPiece, ...]
    stock: dict[StockPiece, int]
    own: tuple[int, int, float]


def _fork(splitters: tuple[StockPiece, ...] = (), trunk: StockPiece | None = None) -> Fork:
    pieces = (trunk, *splitters) if trunk else splitters
    stock = {p: pieces.count(p) for p in pieces if not p.bought}
    return Fork(splitters, trunk, pieces, stock, _weight(pieces))


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
    _forks: dict[tuple[object, ...], list[Fork]] = field(default_factory=dict)

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

    def forks(self, count: int, wire: WireSize | None, lengths: bool, shared: float) -> list[Fork]:
        """Return the splitters and trunks for a count of plugs. `shared`: mm all runs go together.

        `lengths`: whether those of the runs are known.
        """
        at = (count, wire and (wire.area_mm2, wire.text), lengths, shared)
        if at not in self._forks:
            self._forks[at] = [
                _fork(splitters, trunk)
                for splitters in _splitters(self, count, wire, lengths)
                for trunk in _trunks(self, wire, shared)
            ]
        return self._forks[at]

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
        return _possible(yard, items, Build((), None, (arm,)))
    place, shared = yard.runs.shared(items, host.box)
    lengths = all(yard.runs.known(item, host.box) for item in items)
    forks = yard.forks(len(items), thickest(items), lengths, shared if any(wants) else 0.0)
    found = _trees(yard, items, forks, end, wants, (place, shared))
    return _best([*found, *_carried(yard, items, host)])


def _carried(yard: Yard, items: tuple[Unplugged, ...], host: Host) -> Iterator[_Weight]:
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
        filled = [_filled(yard, i, arm) for i, arm in zip(items, arms, strict=True)]
        fine = [arm for arm in filled if arm]
        if len(fine) == len(items):
            yield _weighed(_fork(), fine, carrier=n)


def _on_ends(yard: Yard, items: tuple[Unplugged, ...], host: Host) -> list[Build]:
    """Plugs go to the free ends in the order of their names; no splitter is added."""
    if len(items) > len(host.ends):
        return []
    pairs = zip(items, host.ends, strict=False)
    arms = (
        Arm(i.id, yard.runs.missing(i, host.box, end.spent), 1, yard.room(end, i))
        for i, end in pairs
    )
    return _possible(yard, items, Build((), None, tuple(arms)))


def _splitters(
    yard: Yard, count: int, wire: WireSize | None, lengths: bool
) -> Iterator[tuple[StockPiece, ...]]:
    """Yield one n-way lead of the stock, or Y-leads: one, two or three.

    The two lower Y-leads of a tree of three are alike. New ones have a length only where the
    lengths of the runs are known.
    """
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


def _trunks(yard: Yard, wire: WireSize | None, shared: float) -> Iterator[StockPiece | None]:
    """Yield no extension before the splitters, or one where the runs go some way together."""
    yield None
    if not shared:
        return
    new = [bought(yard.plan, "extension", n, wire) for n in stock_lengths(yard.plan)]
    long_enough = [piece for piece in new if piece.length >= shared][:1]
    yield from yard.at_hand(("extension",), wire)
    yield from [piece for piece in new if piece.length < shared] + long_enough


def _trees(
    yard: Yard,
    items: tuple[Unplugged, ...],
    forks: list[Fork],
    end: HostEnd,
    wants: Sequence[float],
    common: tuple[str, float],
) -> Iterator[_Weight]:
    """Yield the trees whose arms can be filled; of three each may be the one on the upper Y-lead.

    Many trees have arms in common: each is looked at once.
    """
    choice = len(items) == 3 and (any(wants) or len({item.leads for item in items}) > 1)
    known: dict[tuple[int, float, float, int], _Filled | None] = {}
    for fork in forks:
        trunk, splitters = fork.trunk, fork.splitters
        before = min(trunk.reach, common[1]) if trunk else 0.0
        deep, leads = len(splitters) > 1, 1 + (trunk is not None)
        top = (splitters[0].reach, leads)
        low = (top[0] + splitters[1].reach, leads + 1) if deep else top
        for shallow in range(len(items)) if choice and deep else (0,):
            arms = []
            for n, item in enumerate(items):
                above, count = top if len(items) == 3 and n == shallow else low
                at = (n, before, above, count)
                if at not in known:
                    left = max(0.0, round(wants[n] - before - above, 3))
                    arm = Arm(item.id, left, RUN - count, yard.room(end, item, count))
                    known[at] = _filled(yard, item, arm)
                if (found := known[at]) is None:
                    break
                arms.append(found)
            else:
                yield _weighed(fork, arms, shallow, common[0] if trunk else "")


def _possible(yard: Yard, items: tuple[Unplugged, ...], build: Build) -> list[Build]:
    """Return a build if its every arm can be filled."""
    arms = zip(items, build.arms, strict=True)
    return [build] if all(_filled(yard, item, arm) for item, arm in arms) else []


@dataclass(frozen=True)
class _Filled:
    """An arm that can be filled: what it needs, and its least (bought, joints, mm)."""

    arm: Arm
    needs: tuple[float, int, int]
    least: tuple[int, int, float]


def _filled(yard: Yard, item: Unplugged, arm: Arm) -> _Filled | None:
    if not yard.options(arm, item.wire):
        return None
    least = yard.least(arm, item.wire) if arm.wants > 0 else (0, 0, 0.0)
    return _Filled(arm, (arm.wants, arm.most, arm.advised), least)


@dataclass(frozen=True)
class _Weight:
    """A build as compared: its own (crowded, bought, joints, mm), and the least, arms filled."""

    fork: Fork
    arms: tuple[_Filled, ...]
    shallow: int
    place: str
    carrier: int
    own: tuple[int, int, int, float]
    least: tuple[int, int, int, float]
    wants: bool

    def beats(self, other: _Weight) -> bool:
        """Say whether it never costs more than another, whatever else is chosen."""
        if self.own > (other.own if self.wants else other.least):
            return False
        for piece, count in self.fork.stock.items():  # plain loops: asked some 100,000 times
            if count > other.fork.stock.get(piece, 0):
                return False
        if self.wants:
            for a, b in zip(self.arms, other.arms, strict=True):
                (wants, most, advised), (its, most_there, advised_there) = a.needs, b.needs
                if wants > its or (wants and (most < most_there or advised < advised_there)):
                    return False
        return True

    def build(self) -> Build:
        """Return the build itself."""
        arms, of = tuple(filled.arm for filled in self.arms), self.fork
        return Build(of.splitters, of.trunk, arms, self.shallow, self.place, self.carrier)


def _weight(pieces: tuple[StockPiece, ...]) -> tuple[int, int, float]:
    return sum(p.bought for p in pieces), len(pieces), sum(p.reach for p in pieces)


def _weighed(
    fork: Fork, arms: Sequence[_Filled], shallow: int = 0, place: str = "", carrier: int = -1
) -> _Weight:
    crowded, wanting = 0, False
    bought_, joints, length = fork.own
    for filled in arms:
        wants, _, advised = filled.needs
        wanting = wanting or wants > 0
        crowded += wants <= 0 and advised < 0
        bought_, joints = bought_ + filled.least[0], joints + filled.least[1]
        length += filled.least[2]
    least = (crowded, bought_, joints, length)
    return _Weight(fork, tuple(arms), shallow, place, carrier, (crowded, *fork.own), least, wanting)


def _best(weights: list[_Weight]) -> list[Build]:
    """Drop the builds that another one beats; of two that cost the same the first stays."""
    weights.sort(key=lambda w: (w.least, w.fork.pieces, w.shallow, w.carrier))
    kept: list[_Weight] = []
    last: list[_Weight] = []  # what beats one beats most of those that come next
    for one in weights:
        if any(other.beats(one) for other in last):
            continue
        last = next(([other] for other in kept if other.beats(one)), [])
        if not last:
            kept = [other for other in kept if not one.beats(other)] + [one]
    return [weight.build() for weight in kept]
