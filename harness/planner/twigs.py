"""A plan's text as a tree of lines: keys that can be moved, changed or left exactly as they stand.

A twig is a key with its value, and the lines above it. What nobody touches comes out sign by sign;
what changes is set anew in its braces; what moves is indented anew. A line that did not go beyond
the usual width before does not do so afterwards, where it can be broken at a comma.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from itertools import pairwise

from harness.base.data import dataclass, field
from harness.base.span import LINE_END, Source
from harness.plan.rewrite import WIDE
from harness.reading.nodes import Entry, Items, Mapping, Node, Scalar, compose, entries_of, is_empty
from harness.reading.patches import PatchedText, width

STEP = 2
"""How much further in than its key a line stands that is written anew."""
Pieces = list[str]
"""What stands in braces between two commas, cut at the commas inside it."""

_COMMENT = re.compile(r"(?<!\S)#[^\r\n\x85\u2028\u2029]*")
_IN_LINE = re.compile(r"[^\r\n\x85\u2028\u2029]")
_MARK = re.compile(r"(?<![^\s,\[{:])[&*]\S")
_NOT_BARE = re.compile(r"[,\[\]{}\r\n]|: |:\Z| #|\A[-?:](?=\s|\Z)|\A[!&*|>'\"%@`#]|\A\Z|\A\s|\s\Z")


@dataclass(eq=False)
class Twig:
    """A key and its value. `over`: the lines above it, `lines`: its own, both with their ends.

    `twigs`: the keys below it that stand on lines of their own, `below`: what comes after them.
    `items`: what stands in its braces, once that has changed. `tail`: the comment behind it.
    `fixed`: it can be neither changed nor moved.
    """

    name: str
    key: str
    node: Node | None = None
    lines: list[str] = field(default_factory=list)
    over: list[str] = field(default_factory=list)
    indent: int = 0
    tail: str = ""
    fixed: bool = False
    twigs: list[Twig] | None = None
    step: int = STEP
    below: list[str] = field(default_factory=list)
    items: dict[str, Pieces] | None = None
    said: list[str] = field(default_factory=list)

    def named(self, name: str) -> Twig | None:
        """Return the twig below it of that name."""
        return next((twig for twig in self.twigs or () if twig.name == name), None)

    def loose(self) -> bool:
        """Say whether it can be moved, with all that is below it."""
        return not self.fixed and all(twig.loose() for twig in self.twigs or ())


class TextTree:
    """The text of a plan, taken apart. `root.twigs` are the keys of the plan itself."""

    def __init__(self, source: Source) -> None:
        top = compose(source)
        assert isinstance(top, Mapping)
        self.top, self.text = top, PatchedText(source.text)
        cuts = [0, *(found.end() for found in LINE_END.finditer(source.text)), self.text.end]
        self._lines = [source.text[a:b] for a, b in pairwise(cuts)]
        self._bare = self._without_values()
        self.comments = [found[0].rstrip() for found in _COMMENT.finditer(self._bare)]
        self.root = Twig("", "", top, self._lines)
        if self._on_lines(top):
            self.root.twigs, after = self._below(top, 0)
            self.root.below = self._lines[after:]
        else:
            start = self.text.offset(top.span)
            inside = self._bare[start : self.text.node_end(top)]
            self.root.fixed = inside != self._bare.strip() or self._stuck(top, inside, start)

    def _without_values(self) -> str:
        """Return the text with x for every sign of a key or a value; comments are left."""
        bare, todo, seen = list(self.text.text), list[Node]([self.top]), set[int]()
        while todo:
            node = todo.pop()
            if isinstance(node, Scalar):
                start, end = self.text.content(node), self.text.node_end(node)
                bare[start:end] = _IN_LINE.sub("x", self.text.text[start:end])
            elif id(node) not in seen:
                seen.add(id(node))
                todo += [*(e.key for e in entries_of(node)), *(p[2] for p in self._parts(node))]
        return "".join(bare)

    def _on_lines(self, node: Node) -> bool:
        """Say whether a value is a mapping with each of its keys on a line of its own."""
        if not isinstance(node, Mapping) or not node.entries or self.text.is_flow(node):
            return False
        starts = [self.text.offset(entry.key.span) for entry in node.entries.values()]
        blank = all(not self.text.text[self.text.line_start(s) : s].strip(" ") for s in starts)
        return blank and self.text.content(node) == starts[0] == self.text.offset(node.span)

    def _below(self, node: Mapping, line: int) -> tuple[list[Twig], int]:
        """Return the twigs of a mapping from a line on, and the line behind the last of them."""
        found = []
        for entry in node.entries.values():
            start = entry.key.span.line - 1
            twig = self._twig(entry, start)
            twig.over = self._lines[line:start]
            line = max(self.text.line_number(self.text.end_of(entry)), start) + 1
            found.append(twig)
        return found, line

    def _twig(self, entry: Entry, start: int) -> Twig:
        first, last = self.text.offset(entry.key.span), self.text.end_of(entry)
        end = max(self.text.line_number(last), start) + 1
        twig = Twig(entry.key.text, self._key(entry), entry.node, self._lines[start:end])
        twig.indent = entry.key.span.column - 1
        own = self._bare[first : self.text.next_line(last)]
        twig.said = [found[0].rstrip() for found in _COMMENT.finditer(own)]
        deeper = entry.node.span.line > entry.key.span.line
        if deeper and not self.text.is_alias(entry) and self._on_lines(entry.node):
            assert isinstance(entry.node, Mapping)
            colon = self.text.after_colon(entry)
            twig.tail = self._bare[colon : self.text.next_line(colon)].strip()
            twig.twigs, _ = self._below(entry.node, start + 1)
            twig.lines, twig.step = twig.lines[:1], twig.twigs[0].indent - twig.indent
        else:
            twig.tail = self._bare[last : self.text.next_line(last)].strip()
            twig.fixed = self._stuck(entry.node, self._bare[first:last], first)
        twig.fixed |= bool(twig.tail) and not twig.tail.startswith("#")
        return twig

    def _stuck(self, node: Node, inside: str, start: int) -> bool:
        """Say whether a value holds an alias, an anchor, a comment or a text over two lines."""
        if _MARK.search(inside):
            return True
        if isinstance(node, Items) and not self.text.text.startswith("[", self.text.content(node)):
            return False
        if _COMMENT.search(inside):
            return True
        quotes = re.search("[\"']", self.text.text[start : start + len(inside)])
        folded = LINE_END.search(inside) and quotes
        return isinstance(node, Mapping) and bool(folded or not self.text.is_flow(node))

    def _key(self, entry: Entry) -> str:
        start = self.text.offset(entry.key.span)
        return self.text.text[start : self.text.after_colon(entry)].removesuffix(":").rstrip()

    def open(self, twig: Twig) -> bool:
        """Give what stands in braces lines of its own; say whether a twig has such lines now."""
        if twig.twigs is None and not twig.fixed and _can_hold(twig.node):
            entries = twig.node.entries.values() if isinstance(twig.node, Mapping) else ()
            twig.twigs, twig.lines = [self._opened(entry) for entry in entries], []
        return twig.twigs is not None and not twig.fixed

    @property
    def step(self) -> int:
        """How much further in the places of the plan stand than its keys."""
        places = self.root.named("places")
        return places.step if places else STEP

    def source(self, entry: Entry) -> str:
        """Return the text of an entry, its key first."""
        return self.text.text[self.text.offset(entry.key.span) : self.text.end_of(entry)]

    def _opened(self, entry: Entry) -> Twig:
        twig = Twig(entry.key.text, self._key(entry), entry.node)
        twig.lines = [_joined(self.source(entry)) + self.text.line_end]
        twig.items = self.items(twig) if isinstance(entry.node, Mapping) else None
        return twig

    def items(self, twig: Twig) -> dict[str, Pieces]:
        """Return what stands in the braces of a twig, by key."""
        if twig.items is not None or not isinstance(twig.node, Mapping):
            return twig.items or {}
        parts = (self._pieces(*part) for part in self._parts(twig.node))
        return dict(zip(twig.node.entries, parts, strict=True))

    def _parts(self, node: Node) -> Iterator[tuple[int, int, Node]]:
        """Yield where each entry or item of a value starts and ends, and what it holds."""
        if isinstance(node, Mapping):
            for entry in node.entries.values():
                yield self.text.offset(entry.key.span), self.text.end_of(entry), entry.node
        elif isinstance(node, Items):
            for item in node.items:
                yield self.text.offset(item.span), self.text.node_end(item), item

    def _pieces(self, start: int, end: int, node: Node) -> Pieces:
        cuts = [start, *self._commas(node), end]
        texts = [_joined(self.text.text[a:b]) for a, b in pairwise(cuts)]
        return [text.rstrip().removesuffix(",").rstrip() for text in texts]

    def _commas(self, node: Node) -> Iterator[int]:
        """Yield what stands behind each comma of a value, in order."""
        for number, (start, _, inner) in enumerate(self._parts(node)):
            yield from (start,) if number else ()
            yield from self._commas(inner)

    def item(self, key: str, node: Node) -> Pieces:
        """Return a key and a value as they are written in braces."""
        first, *more = self._written(node)
        return [f"{key}: {first}", *more]

    def _written(self, node: Node) -> Pieces:
        if isinstance(node, Scalar):
            return [self.scalar(node)]
        if isinstance(node, Mapping):
            inner = [self.item(self.scalar(e.key), e.node) for e in node.entries.values()]
        else:
            inner = [self._written(item) for item in node.items]
        left, right = "{}" if isinstance(node, Mapping) else "[]"
        flat = [piece for item in inner for piece in item] or [""]
        flat[0] = left + flat[0]
        return [*flat[:-1], flat[-1] + right]

    def scalar(self, node: Scalar) -> str:
        """Return a single value as it is written in braces."""
        if is_empty(node):
            return node.text or "~"
        if node.plain and not _NOT_BARE.search(node.text):
            return node.text
        if self.text.text.startswith("'", self.text.offset(node.span)):
            return "'" + node.text.replace("'", "''") + "'"
        return json.dumps(node.text, ensure_ascii=False)

    def write(self) -> str:
        """Return the text of all twigs."""
        if self.root.twigs is None:
            return self.text.text
        lines = [line for twig in self.root.twigs for line in self._put(twig, twig.indent)]
        whole = [*lines, *(line for line in self.root.below if line)]
        ended = [s if LINE_END.search(s) else s + self.text.line_end for s in whole[:-1]]
        return "".join([*ended, *whole[-1:]])

    def _put(self, twig: Twig, indent: int) -> Iterator[str]:
        """Yield the lines of a twig that stands so far in."""
        yield from self._shifted(twig.over, indent - twig.indent)
        if twig.twigs is not None:
            yield from self._put_below(twig, indent)
        elif twig.items is not None:
            yield from self._filled(twig, twig.items, indent)
        else:
            lines = list(self._shifted(twig.lines, indent - twig.indent, twig.said))
            wide = max(map(width, lines)) > max(WIDE, *map(width, twig.lines))
            braces = isinstance(twig.node, Mapping) and not twig.fixed
            yield from self._filled(twig, self.items(twig), indent) if wide and braces else lines

    def _put_below(self, twig: Twig, indent: int) -> Iterator[str]:
        tail = f"  {twig.tail}" if twig.tail else ""
        if twig.lines and twig.twigs:
            yield from self._shifted(twig.lines, indent - twig.indent)
        else:
            value = ":" if twig.twigs else ": {}"
            yield f"{' ' * indent}{twig.key}{value}{tail}{self.text.line_end}"
        for below in twig.twigs or ():
            yield from self._put(below, indent + twig.step)
        yield from twig.below

    def _shifted(self, lines: Iterable[str], by: int, said: Iterable[str] = ()) -> Iterator[str]:
        """Yield lines further in; a comment gives way where a line would grow too wide by it."""
        for line in lines:
            own = line.lstrip(" ")
            blanks = len(line) - len(own) + by * bool(line.strip())
            wide = max(0, min(by, blanks + width(own) - WIDE))
            tail = next((text for text in said if wide and own.rstrip().endswith(text)), "")
            if tail and not own.startswith("#"):
                yield f"{' ' * min(blanks, max(0, WIDE - len(tail)))}{tail}{self.text.line_end}"
                own = own.rstrip().removesuffix(tail).rstrip() + self.text.line_end
            yield " " * max(0, blanks - wide * own.startswith("#")) + own

    def _filled(self, twig: Twig, items: dict[str, Pieces], indent: int) -> Iterator[str]:
        """Yield a twig with its braces, broken at commas where it would grow too wide."""
        head = f"{' ' * indent}{twig.key}: {{"
        lines, margin = [head], " " * len(head)
        for number, item in enumerate(items.values()):
            end = "," if number < len(items) - 1 else "}"
            whole = ", ".join(item) + end
            pieces = [*(f"{piece}," for piece in item[:-1]), item[-1] + end]
            for piece in [whole] if len(margin + whole) <= WIDE else pieces:
                blank = "" if lines[-1] in {head, margin} else " "
                if len(lines[-1] + blank + piece) <= WIDE or not blank:
                    lines[-1] += blank + piece
                else:
                    lines.append(margin + piece)
        lines[-1] += "" if items else "}"
        if twig.tail and len(f"{lines[-1]}  {twig.tail}") > WIDE:
            yield f"{' ' * indent}{twig.tail}{self.text.line_end}"
        elif twig.tail:
            lines[-1] += f"  {twig.tail}"
        yield from (line + self.text.line_end for line in lines)


def _can_hold(node: Node | None) -> bool:
    return node is None or isinstance(node, Mapping) or is_empty(node)


def _joined(text: str) -> str:
    return " ".join(line.strip() for line in LINE_END.split(text)).strip()
