"""The decision space as a whole-number programme, and an answer of it read back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from harness.base.data import dataclass, field
from harness.base.units import WireSize
from harness.facts.signals import by_signal
from harness.planner.builds import Arm
from harness.planner.feeds import NOTHING, FeedChoice
from harness.planner.groups import RANKS, Ask
from harness.planner.hosts import LIMITS_SENT, Host, expected, second_aileron
from harness.planner.items import Device, device_of
from harness.planner.proposal import LEVELS, Answer, Chosen
from harness.planner.solver import Programme, Result, summed
from harness.planner.space import PulseLabel, Space, Use
from harness.planner.stock import StockPiece, bought

Want = tuple[float, int, float, int]
SOCKETS = "sockets"
BUY = "buy-at-most"
MANY = 99.0
ADVISED = ("warnings", "notes")


@dataclass(frozen=True)
class AdvisedAgainst:
    """What a rule speaks against at a level of cost: each column that it names."""

    level: str
    rule: str
    columns: frozenset[int]


@dataclass
class Model:
    """Columns by what they stand for, and the costs of each level."""

    space: Space
    dropped: frozenset[str] = frozenset()
    programme: Programme = field(default_factory=Programme)
    uses: dict[int, Use] = field(default_factory=dict)
    arms: dict[int, tuple[Want, tuple[StockPiece, ...]]] = field(default_factory=dict)
    channels: dict[int, tuple[PulseLabel, Host]] = field(default_factory=dict)
    feeds: dict[int, FeedChoice] = field(default_factory=dict)
    feed_channels: dict[int, tuple[FeedChoice, Host]] = field(default_factory=dict)
    reversers: dict[int, StockPiece] = field(default_factory=dict)
    extra: dict[int, tuple[PulseLabel, str]] = field(default_factory=dict)
    granted: list[int] = field(default_factory=list)
    places: dict[int, float] = field(default_factory=dict)
    tags: dict[int, tuple[str, ...]] = field(default_factory=dict)
    buy_row: int = -1
    loose: list[int] = field(default_factory=list)
    prices: dict[tuple[str, str], dict[int, int]] = field(default_factory=lambda: defaultdict(dict))
    by_item: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))

    def __post_init__(self) -> None:
        self._columns()
        self._cover()
        self._arms()
        self._channels()
        self._feeds()
        self._stock()
        self._wishes()
        self._places()
        for column in self.tags:
            self._set(column)

    @property
    def limits(self) -> tuple[str, ...]:
        """Every limit of the plan that rules something out, by name."""
        found = {name for names in self.tags.values() for name in names}
        return tuple(sorted(found | ({BUY} if self.buy_row >= 0 else set())))

    def _new(self, tags: Iterable[str] = (), upper: float = 1.0) -> int:
        column = self.programme.column(upper)
        if tags:
            self.tags[column] = tuple(tags)
        return column

    def _set(self, column: int) -> None:
        kept = [name for name in self.tags[column] if name not in self.dropped]
        top = MANY if column in self.extra or column in self.loose else 1.0
        self.programme.limit(column, 0.0 if kept else top)

    def drop(self, dropped: frozenset[str]) -> None:
        """Let some limits go and keep all others."""
        self.dropped = dropped
        for column in self.tags:
            self._set(column)
        if self.buy_row >= 0:
            self.programme.free(self.buy_row)
            if BUY not in dropped:
                self.buy_row = self.programme.row(self.costs("bought"), -1e9, self._budget())

    def _budget(self) -> float:
        return float(self.space.plan.buy_at_most or 0)

    def _columns(self) -> None:
        for use in self.space.uses:
            column = self._new(use.limits)
            self.uses[column] = use
            for name in use.names:
                self.by_item[name].append(column)

    def _cover(self) -> None:
        """Each item hangs on exactly one pulse."""
        for item in self.space.items:
            self.programme.row(dict.fromkeys(self.by_item[item.id], 1.0), 1.0, 1.0)
        special: dict[str, list[int]] = defaultdict(list)
        for column, use in self.uses.items():
            if use.where == use.host.id:
                special[use.where].append(column)
        for columns in special.values():
            self.programme.row(dict.fromkeys(columns, 1.0), -1e9, 1.0)

    def _arms(self) -> None:
        """What an arm wants is filled in exactly one way; arms that want the same are alike."""
        wanting: dict[Want, dict[int, float]] = defaultdict(dict)
        gauges: dict[Want, Arm] = {}
        for column, use in self.uses.items():
            for arm in use.build.arms:
                if arm.wants > 0:
                    want = self.want(arm)
                    wanting[want][column] = wanting[want].get(column, 0.0) - 1.0
                    gauges[want] = arm
        for want, terms in wanting.items():
            arm = gauges[want]
            for pieces in self.space.yard.options(arm, self._wires[arm.item]):
                column = self._new(upper=MANY)
                self.arms[column] = (want, pieces)
                terms[column] = 1.0
            self.programme.row(terms, 0.0, 0.0)

    def want(self, arm: Arm) -> Want:
        """Return what makes two arms alike: mm, most pieces, thickness, how many are advised."""
        wire = self._wires[arm.item]
        return (arm.wants, arm.most, wire.area_mm2 if wire else 0.0, arm.advised)

    @cached_property
    def _wires(self) -> dict[str, WireSize | None]:
        return {item.id: item.wire for item in self.space.items}

    def _channels(self) -> None:
        """Groups on the plain channels of a box each have one; a channel has one group."""
        groups: dict[tuple[PulseLabel, str], list[int]] = defaultdict(list)
        for column, use in self.uses.items():
            if use.where != use.host.id:
                groups[use.label, use.where].append(column)
        by_host: dict[str, list[int]] = defaultdict(list)
        for (label, box), columns in groups.items():
            terms = dict.fromkeys(columns, -1.0)
            for host in self.space.hosts:
                if host.box == box and host.plain:
                    limits = self.space.channel_allowed(label, host)
                    column = self._new(limits)
                    self.channels[column] = (label, host)
                    terms[column] = 1.0
                    by_host[pulse_of(self.space, host)].append(column)
            spare = self._new((SOCKETS,), MANY)
            self.extra[spare] = (label, box)
            terms[spare] = 1.0
            self.programme.row(terms, 0.0, 0.0)
        self._on_host = by_host
        self._sent()
        self._named_first()

    def _sent(self) -> None:
        """More sockets than the transmitter sends channels are of no use."""
        sent = self.space.plan.transmitter.channels
        if sent is not None and self.extra:
            there = sum(host.plain for host in self.space.hosts)
            loose = self._new((LIMITS_SENT,))
            self.loose.append(loose)
            terms = {**dict.fromkeys(self.extra, 1.0), loose: -1.0}
            self.programme.row(terms, -1e9, max(0.0, float(sent - there)))

    def _named_first(self) -> None:
        """No group goes to an unnamed channel while a free one of its function is left."""
        named = [h for h in self.space.hosts if h.plain and h.function and not h.blocked]
        labels = sorted({label for label, _ in self.channels.values()}, key=repr)
        on: dict[tuple[PulseLabel, str], int] = {
            (label, host.id): column for column, (label, host) in self.channels.items()
        }
        for host in named:
            homes = [label for label in labels if label.fits(host)]
            there = {on[label, host.id]: -1.0 for label in homes if (label, host.id) in on}
            for label in homes:
                away = [
                    column
                    for column, (other, h) in self.channels.items()
                    if other == label and not h.function
                ]
                for column in away:
                    self._tie(f"channel {host.channel} is {host.function}", {column: 1.0, **there})

    def _tie(self, limit: str, terms: Mapping[int, float]) -> None:
        """Add a row that only holds while a limit stands."""
        loose = self._new((limit,))
        self.loose.append(loose)
        self.programme.row({**terms, loose: -1.0}, -1e9, 0.0)

    def _feeds(self) -> None:
        for feed in self.space.feeds:
            column = self._new(upper=0.0 if feed.kind == NOTHING else 1.0)
            self.feeds[column] = feed
            if feed.channel:
                terms = {column: -1.0}
                for host in self.space.hosts:
                    if host.plain and not host.function and not host.blocked:
                        spot = self._new()
                        self.feed_channels[spot] = (feed, host)
                        terms[spot] = 1.0
                        self._on_host[pulse_of(self.space, host)].append(spot)
                self.programme.row(terms, 0.0, 0.0)
        if self.feeds:
            self.programme.row(dict.fromkeys(self.feeds, 1.0), 1.0, 1.0)
        for columns in self._on_host.values():
            self.programme.row(dict.fromkeys(columns, 1.0), -1e9, 1.0)

    def _stock(self) -> None:
        """No piece is used more often than there are of it; in-line reversers are alike."""
        wanted = {c: float(u.reversers) for c, u in self.uses.items() if u.reversers}
        self.needs_reversers = bool(wanted)
        if wanted:
            pool = [p for p in self.space.yard.stock if p.kind == "reverser"]
            for piece in [*pool, bought(self.space.plan, "reverser", None, None)]:
                many = float(self.space.yard.stock.get(piece, MANY))
                self.reversers[self._new((), many)] = piece
            self.programme.row({**wanted, **dict.fromkeys(self.reversers, -1.0)}, 0.0, 0.0)
        for piece, count in self.space.yard.stock.items():
            terms = summed((c, float(n)) for c, n in self._taking(piece))
            if terms:
                self.programme.row(terms, -1e9, float(count))
        if self.space.plan.buy_at_most is not None:
            self.buy_row = self.programme.row(self.costs("bought"), -1e9, self._budget())

    def _taking(self, piece: StockPiece) -> list[tuple[int, int]]:
        found = [(c, u.build.pieces.count(piece)) for c, u in self.uses.items()]
        found += [(c, pieces.count(piece)) for c, (_, pieces) in self.arms.items()]
        return [(column, count) for column, count in found if count]

    def _wishes(self) -> None:
        """A wish is granted when no use that goes against it is taken, nor plugged in already."""
        for ask in self.space.asks:
            column = self._new()
            self.granted.append(column)
            against = {c for c, use in self.uses.items() if ask.breaks(use.everything)}
            if self.broken(ask):
                self.programme.row({column: 1.0}, 0.0, 0.0)
            for item in self.space.items:
                mine = [c for c in self.by_item[item.id] if c in against]
                if mine:
                    self.programme.row({column: 1.0, **dict.fromkeys(mine, 1.0)}, -1e9, 1.0)

    def broken(self, ask: Ask) -> bool:
        """Say whether parts that share a channel already go against a wish."""
        return any(ask.breaks(devices) for devices in _already(self.space))

    def _places(self) -> None:
        """Cost the functions that are not where the radio expects them."""
        here = {d.base for item in self.space.items for d in item.devices}
        wants = expected(self.space.plan)
        for base in sorted(here):
            self._expected(base, wants.get(base, ""))
        flaps = any(d.base == "flap" for d in self.space.placed) or "flap" in here
        if "aileron" in here and not flaps:
            self._second_aileron({wants.get("aileron", ""), second_aileron(self.space.plan)})
        for column, use in self.uses.items():
            if use.astray:
                self.places[column] = float(use.astray)

    def _on_channel(self, base: str) -> list[tuple[int, str]]:
        """Return the columns that put a function on a channel, with the channel's name."""
        found = [(c, h.channel) for c, (label, h) in self.channels.items() if base in label.bases]
        special = [(c, u) for c, u in self.uses.items() if u.where == u.host.id]
        return found + [
            (c, u.host.channel) for c, u in special if base in u.label.bases and not u.host.outlet
        ]

    def _expected(self, base: str, channel: str) -> None:
        there = [column for column, name in self._on_channel(base) if name == channel]
        if there:
            miss = self._new()
            self.programme.row({miss: 1.0, **dict.fromkeys(there, 1.0)}, 1.0)
            self.places[miss] = 1.0

    def _second_aileron(self, fine: set[str]) -> None:
        away = [column for column, name in self._on_channel("aileron") if name not in fine]
        if away:
            miss = self._new()
            for column in away:
                self.programme.row({miss: 1.0, column: -1.0}, 0.0)
            self.places[miss] = 1.0

    def advise(self, advice: AdvisedAgainst, count: int) -> bool:
        """Price what a rule speaks against with a count of findings; False: it has that price."""
        prices = self.prices[advice.level, advice.rule]
        dearer = [column for column in advice.columns if prices.get(column, 0) < count]
        prices |= dict.fromkeys(dearer, count)
        return bool(dearer)

    def costs(self, level: str) -> dict[int, float]:
        """Return the cost of each column at one level."""
        if level == "wishes":
            most = len(self.granted)
            return {c: -(2.0 ** (most - n - 1)) for n, c in enumerate(self.granted)}
        if level == "feed":
            return {c: float(n) for n, c in enumerate(self.feeds)}
        if level == "places":
            return dict(self.places)
        if level in ADVISED:
            crowded = self._crowded() if level == "warnings" else {}
            priced = [p.items() for (mine, _), p in self.prices.items() if mine == level]
            every = [crowded.items(), *priced]
            return summed((column, float(n)) for items in every for column, n in items)
        if level == "mends":
            mended = ((c, u.mends) for c, u in self.uses.items() if u.mends)
            return {c: float(sum(RANKS[m.how] for m in mends)) for c, mends in mended}
        return self._of_pieces(level)

    def _crowded(self) -> dict[int, int]:
        crowded = {c: u.build.crowded for c, u in self.uses.items() if u.build.crowded}
        filled = self.arms.items()
        return crowded | {c: 1 for c, (want, pieces) in filled if len(pieces) > want[3]}

    def _of_pieces(self, level: str) -> dict[int, float]:
        def cost(pieces: Sequence[StockPiece]) -> float:
            if level == "length":
                return round(sum(p.reach for p in pieces) * 10)
            return float(sum(p.bought for p in pieces)) if level == "bought" else 0.0

        found = {c: cost(u.build.pieces) for c, u in self.uses.items()}
        found |= {c: cost(pieces) for c, (_, pieces) in self.arms.items()}
        if level == "bought":
            found |= {c: float(piece.bought) for c, piece in self.reversers.items()}
        if level == "joints":
            found |= {c: float(u.joints + u.reversers) for c, u in self.uses.items()}
            found |= {c: float(len(pieces)) for c, (_, pieces) in self.arms.items()}
        return {column: value for column, value in found.items() if value}

    def read(self, result: Result) -> Answer:
        """Return a result in the planner's words; channels are dealt out by name."""
        values = result.values
        taken = [(use, column) for column, use in self.uses.items() if values[column]]
        arms: dict[Want, list[tuple[StockPiece, ...]]] = defaultdict(list)
        for column, (want, filled) in self.arms.items():
            arms[want] += [filled] * values[column]
        free: dict[tuple[PulseLabel, str], list[Host]] = defaultdict(list)
        for column, (label, host) in self.channels.items():
            if values[column]:
                free[label, host.box].append(host)
        groups = []
        for use, _ in sorted(taken, key=lambda pair: pair[0].names):
            pieces = tuple(
                arms[self.want(arm)].pop(0) if arm.wants > 0 else () for arm in use.build.arms
            )
            own = use.host if use.where == use.host.id else None
            pool = free.get((use.label, use.where), [])
            pool.sort(key=lambda host: host.order)
            groups.append(Chosen(use, pieces, own or (pool.pop(0) if pool else None)))
        costs = tuple((level, _summed(self.costs(level), values)) for level in LEVELS)
        feed = next((f for c, f in self.feeds.items() if values[c]), None)
        turned = tuple(p for c, p in self.reversers.items() for _ in range(values[c]))
        spot = next((h for c, (_, h) in self.feed_channels.items() if values[c]), None)
        granted = tuple(bool(values[c]) for c in self.granted)
        extra = sum(values[c] for c in self.extra)
        return Answer(tuple(groups), feed, turned, costs, granted, result.proven, extra, spot)


def pulse_of(space: Space, host: Host) -> str:
    """Return what hosts of one channel share: the channel of any receiver, or one output."""
    return host.channel if space.plan.parts[host.box].is_radio else host.id


def _summed(costs: Mapping[int, float], values: Sequence[int]) -> int:
    return round(sum(cost * values[column] for column, cost in costs.items()))


def _already(space: Space) -> list[tuple[Device, ...]]:
    """Return the devices that share a pulse already, host by host."""
    groups = by_signal(space.wiring).values()
    return [tuple(filter(None, (device_of(space.plan, d.part) for d in group))) for group in groups]
