"""Heights drawn towards their wishes, sweep by sweep, within what their neighbours leave them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

SWEEPS = 24
LAST = 4  # rounds in which only what encloses others is drawn tight

Wish = Callable[[Sequence[float]], float]
"""From all heights to where one of them would like to be."""


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
    start: Sequence[float],
    spans: Sequence[HeightRange],
    wishes: Sequence[Wish],
    closing: Mapping[int, bool],
) -> list[float]:
    """Return heights within their spans, near their wishes; those before others lie above them.

    At last each of `closing` is drawn tight: as far up as it can be, or else as far down.
    """
    heights: list[float] = []
    for wanted, span in zip(start, spans, strict=True):
        near = [heights[number] + distance for number, distance in span.above]
        heights.append(max([min(max(wanted, span.least), span.most), *near]))
    upward = list(reversed(list(enumerate(zip(spans, wishes, strict=True)))))
    for sweep in range(SWEEPS):
        for number, (span, wish) in reversed(upward) if sweep % 2 else upward:
            low, high = span.left(heights)
            heights[number] = min(max(wish(heights), low), high)
    for sweep in range(LAST):
        for number in closing if sweep % 2 else reversed(list(closing)):
            low, high = spans[number].left(heights)
            heights[number] = min(low, high) if closing[number] else high
    return heights
