"""One solution of the decision space, and what the planner answers: plain data."""

from __future__ import annotations

from harness.base.data import dataclass
from harness.base.finding import Finding
from harness.plan.rewrite import Edit
from harness.planner.failsafes import ChannelSetup
from harness.planner.feeds import FeedChoice
from harness.planner.hosts import Host
from harness.planner.space import Use
from harness.planner.stock import StockPiece
from harness.rules.run import Report

LEVELS = ("wishes", "feed", "warnings", "bought", "notes", "joints", "length", "mends", "places")


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
    def feed_name(self) -> str:
        """The part that feeds the rail, "" where that is no choice."""
        return self.feed.part if self.feed else ""


@dataclass(frozen=True)
class Decision:
    """One choice: what was chosen, why, and what it costs."""

    what: str
    why: str
    cost: str


@dataclass(frozen=True)
class Wished:
    """One wish: whether it is granted, and why not or what would have to change.

    `line`: where the plan states it; 0 for one that we took because it states none.
    """

    name: str
    granted: bool
    why: str
    line: int = 0


@dataclass(frozen=True)
class Wanted:
    """Leads of one kind that the proposal uses: `where` they come from; length in mm or None."""

    kind: str
    count: int
    gauge: str
    length: float | None
    words: str
    where: str


@dataclass(frozen=True)
class PassedOver:
    """A lead at hand that does not do where it would have gone: before the plugs of `items`.

    `count` of them are left, `wants`: mm wanted there, None where it is long enough; `instead`:
    what goes there.
    """

    lead: str
    count: int
    where: str
    items: tuple[str, ...]
    wants: float | None
    why: str
    instead: str


@dataclass(frozen=True)
class RunnerUp:
    """A plan that comes next: what is otherwise, what it costs more or gives less."""

    differs: tuple[str, ...]
    costs: tuple[str, ...]
    levels: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Proposal:
    """A whole plan for what was not plugged in. `costs`: by level, the first decides.

    `proven`: no better plan exists in the decision space; else `gap` says what is not known.
    `faults`: dangers and errors that no choice of the planner avoids. `runners_up`: None where
    nobody asked. `channels`: all that the radio is set up for, stated and proposed. `open`: the
    parts whose plugs it leaves open.
    """

    edits: tuple[Edit, ...]
    text: str
    choices: tuple[Decision, ...]
    wishes: tuple[Wished, ...]
    defaults: bool
    used: tuple[Wanted, ...]
    bought: tuple[Wanted, ...]
    costs: tuple[tuple[str, int], ...]
    runners_up: tuple[RunnerUp, ...] | None
    proven: bool
    gap: str
    notes: tuple[str, ...]
    faults: tuple[Finding, ...]
    report: Report
    channels: tuple[ChannelSetup, ...] = ()
    passed: tuple[PassedOver, ...] = ()
    open: tuple[str, ...] = ()


@dataclass(frozen=True)
class PlanLimit:
    """One limit of the plan in words, and the line that states it (0: no line does).

    `enough`: how large it would have to be, where it is a number.
    """

    name: str
    words: str
    line: int
    enough: str = ""


@dataclass(frozen=True)
class NoPlan:
    """There is no plan. `ways`: each a smallest set of limits without which there is one.

    `stuck`: what has no place at all.
    """

    ways: tuple[tuple[PlanLimit, ...], ...]
    stuck: tuple[str, ...] = ()
