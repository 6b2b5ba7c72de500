"""Which lane each climbing lead takes: few crossings, nothing on top of anything else."""

from collections.abc import Sequence
from dataclasses import dataclass

NEAR = 8.0  # two level runs closer than this would cover each other, points
CLEAR = 10.0  # least distance of two climbs in the same lane
COVER = 4  # a covered run is as bad as this many crossings


@dataclass(frozen=True, slots=True)
class Climb:
    """A lead that goes from height `start` at the left to height `end` at the right."""

    name: str
    start: float
    end: float

    @property
    def low(self) -> float:
        """The smaller height."""
        return min(self.start, self.end)

    @property
    def high(self) -> float:
        """The greater height."""
        return max(self.start, self.end)


def lane_numbers(climbs: Sequence[Climb]) -> dict[str, int]:
    """Lane of each climb, 0 at the left."""
    order = best_order(climbs)
    lanes: dict[str, int] = {}
    for index, climb in enumerate(order):
        met = [lanes[other.name] for other in order[:index] if _overlap(climb, other)]
        lanes[climb.name] = max(met, default=-1) + 1
    return lanes


def best_order(climbs: Sequence[Climb]) -> list[Climb]:
    """An order, left to right, that no exchange of neighbours improves."""
    order = sorted(climbs, key=_first_guess)
    for _ in range(len(order)):
        swapped = False
        for i in range(len(order) - 1):
            left, right = order[i], order[i + 1]
            if cost(right, left) < cost(left, right):
                order[i : i + 2] = [right, left]
                swapped = True
        if not swapped:
            break
    return order


def _first_guess(climb: Climb) -> tuple[float, str]:
    """Down: the lowest start turns first; up: the highest; so climbs of one kind never cross."""
    return (-climb.start if climb.end > climb.start else climb.start, climb.name)


def cost(left: Climb, right: Climb) -> int:
    """Crossings between two climbs, and level runs that would cover each other."""
    crossings = int(left.low < right.start < left.high) + int(right.low < left.end < right.high)
    return crossings + COVER * int(abs(left.end - right.start) < NEAR)


def _overlap(one: Climb, other: Climb) -> bool:
    return one.low < other.high + CLEAR and other.low < one.high + CLEAR
