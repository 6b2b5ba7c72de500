"""Layouts that are only worked out as far as it takes to say that they are of no use."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

from harness.diagram.page_size import FLOOR
from harness.diagram.rows import HEADROOM, Rows
from harness.drawing import look
from harness.drawing.layout_model import Laid
from harness.drawing.scene import Point

LARGEST = look.SMALL / FLOOR  # how much larger than the page a layout can still be read


def excess(laid: Laid, page: Point) -> float:
    """Return by how much a layout is larger than the page."""
    return max(laid.width / page[0], laid.height / page[1])


def is_small_enough(laid: Laid, page: Point) -> bool:
    """Say whether a layout can be read on the page."""
    return excess(laid, page) <= LARGEST


@dataclass(frozen=True)
class Attempt:
    """One order of parts and passing leads, to be made into a layout for a page.

    `rows` makes its rows from the headroom for the places' names, `finish` a layout from rows.
    """

    rows: Callable[[float], Rows]
    finish: Callable[[Rows, Point], Laid]
    page: Point

    @cached_property
    def bare(self) -> Rows:
        """The rows without headroom."""
        return self.rows(0.0).untangled()

    @property
    def least(self) -> float:
        """What its excess is at the least, known before it is finished."""
        return self.bare.shortest / self.page[1]

    @cached_property
    def done(self) -> Laid:
        """The layout, with headroom if it can then be read on the page."""
        roomy = self.rows(HEADROOM).untangled()
        if roomy.shortest <= LARGEST * self.page[1]:
            laid = self.finish(roomy, self.page)
            if is_small_enough(laid, self.page):
                return laid
        return self.finish(self.bare, self.page)

    @property
    def excess(self) -> float:
        """By how much the finished layout is larger than the page."""
        return excess(self.done, self.page)


def first_readable(attempts: Iterable[Attempt]) -> Attempt:
    """Return the first that can be read on its page, else the smallest."""
    tried: list[Attempt] = []
    for attempt in attempts:
        if attempt.least <= LARGEST and attempt.excess <= LARGEST:
            return attempt
        tried.append(attempt)
    return smallest(tried)


def smallest(attempts: Iterable[Attempt]) -> Attempt:
    """Return the smallest, the first of those as small."""
    best: Attempt | None = None
    for attempt in attempts:
        if best is None or (attempt.least < best.excess and attempt.excess < best.excess):
            best = attempt
    assert best is not None
    return best
