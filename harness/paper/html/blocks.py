"""The blocks of a paper as HTML: headings, words, ticks, links, tables.

Wide tables scroll in a frame of their own or, on a narrow screen, are cards.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator
from html import escape

from harness.paper.blocks import (
    Block,
    Chapter,
    Heading,
    Paper,
    Picture,
    Points,
    Say,
    Tick,
    Ticks,
    anchors_of,
    plain_id,
    row_anchor,
    rows_of,
)
from harness.paper.html.look import aloud, sign
from harness.paper.html.pictures import PictureWriter
from harness.paper.sheet import Cell, Column, Note, Row, RowGroup, Table


def pictures_of(paper: Paper) -> Iterator[Picture]:
    """Yield every picture in the order in which they are written, those of steps included."""
    for block in (block for chapter in paper.chapters for block in chapter.blocks):
        if isinstance(block, Picture):
            yield block
        elif isinstance(block, Ticks):
            yield from (Picture(t.picture, "", "") for t in block.items if t.picture is not None)


def links_of(paper: Paper) -> Iterator[tuple[str, str]]:
    """Yield every link of a paper: (anchor, text)."""
    for block in (block for chapter in paper.chapters for block in chapter.blocks):
        if isinstance(block, Ticks):
            yield from (link for tick in block.items for link in tick.links)
        elif isinstance(block, Picture) and block.live:
            yield from (link for trace in block.traces for link in trace.links)


def targets_of(paper: Paper) -> set[str]:
    """Return every anchor of a paper; raises ValueError for one that stands twice."""
    found = Counter(anchors_of(paper))
    if twins := sorted(name for name, count in found.items() if count > 1):
        raise ValueError(f"two places of the paper share an anchor: {', '.join(twins)}")
    return {*found, *rows_of(paper)}


FEW = 3
"""Columns that a narrow screen shows side by side, when they hold words."""
SHORT = 10
"""Letters up to which one word at the head of a row, a label code say, is not broken."""
LONG = 18
"""Letters from which on a cell is not squeezed into a column of single words."""
WORDY = 36
"""Letters from which on a cell of a card has the card's whole breadth."""
TICKED = ("passed", "done")
"""Columns whose blank cells are ticked, not written in."""

Anchors = Callable[[str], str]


class TableWriter:
    """Writes the tables of one chapter; `anchor_of` gives a row's id or "", by its first cell."""

    def __init__(self, keep: Callable[[str], str], anchor_of: Anchors, link_of: Anchors) -> None:
        self.keep, self.anchor_of, self.link_of = keep, anchor_of, link_of

    def table(self, table: Table, level: int) -> str:
        """Return a table with its heading, none at level 0, and what is said about it."""
        title = escape(table.title)
        head = "".join(
            f'<th scope="col" role="columnheader"{_classes(["figure" * column.figures])}>'
            f"{escape(column.title)}</th>"
            for column in table.columns
        )
        bodies = "\n".join(self._group(group, table) for group in table.groups)
        heading = f"<h{level}>{title}</h{level}>\n" if title and level else ""
        about = f'\n<p class="about">{escape(table.about)}</p>' if table.about else ""
        return (
            f'{heading}<div class="wide {form_of(table)}" role="region" '
            f'aria-label="{title or "table"}" tabindex="0">\n<table role="table">\n'
            f'<thead role="rowgroup">\n<tr role="row">{head}</tr>\n</thead>\n{bodies}\n</table>\n'
            f"</div>{about}"
        )

    def _group(self, group: RowGroup, table: Table) -> str:
        rows = []
        if group.title:
            rows.append(
                f'<tr role="row"><th scope="rowgroup" role="rowheader" class="group" '
                f'colspan="{len(table.columns)}"><span>{escape(group.title)}</span></th></tr>'
            )
        rows += [self._row(row, table) for row in group.rows]
        return '<tbody role="rowgroup">\n' + "\n".join(rows) + "\n</tbody>"

    def _row(self, row: Row, table: Table) -> str:
        first, *rest = row
        code = ["code"] * (len(first.text) <= SHORT and " " not in first.text)
        classes = _classes([first.tone, first.side, *code])
        anchor = self.anchor_of(first.text)
        ident = f' id="{anchor}"' if anchor else ""
        link = self.link_of(first.text)
        words = self._cell(first, row, table.columns[0], table)
        words = f'<a class="chip" href="#{link}">{words}</a>' if link else words
        cells = "".join(
            self._data(cell, row, column, table)
            for cell, column in zip(rest, table.columns[1:], strict=True)
        )
        return (
            f'<tr role="row"{ident}><th scope="row" role="rowheader"{classes}>{words}</th>'
            f"{cells}</tr>"
        )

    def _data(self, cell: Cell, row: Row, column: Column, table: Table) -> str:
        empty = ["none"] if not cell.text and cell.tone != "blank" else []
        words = 0 if column.figures else len(cell.text)
        long = ["long"] * (words > LONG) + ["wordy"] * (words > WORDY)
        classes = _classes(["figure" * column.figures, cell.tone, cell.side, *empty, *long])
        label = f'<span class="k" aria-hidden="true">{escape(column.title)}</span>'
        return f'<td role="cell"{classes}>{label}{self._cell(cell, row, column, table)}</td>'

    def _cell(self, cell: Cell, row: Row, column: Column, table: Table) -> str:
        if cell.tone == "blank":
            return f'<span class="v">{self._field(cell, row, column, table)}</span>'
        words = f"{sign(cell.tone)}{aloud(cell.tone, cell.text)}{escape(cell.text)}"
        return f'<span class="v">{words}</span>'

    def _field(self, cell: Cell, row: Row, column: Column, table: Table) -> str:
        """Return room to write in, or a box where a column is ticked; kept on the device."""
        name, unit = _name(row), escape(cell.text)
        key = escape(self.keep(f"{table.title} | {name} | {column.title}"))
        about = escape(", ".join(filter(None, (name, column.title, cell.text))))
        kept = f'data-word="{key}" aria-label="{about}"'
        if column.title in TICKED and not unit:
            return f'<input class="box" type="checkbox" {kept}>'
        mode = ' inputmode="decimal"' if unit else ""  # a unit stands behind a number
        behind = f' <span class="unit">{unit}</span>' if unit else ""
        return f'<input class="blank" type="text" autocomplete="off"{mode} {kept}>{behind}'


def _name(row: Row) -> str:
    """Return what a row is about, the same when rows before it come and go: no mere number."""
    texts = [cell.text for cell in row if cell.text and cell.tone != "blank"]
    return next((text for text in texts if not text.isdecimal()), row[0].text)


def form_of(table: Table) -> str:
    """Say how a table is shown on a narrow screen: plain, cards, or rows that scroll."""
    columns = table.columns
    figures = sum(column.figures for column in columns)
    cells = [cell for group in table.groups for row in group.rows for cell in row]
    if any(cell.tone == "blank" for cell in cells):
        return "cards"
    if len(columns) <= FEW and figures < len(columns):
        return "plain"
    return "rows" if 2 * figures > len(columns) else "cards"


def _classes(names: Iterable[str]) -> str:
    words = " ".join(filter(None, names))
    return f' class="{words}"' if words else ""


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
        ticked = any(isinstance(block, Ticks) for block in chapter.blocks)
        done = '<span class="progress script" role="status"></span>' * ticked
        if self.alone or not chapter.folds:
            heading = "" if self.alone else f"<h2>{title}</h2>\n"
            inner = f"{heading}{done}{self._blocks(chapter.blocks)}"
        else:
            inner = self._fold("", f"<h2>{title}</h2>{done}", self._folded(chapter.blocks))
        broad = any(isinstance(b, Table) and len(b.columns) > BROAD for b in chapter.blocks)
        classes = "chapter broad" if broad else "chapter"
        return f'<section class="{classes}" id="{ident}" aria-label="{title}">\n{inner}\n</section>'

    def _blocks(self, blocks: Iterable[Block]) -> str:
        return "\n".join(map(self._block, blocks))

    def _folded(self, blocks: tuple[Block, ...]) -> str:
        """Return the blocks; what has a heading of its own, also a table, is folded under it."""
        made, left = [], deque(blocks)
        while left:
            head = left.popleft()
            if isinstance(head, Table) and _titled(head):
                title = self._block(Heading(head.title))
                made.append(self._fold(head.title, title, self._table(head, 0)))
            elif isinstance(head, Heading):
                under = []
                while left and not (isinstance(left[0], Heading) or _titled(left[0])):
                    under.append(left.popleft())
                made.append(self._fold(head.text, self._block(head), self._blocks(under)))
            else:
                made.append(self._block(head))
        return "\n".join(made)

    def _fold(self, name: str, head: str, inner: str) -> str:
        """Return what folds under its heading: open, so that without script all is there."""
        key = escape(self._keep(f"fold | {name}"))
        return (
            f'<details class="part" data-fold="{key}" open><summary>{head}</summary>\n'
            f"{inner}\n</details>"
        )

    def _block(self, block: Block) -> str:
        if isinstance(block, Say):
            return _say(block)
        if isinstance(block, Points):
            items = "\n".join(f"<li{_classes([i.tone])}>{_toned(i)}</li>" for i in block.items)
            return f'<ul class="points">\n{items}\n</ul>'
        if isinstance(block, Table):
            return self._table(block, self._level)
        if isinstance(block, Picture):
            return self.pictures.figure(block)
        return self._list(block)

    def _table(self, table: Table, level: int) -> str:
        return TableWriter(self._keep, self._row_id, self._row_link).table(table, level)

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


def _titled(block: Block) -> bool:
    return isinstance(block, Table) and bool(block.title)


def _say(say: Say) -> str:
    if say.tone in {"", "faint"}:
        return f"<p{_classes([say.tone])}>{escape(say.text)}</p>"
    words = f"{aloud(say.tone, say.text)}{escape(say.text)}"
    return f'<p class="say {say.tone}">{sign(say.tone)}<span>{words}</span></p>'


def _indent(line: str) -> str:
    """A line that begins with spaces belongs under the one before it, two spaces a step."""
    step = min(3, (len(line) - len(line.lstrip(" "))) // 2)
    return f' class="i{step}"' if step else ""


def _toned(cell: Cell) -> str:
    words = f"{aloud(cell.tone, cell.text)}{escape(cell.text)}"
    return f"{sign(cell.tone)}<span>{words}</span>" if cell.tone else words
