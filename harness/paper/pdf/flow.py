"""Strips on pages: what stays together, where a page ends, whole drawings on pages of their own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import takewhile

from harness.drawing.scene import Point
from harness.drawing.sheet import PAPERS
from harness.paper.pdf.marks import Item, Strip, Whole, height_of

LEFT = 51.0  # 18 mm, to be punched
RIGHT = 40.0
TOP = 40.0
LOW = 52.0
FOOT = 30.0  # the foot's baseline above the edge
NARROW = 16.0  # margin of a page that is a drawing, points: 5.6 mm, what printers need


@dataclass
class Page:
    """A page: its size, its strips with their left upper corners, and its drawing."""

    width: float
    height: float
    left: float = LEFT
    right: float = RIGHT
    foot: float = FOOT
    placed: list[tuple[float, float, Strip]] = field(default_factory=list)
    drawing: tuple[Whole, tuple[float, float, float, float]] | None = None


def text_size(paper: str) -> Point:
    """Return width and height of the text on an upright page."""
    high, wide = PAPERS[paper]
    return wide - LEFT - RIGHT, high - TOP - LOW


class Flow:
    """Fills pages."""

    def __init__(self, paper: str) -> None:
        self.high, self.wide = PAPERS[paper]
        self.room = text_size(paper)[1]
        self.pages: list[Page] = []
        self.y = self.room

    @property
    def fresh(self) -> bool:
        """Whether nothing stands on the page yet."""
        return not self.pages or not self.pages[-1].placed

    def chapter(self, items: Iterable[Item]) -> None:
        """Begin a chapter: on a new page, unless it fits on what is left.

        Of a chapter with drawings on pages of their own, what stands before the first counts.
        """
        found = list(items)
        lead = [i for i in takewhile(lambda i: isinstance(i, Strip), found) if isinstance(i, Strip)]
        high = height_of(lead) + (lead[0].before if lead else 0.0)
        if self.y + high > self.room:
            self.y = self.room
        self.add(found)

    def add(self, items: Iterable[Item]) -> None:
        """Put items on pages, from where the last ended."""
        for strips, whole in _chains(items):
            if whole:
                self._drawing(strips, whole)
            elif strips:
                self._chain(strips)

    def _chain(self, strips: Sequence[Strip]) -> None:
        """Place what stays together; what is higher than a page does not."""
        if self.y + strips[0].before + height_of(strips) > self.room:
            self.y = self.room
        for strip in strips:
            self._place(strip)

    def _place(self, strip: Strip) -> None:
        before = 0.0 if self.fresh else strip.before
        if self.y + before + strip.height > self.room:
            self._turn(strip)
        else:
            self.y += before
        self._put(strip)

    def _turn(self, strip: Strip) -> None:
        """Begin a page, with the head of the table that goes on there."""
        self.pages.append(Page(self.wide, self.high))
        self.y = 0.0
        if height_of(strip.again) + strip.height <= self.room:
            for head in strip.again:
                self._put(head)

    def _put(self, strip: Strip) -> None:
        self.pages[-1].placed.append((LEFT, TOP + self.y, strip))
        self.y += strip.height

    def _drawing(self, strips: Sequence[Strip], whole: Whole) -> None:
        """Give a drawing its page, turned where it is wider than high."""
        wide, high = self.wide, self.high
        if whole.scene.width > whole.scene.height:
            wide, high = high, wide
        page = Page(wide, high, NARROW, NARROW, NARROW)
        y = NARROW
        for strip in strips:
            page.placed.append((NARROW, y, strip))
            y += strip.height
        page.drawing = whole, (NARROW, y, wide - 2 * NARROW, high - NARROW - 11.0 - y)
        self.pages.append(page)
        self.y = self.room


def _chains(items: Iterable[Item]) -> Iterator[tuple[list[Strip], Whole | None]]:
    """Yield what stays together: strips, and the drawing that they stand above."""
    chain: list[Strip] = []
    for item in items:
        if isinstance(item, Whole):
            yield chain, item
            chain = []
            continue
        chain.append(item)
        if not item.keep:
            yield chain, None
            chain = []
    if chain:
        yield chain, None
