"""A text by offset: where the parser saw a node, and patches that leave all else as it is."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable

from harness.base.data import dataclass
from harness.base.span import LINE_END, Span
from harness.reading.nodes import Entry, Items, Mapping, Node

_ANCHOR = re.compile(r"&\S+\s*")
_ALIAS = re.compile(r"\s*\*[^\s,\[\]{}]+")
_COLON = re.compile(r"\s*:")


@dataclass(frozen=True, slots=True, order=True)
class Patch:
    """The text from `start` to `end` becomes `new`; both are offsets, equal for an insertion."""

    start: int
    end: int
    new: str


class PatchedText:
    """A plan's text by offset. Offsets count characters from 0, spans lines and columns from 1."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.end = len(text)
        breaks = list(LINE_END.finditer(text))
        self.line_end = breaks[0][0] if breaks else "\n"
        self._starts = [0, *(found.end() for found in breaks)]

    def offset(self, span: Span) -> int:
        """Return where a span starts."""
        return self._at(span.line, span.column)

    def _at(self, line: int, column: int) -> int:
        there = line <= len(self._starts)
        return min(self._starts[line - 1] + column - 1, self.end) if there else self.end

    def is_alias(self, entry: Entry) -> bool:
        """Say whether an entry's value stands elsewhere, before its key."""
        return entry.node.span < entry.key.span

    def is_flow(self, node: Node) -> bool:
        """Say whether a mapping is written in braces, a list in brackets."""
        return self.text[self.content(node)] in "{["

    def content(self, node: Node) -> int:
        """Return where a node begins behind its anchor."""
        start = self.offset(node.span)
        anchor = _ANCHOR.match(self.text, start)
        return anchor.end() if anchor else start

    def inside(self, node: Mapping) -> int:
        """Return the offset behind the opening brace."""
        return self.content(node) + 1

    def after_colon(self, entry: Entry) -> int:
        """Return the offset behind a key and its colon, if it has one."""
        end = self._at(entry.key.span.end_line, entry.key.span.end_column)
        colon = _COLON.match(self.text, end)
        return colon.end() if colon else end

    def end_of(self, entry: Entry) -> int:
        """Return where an entry ends: behind the last sign of its value."""
        if self.is_alias(entry):
            end = _ALIAS.match(self.text, self.after_colon(entry))
            return end.end() if end else self.after_colon(entry)
        return max(self.node_end(entry.node), self.after_colon(entry))

    def node_end(self, node: Node) -> int:
        """Return where a node ends; the parser's own end of a block lies further down."""
        if isinstance(node, Mapping) and node.entries and not self.is_flow(node):
            return self.end_of(list(node.entries.values())[-1])
        if isinstance(node, Items) and node.items and not self.is_flow(node):
            last = node.items[-1]
            return self.node_end(last) if last.span > node.span else self._end_of_text(node)
        return self._end_of_text(node)

    def _end_of_text(self, node: Node) -> int:
        start = self.content(node)
        end = max(start, self._at(node.span.end_line, node.span.end_column))
        return start + len(self.text[start:end].rstrip())

    def line_start(self, offset: int) -> int:
        """Return where the line begins that holds `offset`."""
        return self._starts[self.line_number(offset)]

    def line_number(self, offset: int) -> int:
        """Return the number of the line that holds `offset`, from 0."""
        return bisect_right(self._starts, offset) - 1

    def next_line(self, offset: int) -> int:
        """Return where the line after the one with `offset` begins, or the end of the text."""
        line = self.line_number(offset) + 1
        return self._starts[line] if line < len(self._starts) else self.end

    def width_at(self, offset: int) -> int:
        """Return how many columns the line with `offset` has."""
        return width(self.text[self.line_start(offset) : self.next_line(offset)])

    def new_lines(self, offset: int, lines: Iterable[str]) -> Patch:
        """Return whole new lines at the beginning of a line, or at the end of the text."""
        new = "".join(f"{line}{self.line_end}" for line in lines)
        open_end = offset == self.end and offset and not LINE_END.match(self.text, offset - 1)
        return Patch(offset, offset, f"{self.line_end}{new}" if open_end else new)

    def patched(self, patches: Iterable[Patch]) -> str:
        """Return the text with all patches; of several at one place the first comes first."""
        text = self.text
        order = sorted(enumerate(patches), key=lambda item: (item[1].start, item[1].end, item[0]))
        for _, patch in reversed(order):
            text = text[: patch.start] + patch.new + text[patch.end :]
        return text


def width(line: str) -> int:
    """Return how many columns a line has, without its end."""
    return len(line.rstrip("\r\n\x85\u2028\u2029"))
