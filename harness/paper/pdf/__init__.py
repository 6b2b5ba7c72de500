"""A paper as a PDF to print: cover, cautions, contents, chapters, running foot.

A first chapter with the anchor "cautions" stands on the cover, before the contents.
Imports reportlab, so import this package late.
"""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import takewhile, zip_longest
from typing import Any

from reportlab.lib.colors import HexColor
from reportlab.platypus import HRFlowable, KeepTogether, NextPageTemplate
from reportlab.platypus import Table as Grid

from harness.drawing.pdf import Sheets, register_fonts
from harness.paper.blocks import Chapter, Paper, Say, Ticks, anchors_of, rows_of
from harness.paper.pdf.blocks import PrintedRoom, flowables, heading, said
from harness.paper.pdf.pages import Pages, entry, landing, text_size
from harness.paper.pdf.tables import looks
from harness.paper.pdf.words import BLACK, BODY, SOFT, PrintedText, style

CAUTIONS = "cautions"
CONTENTS = "contents"
BETWEEN = 16.0  # the columns of the contents, points


def as_pdf(paper: Paper, page: str = "A4") -> bytes:
    """Return the PDF on A4 or Letter, the same bytes always. Raises Refusal for odd letters."""
    register_fonts()
    buffer = io.BytesIO()
    room = PrintedRoom(*text_size(page), _anchors(paper))
    Pages(buffer, paper, page).multiBuild(_story(paper, room), canvasmaker=Sheets)
    return buffer.getvalue()


def _story(paper: Paper, room: PrintedRoom) -> list[Any]:
    found = _cover(paper)
    chapters = list(paper.chapters)
    if len(chapters) == 1:
        found += _chapter(chapters.pop(), room)
    elif chapters:
        while chapters and chapters[0].anchor == CAUTIONS:
            found += _chapter(chapters.pop(0), room)
        found += _begun(_contents(paper, room.width))
    for chapter in chapters:
        found += (list if paper.flows else _begun)(_chapter(chapter, room))
    return found + [said(Say(text, "faint")) for text in paper.foot]


def _begun(chapter: list[Any]) -> list[Any]:
    """Begin a chapter on a new page, unless it fits on what is left.

    Of a chapter with drawings on pages of their own, what stands before the first counts.
    """
    lead = list(takewhile(lambda f: not isinstance(f, NextPageTemplate), chapter))
    return ([KeepTogether(lead)] if lead else []) + chapter[len(lead) :]


def _anchors(paper: Paper) -> frozenset[str]:
    """Return what links of steps lead to, as far as the paper has it."""
    blocks = (block for chapter in paper.chapters for block in chapter.blocks)
    ticks = (tick for block in blocks if isinstance(block, Ticks) for tick in block.items)
    wanted = {anchor for tick in ticks for anchor, _ in tick.links}
    return frozenset(wanted & {*anchors_of(paper), *rows_of(paper)})


def _cover(paper: Paper) -> list[Any]:
    subtitle = [PrintedText(paper.subtitle, style(11.0, colour=SOFT))] if paper.subtitle else []
    revision = PrintedText(f"plan revision {paper.revision}", style(colour=SOFT, before=2.0))
    line = HRFlowable("100%", 1.2, "butt", HexColor(BLACK), spaceBefore=6.0, spaceAfter=0.0)
    return [heading(paper.title, 22.0, 0.0), *subtitle, revision, line]


def _contents(paper: Paper, width: float) -> list[Any]:
    words = style(BODY + 1.0, room=50.0, leading=13.0)
    entries = [PrintedText(c.title, words, marks=(entry(c.anchor),)) for c in paper.chapters]
    half = (len(entries) + 1) // 2
    rows = [list(pair) for pair in zip_longest(entries[:half], entries[half:], fillvalue="")]
    table = Grid(
        rows,
        [width / 2 - 8.0, width / 2 + 8.0],
        style=[*looks(0.0, 1.0), ("RIGHTPADDING", (0, 0), (0, -1), 16.0)],
    )
    return [heading("Contents", 15.0, 18.0, landing(CONTENTS, "Contents")), table]


def _chapter(chapter: Chapter, room: PrintedRoom) -> list[Any]:
    head = heading(chapter.title, 15.0, 18.0, landing(chapter.anchor, chapter.title))
    return flowables(chapter.blocks, replace(room, chapter=chapter.anchor), [head])
