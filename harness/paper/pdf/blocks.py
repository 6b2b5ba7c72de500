"""Blocks of a paper as strips: headings, paragraphs, lists, notes, pictures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from harness.paper.anchors import row_anchor
from harness.paper.blocks import Block, Heading, Picture, Points, Say, Ticks
from harness.paper.pdf.marks import (
    BLACK,
    BODY,
    LEADING,
    SOFT,
    TABLE,
    TINTS,
    Drawn,
    Item,
    Landing,
    Mark,
    Strip,
    Whole,
    Words,
    breadth,
    joined,
    lines_of,
    rect,
)
from harness.paper.pdf.signs import sign
from harness.paper.pdf.tables import table_strips
from harness.paper.pdf.ticks import tick_strips
from harness.paper.sheet import Note, Table

AFTER = 7.0  # between blocks, points
BESIDE = 58.0  # what a short title takes beside its list
LARGEST = 1.15  # a small picture is not blown up further


@dataclass(frozen=True, slots=True)
class Room:
    """The breadth and height of the text on a page, the anchors that links lead to, the chapter."""

    width: float
    height: float
    anchors: frozenset[str] = frozenset()
    chapter: str = ""

    def row(self, first: str) -> tuple[Landing, ...]:
        """Return where links to a row of a table land, by the text of its first cell."""
        anchor = row_anchor(self.chapter, first)
        return (Landing(anchor),) if anchor in self.anchors else ()


def items_of(blocks: Sequence[Block], room: Room) -> Iterator[Item]:
    """Yield what blocks are when printed."""
    for before, block, after in zip((None, *blocks), blocks, (*blocks[1:], None), strict=False):
        if isinstance(block, Picture):
            yield from _picture(block, room)
            continue
        strips = _strips(block, room)
        if isinstance(before, Heading) and isinstance(block, Say) and isinstance(after, INTRODUCED):
            strips = _kept(strips)
        yield from strips


INTRODUCED = (Table, Ticks)
"""What the words under a heading are about, where it is the next block."""
INTRODUCING = 4
"""Lines of words that stay with what they introduce; more may stand at the end of a page."""


def _kept(strips: list[Strip]) -> list[Strip]:
    return [replace(s, keep=True) for s in strips] if len(strips) <= INTRODUCING else strips


def _strips(block: Block, room: Room) -> list[Strip]:
    if isinstance(block, Heading):
        return heading(block.text, 11.0, room.width, Landing(block.anchor), before=14.0)
    if isinstance(block, Say):
        return said(block, room.width)
    if isinstance(block, Points):
        found = [_point(item.text, item.tone, room.width) for item in block.items]
        return _spaced([strip for strips in found for strip in strips], AFTER)
    if isinstance(block, Table):
        return _spaced(table_strips(block, room.width, room.height, room.row), 9.0)
    if isinstance(block, Note):
        return _note(block, room)
    assert isinstance(block, Ticks)
    return _spaced(tick_strips(block, room.width, room.height, room.anchors), AFTER)


def _spaced(strips: list[Strip], before: float) -> list[Strip]:
    return [replace(strips[0], before=before), *strips[1:]] if strips else []


def heading(
    text: str, size: float, width: float, landing: Landing, before: float, colour: str = BLACK
) -> list[Strip]:
    """Return a heading that stays with what follows it."""
    lines = lines_of(text, size, width, bold=True)
    return [
        Strip(
            size * 1.3 + (3.0 if n == len(lines) - 1 else 0.0),
            (Words(0.0, size, line, size, True, colour), *((landing,) if n == 0 else ())),
            before * (n == 0),
            keep=True,
        )
        for n, line in enumerate(lines)
    ]


def said(block: Say, width: float) -> list[Strip]:
    """Return a paragraph: in a tinted box with a sign, unless its tone is plain."""
    if block.tone in TINTS:
        return _spaced(_boxed(block.text, block.tone, width), 4.0)
    colour, size = (SOFT, TABLE) if block.tone == "faint" else (BLACK, BODY)
    return paragraph(block.text, width, size=size, colour=colour, before=AFTER)


def paragraph(
    text: str,
    width: float,
    *,
    size: float = BODY,
    colour: str = BLACK,
    before: float = 0.0,
    left: float = 0.0,
    bold: bool = False,
) -> list[Strip]:
    """Return the lines of a paragraph; neither its first nor its last stands alone on a page."""
    lines, high = lines_of(text, size, width - left, bold), size * LEADING
    last = len(lines) - 1
    return [
        Strip(high, (Words(left, size, line, size, bold, colour),), before * (n == 0),
              keep=n < last and n in {0, last - 1})
        for n, line in enumerate(lines)
    ]  # fmt: skip


def _boxed(text: str, tone: str, width: float) -> list[Strip]:
    """Return a paragraph on a tint with the sign of its tone."""
    pad, lead = 4.0, BODY * LEADING
    lines = lines_of(text, BODY, width - 30.0)
    top = max(0.0, (18.0 - lead * len(lines)) / 2)
    found: list[Strip] = []
    for n, line in enumerate(lines):
        above = pad + top if n == 0 else 0.0
        below = pad + top if n == len(lines) - 1 else 0.0
        high = above + lead + below
        marks: list[Mark] = [rect(0.0, 0.0, width, high, TINTS[tone])]
        marks += sign(tone, 12.0, above + lead / 2, 6.5) if n == 0 else ()
        marks.append(Words(26.0, above + BODY, line))
        found.append(Strip(high, tuple(marks), keep=n < len(lines) - 1))
    return joined(found, 200.0)


def _point(text: str, tone: str, width: float) -> list[Strip]:
    if tone in TINTS:
        return _spaced(_boxed(text, tone, width), 3.0)
    colour = SOFT if tone == "faint" else BLACK
    found = paragraph(text, width, left=12.0, before=2.0, colour=colour)
    return _marked(found, Words(2.0, BODY, "•", colour=colour))


def _marked(strips: list[Strip], *marks: Mark) -> list[Strip]:
    return [replace(strips[0], marks=(*marks, *strips[0].marks)), *strips[1:]]


def _note(block: Note, room: Room) -> list[Strip]:
    """Return a list under its title, or beside it where the title is a word or two."""
    beside = breadth(block.title, TABLE, bold=True) <= BESIDE - 8.0
    left = BESIDE if beside else 8.0
    found: list[Strip] = []
    for line in block.lines:
        indent = 5.0 * (len(line) - len(line.lstrip(" ")))
        found += paragraph(line, room.width, left=left + min(indent, 50.0), size=TABLE, before=0.5)
    if beside and found:
        found = _marked(found, Words(0.0, TABLE, block.title, TABLE, bold=True))
        return _spaced(found, 4.0)
    return [*heading(block.title, BODY, room.width, Landing(""), before=AFTER), *found]


def _picture(block: Picture, room: Room) -> Iterator[Item]:
    if block.whole:
        yield Whole(block.scene, block.caption)
        return
    scene = block.scene
    caption = paragraph(block.caption, room.width, size=TABLE, colour=SOFT, before=3.0)
    most = room.height * 0.8 - sum(s.height for s in caption)
    scale = min(room.width / scene.width, most / scene.height, LARGEST)
    wide, high = scene.width * scale, scene.height * scale
    drawn = Drawn(scene, (room.width - wide) / 2, 0.0, wide, high)
    yield Strip(high, (drawn,), AFTER, keep=True)
    yield from caption
