"""Heights under order: each b lies at least so far below its a."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)


class Tangle(Exception):  # noqa: N818 - what it is
    """The orders contradict one another."""


@dataclass
class HeightOrder(Generic[Key]):
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

    def neighbours(
        self, key: Key, at: Mapping[Key, int]
    ) -> tuple[list[tuple[int, float]], list[tuple[int, float]]]:
        """Return what lies above and below a key, by number, with the least distances."""
        above = [(at[a], d) for a, d in self.above[key].items()]
        return above, [(at[b], d) for b, d in self.below[key].items()]
