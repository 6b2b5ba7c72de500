"""The blocks of a paper as HTML."""

from __future__ import annotations

from collections import Counter
from html import escape

from harness.paper.anchors import plain_id, row_anchor
from harness.paper.blocks import Block, Chapter, Heading, Paper, Picture, Points, Say, Tick, Ticks
from harness.paper.html.links import links_of, pictures_of, targets_of
from harness.paper.html.pictures import PictureWriter
from harness.paper.html.signs import aloud, sign
from harness.paper.html.tables import TableWriter
from harness.paper.sheet import Cell, Note, Table

BROAD = 6
"""Columns of a table that fit on a sheet of paper stood upright."""


class Writer:
    """Writes the chapters of one paper, links and kept fields included."""

    def __init__(self, paper: Paper) -> None:
        self.paper, self.pictures = paper, PictureWriter()
        self.alone = len(paper.chapters) == 1
        self.pictures.expect(pictures_of(paper))
        self.targets = targets_of(paper)
        self.wanted = {anchor for anchor, _ in links_of(paper)}
        self.named: set[str] = set()
        self.kept: Counter[str] = Counter()
        self.chapter = ""
        self.under = False

    def chapters(self) -> str:
        """Return every chapter."""
        return "\n".join(self._chapter(chapter) for chapter in self.paper.chapters)

    def _chapter(self, chapter: Chapter) -> str:
        self.chapter = chapter.anchor
        self.under = any(isinstance(block, Heading) for block in chapter.blocks)
        ident, title = plain_id(chapter.anchor), escape(chapter.title)
        heading = "" if self.alone else f"<h2>{title}</h2>\n"
        if any(isinstance(block, Ticks) for block in chapter.blocks):
            heading += '<p class="progress script" role="status"></p>\n'
        blocks = "\n".join(self._block(block) for block in chapter.blocks)
        broad = any(isinstance(b, Table) and len(b.columns) > BROAD for b in chapter.blocks)
        classes = "chapter broad" if broad else "chapter"
        return (
            f'<section class="{classes}" id="{ident}" aria-label="{title}">\n'
            f"{heading}{blocks}\n</section>"
        )

    def _block(self, block: Block) -> str:
        if isinstance(block, Say):
            return _say(block)
        if isinstance(block, Points):
            items = "\n".join(f"<li{_class(item.tone)}>{_toned(item)}</li>" for item in block.items)
            return f'<ul class="points">\n{items}\n</ul>'
        if isinstance(block, Table):
            return TableWriter(self._keep, self._row_id, self._row_link).table(block, self._level)
        if isinstance(block, Picture):
            return self.pictures.figure(block)
        return self._list(block)

    def _list(self, block: Heading | Note | Ticks) -> str:
        if isinstance(block, Ticks):
            numbered = enumerate(block.items, block.start)
            items = "\n".join(self._tick(tick, number) for number, tick in numbered)
            return f'<ol class="ticks">\n{items}\n</ol>'
        if isinstance(block, Heading):
            ident = f' id="{plain_id(block.anchor)}"' if block.anchor else ""
            return f"<h{self._level}{ident}>{escape(block.text)}</h{self._level}>"
        items = "\n".join(f"<li{_indent(line)}>{escape(line.strip())}</li>" for line in block.lines)
        level = self._level + self.under
        head = f"<h{level}>{escape(block.title)}</h{level}>"
        return f'<div class="note">{head}\n<ul>\n{items}\n</ul></div>'

    @property
    def _level(self) -> int:
        return 2 if self.alone else 3

    def _tick(self, tick: Tick, number: int) -> str:
        ident = f"_t-{plain_id(self._keep(tick.key))}"
        details = "".join(f"<p>{escape(line)}</p>" for line in tick.details)
        links = "".join(f"<li>{self._link(*link)}</li>" for link in tick.links)
        more = [
            f'<p class="codes">{"".join(self._chip(c) for c in tick.codes)}</p>' * bool(tick.codes),
            f'<div class="details">{details}</div>' * bool(details),
            f'<ul class="links">{links}</ul>' * bool(links),
            self._step_picture(tick, number),
        ]
        return (
            f'<li class="tick"><label for="{ident}"><input type="checkbox" id="{ident}" '
            f'data-tick="{escape(tick.key)}"><span class="number">{number}</span> '
            f'<span class="do">{escape(tick.text)}</span></label>\n{"".join(more)}</li>'
        )

    def _step_picture(self, tick: Tick, number: int) -> str:
        if tick.picture is None:
            return ""
        alt = f"Leads of step {number}: {', '.join(tick.codes)}" if tick.codes else tick.text
        picture = self.pictures.figure(Picture(tick.picture, "", alt))
        return f'<div class="fold" data-name="Picture">{picture}</div>'

    def _chip(self, code: str) -> str:
        place = self.pictures.places.get(code)
        if place is None:
            return f'<span class="chip">{escape(code)}</span> '
        return f'<a class="chip" href="#{place}">{escape(code)}</a> '

    def _link(self, anchor: str, text: str) -> str:
        if anchor not in self.targets:
            return escape(text)
        return f'<a href="#{plain_id(anchor)}">{escape(text)}</a>'

    def _row_id(self, first: str) -> str:
        """Return the id of a row that something links to; the first of several alike has it."""
        anchor = row_anchor(self.chapter, first)
        if anchor not in self.wanted or anchor in self.named:
            return ""
        self.named.add(anchor)
        return plain_id(anchor)

    def _row_link(self, first: str) -> str:
        """Return where the lead a row is about can be traced, or nothing."""
        known = row_anchor(self.chapter, first) in self.wanted
        return self.pictures.places.get(first, "") if known else ""

    def _keep(self, name: str) -> str:
        """Return under what a field is kept: the same for the same field of every revision."""
        name = f"{self.chapter} | {name}"
        self.kept[name] += 1
        return name if self.kept[name] == 1 else f"{name} | {self.kept[name]}"


def _say(say: Say) -> str:
    if say.tone in {"", "faint"}:
        return f"<p{_class(say.tone)}>{escape(say.text)}</p>"
    words = f"{aloud(say.tone, say.text)}{escape(say.text)}"
    return f'<p class="say {say.tone}">{sign(say.tone)}<span>{words}</span></p>'


def _indent(line: str) -> str:
    """A line that begins with spaces belongs under the one before it, two spaces a step."""
    step = min(3, (len(line) - len(line.lstrip(" "))) // 2)
    return f' class="i{step}"' if step else ""


def _toned(cell: Cell) -> str:
    words = f"{aloud(cell.tone, cell.text)}{escape(cell.text)}"
    return f"{sign(cell.tone)}<span>{words}</span>" if cell.tone else words


def _class(tone: str) -> str:
    return f' class="{tone}"' if tone else ""
