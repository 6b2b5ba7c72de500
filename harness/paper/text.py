"""A paper or a page of figures as lines of text for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import zip_longest

from harness.paper.blocks import Block, Chapter, Heading, Paper, Picture, Points, Say, Ticks
from harness.paper.sheet import Cell, Column, FigureSheet, Note, Table

WIDTH = 110
HARD = "\N{NO-BREAK SPACE}"
"""A space at which no line is broken."""
TYPED = str.maketrans({"→": "->", "°": "", HARD: " ", "–": "-"})
"""For a terminal, which may not know these signs."""


def wrapped(text: str, width: int, indent: str = "") -> list[str]:
    """Break a text into lines, never inside a word; further lines begin with `indent`."""
    return textwrap.wrap(
        text, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )


GAP = 2
LEAST = 12
"""Columns that a column of words gets at least where it needs as many."""


def table_lines(table: Table, width: int) -> Iterator[str]:
    """Yield the lines of one table."""
    widths = _widths(table, width)
    rule = "  ".join("-" * w for w in widths)
    if table.title:
        yield table.title
    yield from _line([Cell(column.title) for column in table.columns], table.columns, widths)
    yield rule
    for group in table.groups:
        if group.title:
            yield f"{group.title}:"
        for row in group.rows:
            yield from _line(list(row), table.columns, widths)
    yield rule
    if table.about:
        yield from wrapped(table.about, width)


def _widths(table: Table, width: int) -> list[int]:
    """Give figures what they need; columns of words share what is left, as they need it."""
    texts = [[column.title] for column in table.columns]
    for group in table.groups:
        for row in group.rows:
            for place, cell in enumerate(row):
                texts[place] += cell.text.split("\n")
    need = [max(map(len, column)) for column in texts]
    words = [n for n, column in enumerate(table.columns) if not column.figures]
    room = width - GAP * (len(need) - 1) - sum(n for i, n in enumerate(need) if i not in words)
    least = {n: _longest_word(texts[n]) for n in words}
    return _shared(need, least, room)


def _longest_word(texts: list[str]) -> int:
    return max(len(word) for text in texts for word in (text.split(" ") or [""]))


def _shared(need: list[int], least: dict[int, int], room: int) -> list[int]:
    """Cut the widest columns of words until all fit."""
    found = list(need)
    floor = {n: max(word, min(need[n], LEAST)) for n, word in least.items()}
    while sum(found[n] for n in floor) > room:
        wide = [n for n in floor if found[n] > floor[n]]
        if not wide:
            break
        found[max(wide, key=lambda n: (found[n], -n))] -= 1
    return found


def _line(row: list[Cell], columns: tuple[Column, ...], widths: list[int]) -> Iterator[str]:
    pieces = [_piece(cell, size) for cell, size in zip(row, widths, strict=True)]
    for line in zip_longest(*pieces, fillvalue=""):
        filled = [
            text.rjust(size) if column.figures else text.ljust(size)
            for text, column, size in zip(line, columns, widths, strict=True)
        ]
        yield "  ".join(filled).rstrip()


def _piece(cell: Cell, size: int) -> list[str]:
    """A cell to write in is a line, with the unit behind it."""
    if cell.tone != "blank":
        return [line for text in cell.text.split("\n") for line in wrapped(text, size)]
    return [f"{'_' * max(size - len(cell.text) - 1, 3)} {cell.text}".rstrip()]


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
