"""Where something stands in a plan's text."""

from __future__ import annotations

import re
from functools import lru_cache

from harness.base.data import dataclass, field
from harness.base.refusal import printable

LINE_END = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
"""Where YAML 1.1 ends a line (section 4.2)."""


@dataclass(frozen=True, slots=True)
class Source:
    """One plan text and the name a person knows it by (a path, or `<stdin>`)."""

    name: str
    text: str = field(repr=False)

    @property
    def file(self) -> str:
        """The name without its folder, which no bytes depend on, in signs that can be shown."""
        return printable(self.name.rpartition("/")[2])

    def line(self, number: int) -> str:
        """Return line `number` (from 1) without its line end, or an empty text past the end."""
        lines = _lines(self.text)
        return lines[number - 1] if 0 < number <= len(lines) else ""


@lru_cache(maxsize=4)
def _lines(text: str) -> list[str]:
    """Split a text where YAML 1.1 does (section 4.2), so that its line numbers hold."""
    return LINE_END.split(text)


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of text: lines and columns count from 1, the end is exclusive."""

    line: int
    column: int
    end_line: int
    end_column: int

    @classmethod
    def at(cls, line: int, column: int) -> Span:
        """Return the one-character span at a place."""
        return cls(line, column, line, column + 1)

    def holds(self, other: Span) -> bool:
        """Say whether another stretch begins in this one."""
        at = other.line, other.column
        return (self.line, self.column) <= at < (self.end_line, self.end_column)


START = Span(1, 1, 1, 1)
"""The place to point at when a whole file is meant."""
