"""A paper as a PDF to print: cover, cautions, contents, chapters, running foot.

A first chapter with the anchor "cautions" stands on the cover, before the contents.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from harness.paper.anchors import row_anchor
from harness.paper.blocks import Chapter, Heading, Paper, Say, Ticks
from harness.paper.pdf.blocks import Room, heading, items_of, paragraph, said
from harness.paper.pdf.flow import Flow, text_size
from harness.paper.pdf.marks import (
    BLACK,
    BODY,
    EDGE,
    SOFT,
    Item,
    Landing,
    Link,
    Mark,
    PageOf,
    Shape,
    Strip,
    Words,
    breadth,
    lines_of,
    rule,
)
from harness.paper.sheet import Table

CAUTIONS = "cautions"
CONTENTS = "contents"


def as_pdf(paper: Paper, page: str = "A4") -> bytes:
    """Return the PDF, on `page` (A4 or Letter); the same paper gives the same bytes.

    Raises Refusal for a letter that the font does not have.
    """
    from harness.paper.pdf.draw import drawn

    room = Room(*text_size(page), _anchors(paper))
    flow = Flow(page)
    flow.add(_cover(paper, room))
    chapters = list(paper.chapters)
    if len(chapters) > 1:
        while chapters and chapters[0].anchor == CAUTIONS:
            flow.add(_chapter(chapters.pop(0), room))
        flow.chapter(_contents(paper, room.width))
    for number, chapter in enumerate(chapters):
        put = flow.add if number == 0 and len(paper.chapters) == 1 else flow.chapter
        put(_chapter(chapter, room))
    for text in paper.foot:
        flow.add(said(Say(text, "faint"), room.width))
    return drawn(flow.pages, paper)


def _anchors(paper: Paper) -> frozenset[str]:
    """Return what links of steps lead to, as far as the paper has it."""
    found: set[str] = set()
    wanted: set[str] = set()
    for chapter in paper.chapters:
        found.add(chapter.anchor)
        for block in chapter.blocks:
            if isinstance(block, Heading):
                found.add(block.anchor)
            elif isinstance(block, Table):
                rows = (row for group in block.groups for row in group.rows)
                found |= {row_anchor(chapter.anchor, row[0].text) for row in rows}
            elif isinstance(block, Ticks):
                wanted |= {anchor for tick in block.items for anchor, _ in tick.links}
    return frozenset(found & wanted) - {""}


def _cover(paper: Paper, room: Room) -> Iterator[Item]:
    yield from heading(paper.title, 22.0, room.width, Landing(""), before=0.0)
    if paper.subtitle:
        yield from paragraph(paper.subtitle, room.width, size=11.0, colour=SOFT)
    revision = f"plan revision {paper.revision}"
    marks: list[Mark] = [Words(0.0, BODY + 2.0, revision, colour=SOFT)]
    yield Strip(20.0, (*marks, rule(0.0, 19.0, room.width, BLACK, 1.2)), 2.0)


def _contents(paper: Paper, width: float) -> list[Item]:
    found: list[Item] = [*heading("Contents", 15.0, width, Landing(CONTENTS, "Contents"), 18.0)]
    for number, chapter in enumerate(paper.chapters):
        strips = _entry(chapter, width)
        last = number == len(paper.chapters) - 1
        found += [*strips[:-1], strips[-1] if not last else Strip(strips[-1].height,
                                                                  strips[-1].marks)]  # fmt: skip
    return found


def _entry(chapter: Chapter, width: float) -> list[Strip]:
    """Return the lines of one entry, the page's number behind the last."""
    lines, high, right = lines_of(chapter.title, BODY + 1, width - 50.0), 17.0, width - 30.0
    found = []
    for n, line in enumerate(lines):
        marks: list[Mark] = [
            Words(0.0, 12.0, line, BODY + 1),
            Link(0.0, 0.0, width, high, chapter.anchor),
        ]
        if n == len(lines) - 1:
            left = breadth(line, BODY + 1) + 6.0
            marks.append(Shape(((left, 11.0), (right, 11.0)), "", EDGE, 0.8, (1.0, 3.0)))
            marks.append(PageOf(width, 12.0, chapter.anchor, right=True, size=BODY + 1))
        found.append(Strip(high, tuple(marks), keep=True))
    return found


def _chapter(chapter: Chapter, room: Room) -> list[Item]:
    landing = Landing(chapter.anchor, chapter.title)
    head = heading(chapter.title, 15.0, room.width, landing, before=18.0)
    return [*head, *items_of(chapter.blocks, replace(room, chapter=chapter.anchor))]
