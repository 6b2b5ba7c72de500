"""Which lane of a gap each upright stretch takes: few crossings, nothing on top of anything else.

A stretch joins heights at the gap's sides: one at each side, or both at the same side when the
lead turns back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

NEAR = 8.0  # two level runs closer than this would cover each other, points
CLEAR = 10.0  # least distance of two stretches in one lane
COVER = 12  # a covered run is as bad as this many crossings
ROUNDS = 12


@dataclass(frozen=True, eq=False)
class LaneStretch:
    """Heights at the left and at the right side of the gap, two in all."""

    name: str
    lefts: tuple[float, ...]
    rights: tuple[float, ...]

    @cached_property
    def low(self) -> float:
        """The smaller height."""
        return min(*self.lefts, *self.rights)

    @cached_property
    def high(self) -> float:
        """The greater height."""
        return max(*self.lefts, *self.rights)


def lane_numbers(stretches: Sequence[LaneStretch]) -> dict[str, int]:
    """Return the lane of each stretch, 0 at the left."""
    order = best_order(stretches)
    lanes: dict[str, int] = {}
    for index, one in enumerate(order):
        met = [lanes[other.name] for other in order[:index] if _overlap(one, other)]
        lanes[one.name] = max(met, default=-1) + 1
    return lanes


def best_order(stretches: Sequence[LaneStretch]) -> list[LaneStretch]:
    """Return an order, left to right, that no move of one stretch improves."""
    order = sorted(stretches, key=_first_guess)
    gain = _gains(order)
    for _ in range(ROUNDS):
        moved = [_moved(order, one, gain) for one in list(order)]
        if not any(moved):
            break
    return order


def _gains(stretches: Iterable[LaneStretch]) -> dict[tuple[str, str], int]:
    """Return what it saves to put the first of two left of the second, where it matters."""
    found: dict[tuple[str, str], int] = {}
    for a, b in combinations(stretches, 2):
        if a.low < b.high + NEAR and b.low < a.high + NEAR:
            gain = cost(b, a) - cost(a, b)
            found[a.name, b.name], found[b.name, a.name] = gain, -gain
    return found


def _moved(order: list[LaneStretch], one: LaneStretch, gain: Mapping[tuple[str, str], int]) -> bool:
    """Move one stretch to where it does best; say whether that is another place."""
    old = order.index(one)
    others = [other for other in order if other is not one]
    saved, best, at = 0, 0, 0
    for place, other in enumerate(others, 1):
        saved -= gain.get((one.name, other.name), 0)
        if place == old:
            here = saved
        if saved > best:
            best, at = saved, place
    if best <= (here if old else 0):
        return False
    order[:] = [*others[:at], one, *others[at:]]
    return True


def _first_guess(one: LaneStretch) -> tuple[int, float, str]:
    """Turns at the left side first, the short ones outside; turns at the right side last."""
    size = one.high - one.low
    if not one.rights:
        return 0, size, one.name
    if not one.lefts:
        return 2, -size, one.name
    start, end = one.lefts[0], one.rights[0]
    return 1, -start if end > start else start, one.name


def cost(left: LaneStretch, right: LaneStretch) -> int:
    """Return crossings between two neighbours, and level runs that would cover each other."""
    crossings = sum(right.low < y < right.high for y in left.rights)
    crossings += sum(left.low < y < left.high for y in right.lefts)
    covers = sum(abs(a - b) < NEAR for a in left.rights for b in right.lefts)
    return crossings + COVER * covers


def _overlap(one: LaneStretch, other: LaneStretch) -> bool:
    return one.low < other.high + CLEAR and other.low < one.high + CLEAR
