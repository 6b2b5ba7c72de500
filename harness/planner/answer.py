"""One solution of the decision space, and what each level of cost is called."""

from __future__ import annotations

from dataclasses import dataclass

from harness.planner.feeds import FeedChoice
from harness.planner.hosts import Host
from harness.planner.space import Use
from harness.planner.stock import StockPiece

LEVELS = ("wishes", "feed", "bought", "joints", "length", "mends", "places")


@dataclass(frozen=True)
class Chosen:
    """One group as chosen: its use, the pieces of each arm, its channel (its host's own or new)."""

    use: Use
    arms: tuple[tuple[StockPiece, ...], ...]
    host: Host | None = None


@dataclass(frozen=True)
class Answer:
    """One solution: groups by name, the feed, reversers to use, what each level costs."""

    groups: tuple[Chosen, ...]
    feed: FeedChoice | None
    reversers: tuple[StockPiece, ...]
    costs: tuple[tuple[str, int], ...]
    granted: tuple[bool, ...]
    proven: bool = True
    extra: int = 0
    feed_host: Host | None = None

    @property
    def plan_key(self) -> frozenset[tuple[object, ...]]:
        """What two plans must differ in: who shares what, what is mended, what feeds."""
        return frozenset({c.use.plan_key for c in self.groups} | {("feed", self.feed_name)})

    @property
    def feed_name(self) -> str:
        """The part that feeds the rail, "" where that is no choice."""
        return self.feed.part if self.feed else ""

    @property
    def cost(self) -> tuple[int, ...]:
        """The cost of each level, the first decides."""
        return tuple(value for _, value in self.costs)
