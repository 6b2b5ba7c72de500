"""What a document to read, print or tick is made of, before it is text, HTML or PDF.

A `Paper` holds chapters, a chapter blocks. Tables, notes and cells are those of the figures
(`paper.sheet`), so that a page of figures is a chapter too. A cell whose tone is
"blank" is room to write in; its text, if any, is the unit that stands behind the line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from harness.base.data import dataclass, replace
from harness.drawing.scene import Scene
from harness.paper.sheet import Cell, FigureSheet, Note, Table

BLANK = Cell("", "blank")
"""A cell to write in."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a chapter; with an `anchor`, a link can lead to it."""

    text: str
    anchor: str = ""


@dataclass(frozen=True, slots=True)
class Say:
    """A paragraph. `tone`: "", "caution", "danger", "warning", "ok" or "faint"."""

    text: str
    tone: str = ""


@dataclass(frozen=True, slots=True)
class Points:
    """A list of short texts."""

    items: tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class Tick:
    """One thing to do, with a box to tick.

    `key` is the same for the same step of the same plan, so that a phone remembers it; `details`
    are further lines, `codes` the label codes of the leads it is about, `links` (anchor, text).
    """

    key: str
    text: str
    details: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    picture: Scene | None = None
    links: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Ticks:
    """Steps in their order; `start` is the number of the first."""

    items: tuple[Tick, ...]
    start: int = 1


@dataclass(frozen=True, slots=True)
class Trace:
    """What a tap on a lead or part of a drawing shows.

    `taps` are the groups of the drawing that answer (ids as in its scene), `lit` the groups of
    the run itself, `further` those of what supplies it; a group that a drawing lacks is passed
    over. `sections` say it in words: (heading, lines), a line's indent being two spaces a step.
    `code` is the label code of a tapped lead, `links` are (anchor, text).
    """

    title: str
    taps: tuple[str, ...]
    lit: tuple[str, ...]
    further: tuple[str, ...] = ()
    sections: tuple[tuple[str, tuple[str, ...]], ...] = ()
    code: str = ""
    links: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing with its caption; `alt` says in words what it shows.

    `live`: on a screen its leads can be tapped, and `traces` say what each tap shows. In print a
    drawing that is `whole` has a page of its own, turned to landscape where it is wider than high.
    `words`: of a drawing that is nothing but text, which a screen shows as text.
    """

    scene: Scene
    caption: str
    alt: str
    live: bool = False
    whole: bool = False
    traces: tuple[Trace, ...] = ()
    words: tuple[str, ...] = ()


Block = Heading | Say | Points | Table | Note | Ticks | Picture


@dataclass(frozen=True, slots=True)
class Chapter:
    """A part of a document: `anchor` is its place in links, unique in a paper.

    Where `folds` is False, no screen is too small to show all of it at once.
    """

    anchor: str
    title: str
    blocks: tuple[Block, ...]
    folds: bool = True


@dataclass(frozen=True, slots=True)
class Paper:
    """A document. `subtitle` and `revision` stand under its title, `foot` at its end.

    `flows`: printed chapters follow one another on a page.
    """

    title: str
    subtitle: str
    revision: str
    chapters: tuple[Chapter, ...]
    foot: tuple[str, ...] = ()
    flows: bool = False


def paper_of(sheet: FigureSheet) -> Paper:
    """Return a page of figures as a document of its own."""
    chapter = chapter_of(replace(sheet, foot=()), "figures")
    return Paper(sheet.title, "", sheet.revision, (chapter,), sheet.foot)


def chapter_of(sheet: FigureSheet, anchor: str, title: str = "") -> Chapter:
    """Return a page of figures as a chapter."""
    blocks: list[Block] = [Points(sheet.points)] if sheet.points else []
    blocks += [*sheet.tables, *sheet.notes, *(Say(text, "faint") for text in sheet.foot)]
    return Chapter(anchor, title or sheet.title, tuple(blocks))


def row_anchor(chapter: str, first: str) -> str:
    """Return the anchor of a table's row: its chapter's anchor and the text of its first cell."""
    return f"{chapter}--{plain_id(first)}"


def anchors_of(paper: Paper) -> Iterator[str]:
    """Yield the anchors of chapters and headings."""
    for chapter in paper.chapters:
        yield chapter.anchor
        yield from (b.anchor for b in chapter.blocks if isinstance(b, Heading) and b.anchor)


def rows_of(paper: Paper) -> Iterator[str]:
    """Yield the anchors of all rows of tables."""
    for chapter in paper.chapters:
        for table in (block for block in chapter.blocks if isinstance(block, Table)):
            rows = (row for group in table.groups for row in group.rows)
            yield from (row_anchor(chapter.anchor, row[0].text) for row in rows)


def plain_id(text: str) -> str:
    """Return letters, digits, `.` and `-` only; different texts give different ids."""
    return re.sub(r"[^A-Za-z0-9.-]", lambda found: f"_{ord(found[0]):x}_", text)
