"""The best answer, and what would grant a wish that failed.

Level after level is solved, each with the earlier ones held; then ties are settled by name.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from harness.base.data import dataclass, field
from harness.planner.hosts import LIMITS_SENT
from harness.planner.programme import SOCKETS, Model
from harness.planner.proposal import Answer
from harness.planner.solver import Result

TOGETHER = (("wishes",), ("feed", "bought", "joints"), ("length",), ("mends", "places"))
"""Levels that are solved in one go: each is weighed so that it outweighs all after it."""
WEIGHT = 1000.0


@dataclass
class Search:
    """One search over a model. `held`: the rows that it has added."""

    model: Model
    held: list[int] = field(default_factory=list)
    gap: str = ""

    def best(self, whole: bool = True) -> Answer | None:
        """Return the answer that costs least; of several the first by name.

        Not `whole`: names settle who shares what, but not which of two alike leads lies where.
        """
        result = self._levels()
        if result is None:
            return None
        if result.proven:
            result = self._by_name(result) if whole else self._uses(result)
        return self.model.read(result)

    def free(self) -> None:
        """Take the rows of this search out of the model."""
        for row in self.held:
            self.model.programme.free(row)
        self.held.clear()

    def _hold(self, costs: dict[int, float], most: float) -> None:
        if costs:
            self.held.append(self.model.programme.row(costs, -1e9, most))

    def _levels(self) -> Result | None:
        result: Result | None = None
        for levels in TOGETHER:
            costs = [self.model.costs(level) for level in levels]
            weighed: dict[int, float] = {}
            for level in costs:
                weighed = {c: weighed.get(c, 0.0) * WEIGHT for c in weighed}
                for column, cost in level.items():
                    weighed[column] = weighed.get(column, 0.0) + cost
            if not weighed and result is not None:
                continue
            found = self.model.programme.solve(weighed)
            if not found.found:
                return None
            result = found
            if not found.proven:
                self.gap = f"{'/'.join(levels)}: at most {found.gap:g} better"
                return result
            for level in costs:
                self._hold(level, sum(c * found.values[n] for n, c in level.items()))
        return result

    def _by_name(self, result: Result) -> Result:
        """Settle ties: each item in turn gets the first use, then the first pieces and channel."""
        result = self._uses(result)
        model = self.model
        by_want: dict[object, list[int]] = {}
        for column, (want, _) in model.arms.items():
            by_want.setdefault(want, []).append(column)
        pieces = [c for columns in by_want.values() for c in columns] + list(model.reversers)
        self._in_turn(result, pieces, pieces)
        spots = list(model.feed_channels)
        rest = {c for c in model.places if c not in model.uses} | set(model.loose)
        free = [*spots, *model.channels, *(c for c in rest if c not in model.channels)]
        self._in_turn(result, [*reversed(spots), *self._wanted(result)], free)
        return result

    def _in_turn(self, result: Result, columns: Sequence[int], loose: Sequence[int]) -> None:
        """Make each column in turn as large as it can be, all but the loose ones fixed."""
        small, number = self.model.programme.around(result.values, loose)
        values = [result.values[c] for c in loose]
        settled: dict[int, int] = {}
        for column in columns:
            n = number[column]
            if values[n] < small.room(n, settled):
                found = small.solve({n: -1.0})
                values = found.values if found.found else values
            small.row({n: 1.0}, values[n], values[n])
            settled[n] = values[n]
        for column, n in number.items():
            result.values[column] = values[n]

    def _wanted(self, result: Result) -> list[int]:
        """Return the columns of channels: groups by their names, for each its channels in order."""
        model = self.model
        chosen = [u for c, u in model.uses.items() if result.values[c] and u.where != u.host.id]
        kinds = dict.fromkeys((u.label, u.where) for u in sorted(chosen, key=lambda u: u.names))
        return [
            column
            for kind in kinds
            for column, (label, host) in model.channels.items()
            if (label, host.box) == kind
        ]

    def _uses(self, result: Result) -> Result:
        """Each item in the order of names gets the first of its columns that is possible."""
        programme = self.model.programme
        done: set[str] = set()
        for item in self.model.space.items:
            if item.id in done:
                continue
            columns = self.model.by_item[item.id]
            rank = next(n for n, c in enumerate(columns) if result.values[c])
            if any(programme.upper[c] > 0 for c in columns[:rank]):
                found = programme.solve({c: float(n - rank) for n, c in enumerate(columns[:rank])})
                if found.found and found.cost < 0:
                    result = found
                    rank = next(n for n, c in enumerate(columns) if result.values[c])
            self.held.append(programme.row({columns[rank]: 1.0}, 1.0))
            done |= set(self.model.uses[columns[rank]].names)
        return result


def grants(model: Model, answer: Answer, wish: int) -> tuple[int, bool] | None:
    """Return how many more sockets grant a wish and keep all that are granted; None: none do.

    Also whether the transmitter must send more channels for it.
    """
    rows = _granting(model, [wish, *_held(answer)])
    more: tuple[int, bool] | None = None
    for dropped in ({SOCKETS}, {SOCKETS, LIMITS_SENT}):
        model.drop(frozenset(dropped))
        found = model.programme.solve(dict.fromkeys(model.extra, 1.0))
        if found.found:
            more = (found.cost, LIMITS_SENT in dropped)
            break
    model.drop(frozenset())
    for row in rows:
        model.programme.free(row)
    return more


def without(model: Model, answer: Answer, wish: int) -> int | None:
    """Return the granted wish whose loss alone would grant another one; None: there is none."""
    held = _held(answer)
    for left in reversed(held):
        rows = _granting(model, [wish, *(n for n in held if n != left)])
        found = model.programme.solve({})
        for row in rows:
            model.programme.free(row)
        if found.found:
            return left
    return None


def _held(answer: Answer) -> list[int]:
    return [n for n, yes in enumerate(answer.granted) if yes]


def _granting(model: Model, wishes: Iterable[int]) -> list[int]:
    """Add a row for each wish that must be granted."""
    return [model.programme.row({model.granted[n]: 1.0}, 1.0) for n in wishes]
