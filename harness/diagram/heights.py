"""Heights under order, each b at least so far below its a, drawn towards their wishes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from typing import Generic, TypeVar

from harness.base.data import dataclass, field

SWEEPS = 24
ALIGNING = 6  # rounds in which small steps are taken out
STEP = 16.0  # a step no larger than this is small, points
EVEN = 0.1
Straight = tuple[int, float]
Key = TypeVar("Key", bound=Hashable)
Wish = Callable[[Sequence[float]], float]
"""From all heights to where one of them would like to be."""


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
        """Return the keys from the top down."""
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


@dataclass(frozen=True, slots=True)
class HeightRange:
    """What one height may be: its own bounds, and its least distances from others by number."""

    least: float
    most: float
    above: Sequence[tuple[int, float]]
    below: Sequence[tuple[int, float]]

    def left(self, heights: Sequence[float]) -> tuple[float, float]:
        """Return the lowest and the highest that the others leave it."""
        low, high = self.least, self.most
        for number, distance in self.above:
            if (near := heights[number] + distance) > low:
                low = near
        for number, distance in self.below:
            if (near := heights[number] - distance) < high:
                high = near
        return low, high


def settled(
    start: Sequence[float], spans: Sequence[HeightRange], wishes: Sequence[Wish]
) -> list[float]:
    """Return heights within their spans, near their wishes; those before others lie above them."""
    heights: list[float] = []
    for wanted, span in zip(start, spans, strict=True):
        near = [heights[number] + distance for number, distance in span.above]
        heights.append(max([min(max(wanted, span.least), span.most), *near]))
    upward = list(reversed(list(enumerate(zip(spans, wishes, strict=True)))))
    for sweep in range(SWEEPS):
        for number, (span, wish) in reversed(upward) if sweep % 2 else upward:
            low, high = span.left(heights)
            heights[number] = min(max(wish(heights), low), high)
    return heights


def straightened(
    heights: Sequence[float], spans: Sequence[HeightRange], links: Sequence[Sequence[Straight]]
) -> list[float]:
    """Return heights with small steps taken out: one moves to where more of its links are level.

    First each by itself, then those that push others aside, where leads climb no more by it.
    `links`: for each height the numbers of those it is joined to, and the distance that is level.
    """
    found = list(heights)
    for push in (False, True):
        for _ in range(ALIGNING):
            if not _aligned(found, spans, links, push=push):
                break
    return found


def _aligned(
    found: list[float],
    spans: Sequence[HeightRange],
    links: Sequence[Sequence[Straight]],
    *,
    push: bool,
) -> bool:
    """Move heights once each, and say whether any did."""
    moved = False
    for number in range(len(found)):
        steps = {found[other] + distance - found[number] for other, distance in links[number]}
        small = sorted(step for step in steps if EVEN <= abs(step) <= STEP)
        tried = [m for step in small if len(m := _pushed(number, step, found, spans)) == 1 or push]
        gains = [(*_gain(moves, found, links), moves) for moves in tried]
        fair = [g for g in gains if g[0] > 0 and (g[1] > -EVEN or not push)]
        if fair:
            moved = True
            for other, height in max(fair, key=lambda g: g[:2])[2].items():
                found[other] = height
    return moved


def _pushed(
    number: int, step: float, found: Sequence[float], spans: Sequence[HeightRange]
) -> dict[int, float]:
    """Return the new heights of all that move when one does; none if one has no room."""
    moves, waiting = {number: found[number] + step}, [number]
    while waiting:
        one = waiting.pop()
        span, height = spans[one], moves[one]
        if not span.least - 1e-9 <= height <= span.most + 1e-9:
            return {}
        for others, way in ((span.above, -1), (span.below, 1)):
            for other, distance in others:
                near = height + way * distance
                if (near - moves.get(other, found[other])) * way > 1e-9:
                    moves[other] = near
                    waiting.append(other)
    return moves


def _gain(
    moves: Mapping[int, float], found: Sequence[float], links: Sequence[Sequence[Straight]]
) -> tuple[int, float]:
    """Return how many more links some moves make level, and how much less leads climb by them."""
    level, saved = 0, 0.0
    for one, height in moves.items():
        for other, distance in links[one]:
            old = abs(found[other] + distance - found[one])
            new = abs(moves.get(other, found[other]) + distance - height)
            level += (new < EVEN) - (old < EVEN)
            saved += old - new
    return level, saved
