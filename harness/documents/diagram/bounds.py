"""Heights under order: each b lies at least so far below its a; as close to a wish as can be."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
SWEEPS = 24
LAST = 4  # rounds in which only what encloses others is drawn tight


class Tangle(Exception):  # noqa: N818 - what it is
    """The orders contradict one another."""


@dataclass
class Order(Generic[Key]):
    """Least distances between heights: `below[a][b]` is how far b must lie under a."""

    keys: list[Key] = field(default_factory=list)
    below: dict[Key, dict[Key, float]] = field(default_factory=lambda: defaultdict(dict))
    above: dict[Key, dict[Key, float]] = field(default_factory=lambda: defaultdict(dict))

    def add(self, upper: Key, lower: Key, distance: float) -> None:
        """Demand that `lower` lies at least `distance` under `upper`."""
        least = max(distance, self.below[upper].get(lower, distance))
        self.below[upper][lower] = self.above[lower][upper] = least

    def sorted(self) -> list[Key]:
        """Return the keys from the top down; raises Tangle."""
        waiting = {key: len(self.above[key]) for key in self.keys}
        ready = [key for key in self.keys if not waiting[key]]
        found: list[Key] = []
        while ready:
            key = ready.pop()
            found.append(key)
            for lower in self.below[key]:
                waiting[lower] -= 1
                if not waiting[lower]:
                    ready.append(lower)
        if len(found) < len(self.keys):
            raise Tangle
        return found

    def highest(self, order: Iterable[Key], top: Mapping[Key, float]) -> dict[Key, float]:
        """Return the least height of each key; none lies above its own `top`."""
        found: dict[Key, float] = {}
        for key in order:
            found[key] = max([top[key], *(found[a] + d for a, d in self.above[key].items())])
        return found

    def lowest(self, order: Iterable[Key], low: Mapping[Key, float]) -> dict[Key, float]:
        """Return the greatest height of each key; `order` from the top down."""
        found: dict[Key, float] = {}
        for key in reversed(list(order)):
            found[key] = min([low[key], *(found[b] - d for b, d in self.below[key].items())])
        return found

    def settled(
        self,
        start: Mapping[Key, float],
        least: Mapping[Key, float],
        most: Mapping[Key, float],
        wish: Callable[[Key, Mapping[Key, float], bool], float],
    ) -> dict[Key, float]:
        """Move every height towards its wish, within what its neighbours leave it.

        `wish` gets the key, the heights so far, and whether these are the last rounds.
        """
        order = self.sorted()
        heights: dict[Key, float] = {}
        for key in order:
            near = [heights[a] + d for a, d in self.above[key].items()]
            heights[key] = max([min(max(start[key], least[key]), most[key]), *near])
        for sweep in range(SWEEPS + LAST):
            for key in order if sweep % 2 else reversed(order):
                low = max([least[key], *(heights[a] + d for a, d in self.above[key].items())])
                high = min([most[key], *(heights[b] - d for b, d in self.below[key].items())])
                heights[key] = min(max(wish(key, heights, sweep >= SWEEPS), low), high)
        return heights
