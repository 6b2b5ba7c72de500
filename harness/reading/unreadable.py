"""Why a text cannot be read at all: the one slip of the pen behind it, told where it was made.

The parser stops where it no longer understands, often lines after the slip. Here the text is read
again by eye: quotes and brackets with the places where they open, then the line it stopped at.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from harness.base.data import dataclass, field
from harness.base.near import spoken
from harness.base.span import LINE_END, Source, Span
from harness.reading.problems import Problem

_CLOSES = {"{": "}", "[": "]"}
_CALLED = {"{": "brace", "[": "bracket"}
_A_KEY = re.compile(r"\s*(?:- +)?[^\s#:{}\[\],\"'-][^:{}\[\],\"']*:(?:\s|$)")
"""A line that begins with a key, and a colon behind it."""
_NO_START = "@`%*&!|>"
"""Signs that no text can begin with."""


def explained(fault: Any, source: Source) -> Problem:
    """Return what is wrong with a text that the parser gave up at `fault`, a `yaml.YAMLError`."""
    mark = getattr(fault, "problem_mark", None) or getattr(fault, "context_mark", None)
    if mark is None:
        return Problem("this cannot be read", Span.at(1, 1))
    why, stop = str(fault.problem), (mark.line + 1, mark.column + 1)
    line = source.line(stop[0])
    if line[stop[1] - 1 : stop[1]] == "\t":
        return Problem("a tab stands here", Span.at(*stop), "indent with spaces")
    begins = (
        fault.context_mark
        if "anchor" in str(fault.context) + why or "alias" in str(fault.context)
        else mark
    )
    sign = source.line(begins.line + 1)[begins.column : begins.column + 1]
    if sign and sign in _NO_START and "found undefined" not in why:
        spot = Span.at(begins.line + 1, begins.column + 1)
        return Problem(f"a text cannot begin with {sign}", spot, "put it in quotes")
    return (
        _Eye(source, stop).found()
        or _by_line(source, *stop, why)
        or Problem(f"this cannot be read: {why}", Span.at(*stop), "put a text with signs in quotes")
    )


@dataclass
class _Eye:
    """Reads a text sign by sign, as far as the parser came; notes what was left open.

    `opened`: brackets that are open, with line, column and the indent of their line.
    """

    source: Source
    stop: tuple[int, int]
    opened: list[tuple[str, int, int, int]] = field(default_factory=list)

    def found(self) -> Problem | None:
        """Return the first slip with quotes or brackets."""
        return next(self._slips(), None)

    def _slips(self) -> Iterator[Problem]:
        lines = LINE_END.split(self.source.text)
        number, told = 0, -1
        while number < len(lines):
            text, number = lines[number], number + 1
            indent = len(text) - len(text.lstrip(" "))
            if told >= 0 and (indent > told or not text.strip()):
                continue  # the lines of a text that | or > begins
            told = indent if re.search(r"[:-] +[|>][-+0-9]*\s*$", text) else -1
            if self.opened and indent <= self.opened[0][3] and _A_KEY.match(text):
                yield self._never_closed()
            yield from self._line(lines, number, indent)
        if self.opened:
            yield self._never_closed()

    def _line(self, lines: list[str], number: int, indent: int) -> Iterator[Problem]:
        text, column, fresh = lines[number - 1], 0, True
        while column < len(text):
            sign, before = text[column], text[column - 1 : column]
            if sign == "#" and before in {"", " ", "\t"}:
                return
            if sign in "\"'" and fresh:
                problem, column = self._quoted(lines, number, column)
                if problem:
                    yield problem
                if column < 0:
                    return
                fresh = False
                continue
            if sign in "{[" and (fresh or self.opened):
                self.opened.append((sign, number, column + 1, indent))
            elif sign in "}]" and (self.opened or fresh or before in "}]"):
                yield from self._closed(sign, number, column + 1)
            starts = (
                sign in "{["
                or (sign == "," and self.opened)
                or (sign in ":-?" and text[column + 1 : column + 2] in {"", " "})
            )
            fresh = bool(starts) or (fresh and sign in " \t") or (sign in " \t" and column < indent)
            column += 1

    def _closed(self, sign: str, line: int, column: int) -> Iterator[Problem]:
        if not self.opened:
            opens = next(left for left, right in _CLOSES.items() if right == sign)
            yield Problem(
                f"this {sign} closes nothing",
                Span.at(line, column),
                f"take it out, or write {opens} where it begins",
            )
            return
        left, at, there, _ = self.opened.pop()
        if _CLOSES[left] != sign:
            yield Problem(
                f"the {_CALLED[left]} {left} that opens here is closed by {sign}",
                Span.at(at, there),
                f"write {_CLOSES[left]} where it ends",
            )

    def _never_closed(self) -> Problem:
        left, line, column, _ = self.opened[-1]
        return Problem(
            f"the {_CALLED[left]} {left} that opens here is never closed",
            Span.at(line, column),
            f"write {_CLOSES[left]} where it ends",
        )

    def _quoted(self, lines: list[str], number: int, column: int) -> tuple[Problem | None, int]:
        """Return what is wrong with a text in quotes, and the column after it (-1: end of line)."""
        text, quote = lines[number - 1], lines[number - 1][column]
        inside = r'"(?:[^"\\]|\\.)*"' if quote == '"' else r"'(?:[^']|'')*'"
        if whole := re.compile(inside).match(text, column):
            rest = text[whole.end() :]
            if not rest.strip() or rest[0] in " ,:}]\t":
                return None, whole.end()
            help_ = (
                "write inches as 12 in"
                if quote == '"' and whole[0][1:-1].isdigit()
                else f"put a text that holds a {quote} between {_other(quote)} and {_other(quote)}"
            )
            help_ = help_.replace("12", whole[0][1:-1])
            return Problem(
                f"the quote {quote} ended before this", Span.at(number, whole.end() + 1), help_
            ), -1
        return self._over_lines(lines, number, column)

    def _over_lines(self, lines: list[str], number: int, column: int) -> tuple[Problem | None, int]:
        """A text in quotes that goes on below: it was left open if a key stands in it."""
        quote = lines[number - 1][column]
        for row in range(number, len(lines)):
            if _A_KEY.match(lines[row]):
                break
            if quote in lines[row]:
                blank = " " * (lines[row].index(quote) + 1)
                lines[row] = blank + lines[row][len(blank) :]
                lines[number:row] = [""] * (row - number)
                return None, -1
        message = f"the quote {quote} that opens here is never closed"
        spot = Span.at(number, column + 1)
        return Problem(message, spot, f"write {quote} where the text ends"), -1


def _other(quote: str) -> str:
    return "'" if quote == '"' else '"'


def _by_line(source: Source, line: int, column: int, why: str) -> Problem | None:
    """Explain a stop by its line, the one before, and what the parser missed."""
    text = source.line(line)
    if "did not find expected ','" in why or "did not find expected '}'" in why:
        return _no_comma(text, line, column)
    if "unexpected ':'" in why and (key := re.search(r"[\w-]+$", text[: column - 1])):
        spot = Span(line, key.start() + 1, line, column + 2)
        return no_space(text[key.start() : column + 1], key[0], text[column : column + 1], spot)
    if "mapping values" in why:
        return _two_on_a_line(text, line, column) or _goes_on(source, line)
    if "could not find expected ':'" in why:
        return _no_colon(source, line)
    return _indented(source, line, why)


def _no_comma(text: str, line: int, column: int) -> Problem | None:
    word = re.search(r"([^\s,;{}\[\]:]+)\s*$", text[: column - 1])
    word = word or re.compile(r"([^\s,;{}\[\]:]+)").match(text, column - 1)
    if word is None:
        return None
    return Problem(
        f'a comma is missing before "{word[1]}"',
        Span.at(line, word.start() + 1),
        "separate what stands between braces by commas",
    )


def _two_on_a_line(text: str, line: int, column: int) -> Problem | None:
    first = re.match(r"\s*(?:- +)?([^\s:][^:]*):\s+(?=\S)", text)
    if first is None or first.end() >= column:
        return None
    spot, rest = Span.at(line, first.end() + 1), text[first.end() : column - 1]
    if rest.startswith("("):
        return Problem("round brackets hold nothing together here", spot, "write { and }")
    help_ = (
        f"put what belongs to {first[1]} between {{ and }}, or on the lines below it, "
        "further in; a text that holds a colon stands in quotes"
    )
    return Problem(f'two things on one line: "{first[1]}:" and "{rest}:"', spot, help_)


def _before(source: Source, line: int) -> tuple[int, str]:
    """Return the nearest line above that says something, without its remark."""
    for number in range(line - 1, 0, -1):
        text = re.sub(r"(^|\s)#.*", "", source.line(number)).rstrip()
        if text.strip():
            return number, text
    return 0, ""


def _goes_on(source: Source, line: int) -> Problem | None:
    """A line that the parser took for the rest of the one above, until it met a colon."""
    number, above = _before(source, line)
    if not re.search(r":(\s|$)", above):
        return _no_colon(source, line)
    start = len(source.line(line)) - len(source.line(line).lstrip())
    message = "this line stands further in than the one above, which has its value already"
    spot = Span.at(line, start + 1)
    return Problem(message, spot, "begin it where the line above begins") if number else None


def _no_colon(source: Source, line: int) -> Problem | None:
    """The line above should have been a key and its value."""
    number, above = _before(source, line)
    said = above.strip()
    while number > 1 and not said:
        number, above = _before(source, number)
        said = above.strip()
    spot = Span(number, len(above) - len(above.lstrip()) + 1, number, len(above) + 1)
    if glued := re.fullmatch(r"([\w-]+):(\S.*)", said):
        return no_space(said, glued[1], glued[2], spot)
    if parts := re.fullmatch(r"([\w-]+)\s*[= ]\s*(\S.*)", said):
        return Problem(f'a colon is missing: "{said}"', spot, f'write "{parts[1]}: {parts[2]}"')
    return Problem(f'a colon is missing behind "{said}"', spot, f'write "{said}:"')


def no_space(said: str, key: str, value: str, spot: Span) -> Problem:
    """Say that a key's colon has no space behind it."""
    return Problem(f'no space after the colon: "{said}"', spot, f'write "{key}: {value}"')


def _indented(source: Source, line: int, why: str) -> Problem | None:
    """A line that begins where no line above it does."""
    text = source.line(line)
    here = len(text) - len(text.lstrip(" "))
    steps: list[int] = []
    number, least = line, 10_000
    while least:
        number, above = _before(source, number)
        if not number:
            break
        indent = len(above) - len(above.lstrip(" "))
        if indent < least:
            steps, least = [indent, *steps], indent
    if here in steps or not text.strip() or "did not find expected" not in why:
        return None
    words = spoken([str(step) for step in steps], "or")
    return Problem(
        "this line begins in no column of the lines above",
        Span.at(line, here + 1),
        f"begin it where those it belongs with begin: after {words} spaces",
    )
