"""A paper or a page of figures as text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from harness.paper.blocks import Block, Chapter, Heading, Paper, Picture, Points, Say, Ticks
from harness.paper.lines import TYPED, WIDTH, wrapped
from harness.paper.sheet import FigureSheet, Note, Table
from harness.paper.table_text import table_lines


def as_text(paper: Paper, width: int = WIDTH) -> str:
    """Return text of at most `width` columns where its longest words allow."""
    lines = [paper.title, *wrapped(paper.subtitle, width), f"plan revision {paper.revision}"]
    for chapter in paper.chapters:
        lines += ["", *_chapter(chapter, width, alone=len(paper.chapters) == 1)]
    for text in paper.foot:
        lines += ["", *wrapped(text, width)]
    return "\n".join(lines).translate(TYPED) + "\n"


def sheet_text(sheet: FigureSheet, width: int = WIDTH) -> str:
    """Return a page of figures in the same way."""
    lines = [f"{sheet.title}, plan revision {sheet.revision}"]
    lines += _block(Points(sheet.points), width)
    blocks: tuple[Block, ...] = (*sheet.tables, *sheet.notes)
    for block in blocks:
        lines += ["", *_block(block, width)]
    lines += ["", *(line for text in sheet.foot for line in wrapped(text, width))]
    return "\n".join(lines).translate(TYPED) + "\n"


def _chapter(chapter: Chapter, width: int, *, alone: bool) -> Iterator[str]:
    if not alone:
        yield chapter.title.upper()
    for number, block in enumerate(chapter.blocks):
        if number or not alone:
            yield ""
        yield from _block(block, width)


def _block(block: Block, width: int) -> Iterator[str]:
    if isinstance(block, Heading):
        yield from (block.text, "-" * min(len(block.text), width))
    elif isinstance(block, Say):
        yield from wrapped(block.text, width)
    elif isinstance(block, Points):
        for item in block.items:
            yield from wrapped(f"- {item.text}", width, "  ")
    elif isinstance(block, Table):
        yield from table_lines(block, width)
    elif isinstance(block, Note):
        yield f"{block.title}:"
        for line in block.lines:
            yield from wrapped(f"  {line}", width, "    ")
    elif isinstance(block, Ticks):
        yield from _ticks(block, width)
    elif isinstance(block, Picture):
        yield from wrapped(f"[picture: {block.caption}]", width)


def _ticks(block: Ticks, width: int) -> Iterator[str]:
    for number, tick in enumerate(block.items, block.start):
        codes = f"  [{', '.join(tick.codes)}]" if tick.codes else ""
        yield from wrapped(f"[ ] {number:>3}  {tick.text}{codes}", width, " " * 9)
        for detail in tick.details:
            yield from wrapped(f"{'':9}{detail}", width, " " * 11)
