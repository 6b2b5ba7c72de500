"""YAML text to a tree of nodes that know where they stand.

The tree is built from PyYAML's events, not by its loader: the events come one by one, so a
nest or an alias bomb is refused before it costs anything, scalars keep their own text (no
`no`, `12:30` or `014` is turned into something else), and every key and item has a span.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from typing import Any

import yaml.error
import yaml.events

from harness.base.data import dataclass, field
from harness.base.refusal import MOST_NODES
from harness.base.span import Source, Span
from harness.reading.problems import PlanError, Problem, shortened

MOST_DEEP = 24
_UNSEEN = re.compile(
    "[\0-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff\ufffe\uffff\ud800-\udfff]"
)
"""Signs that steer a terminal, turn the direction of text, or may not stand in XML."""

_GAPS = "\u00a0\u2000-\u200a\u202f\u3000"
_WIDE = re.compile(rf"(?m)^[ {_GAPS}]*[{_GAPS}][ {_GAPS}]*|(?<=[:,{{\[-])[ {_GAPS}]*[{_GAPS}]+")
"""Spaces of a word processor where the parser wants plain ones: in an indent, after a sign."""
_QUOTES = {"“": "”", "„": "“”", "‘": "’", "‚": "‘’", "”": "”", "’": "’", "«": "»", "»": "«"}
"""Quotes of a word processor: what opens, and what may close it."""

_Parser: Any
try:
    from yaml._yaml import CParser as _Parser
except ImportError:  # PyYAML without its C library: the same events, slower
    from yaml.loader import BaseLoader as _Parser


@dataclass(slots=True)
class Scalar:
    """A single value: its text as written, and whether it stood without quotes."""

    text: str
    plain: bool
    span: Span


@dataclass(slots=True)
class Items:
    """A list."""

    items: list[Node]
    span: Span


@dataclass(slots=True)
class Entry:
    """One key of a mapping with its value."""

    key: Scalar
    node: Node
    lone: bool = False
    """Between braces, without a colon: perhaps the rest of a text that holds a comma."""


@dataclass(slots=True)
class Mapping:
    """A mapping from key text to entry, in the order of the file."""

    entries: dict[str, Entry]
    span: Span

    def get(self, key: str) -> Node | None:
        """Return the value at `key`."""
        entry = self.entries.get(key)
        return entry.node if entry else None


Node = Scalar | Items | Mapping


def names_in(node: Node | None) -> Iterator[str]:
    """Yield the names that a group holds, be it written as it should or not."""
    yield from (entry.key.text for entry in entries_of(node))
    for item in node.items if isinstance(node, Items) else [node]:
        if isinstance(item, Scalar):
            yield from re.findall(r"[\w-]+", item.text)
        elif isinstance(node, Items):
            yield from names_in(item)
            yield from (e.node.text for e in entries_of(item) if isinstance(e.node, Scalar))


def is_empty(node: Node) -> bool:
    """Say whether a key was written with nothing behind it, as YAML understands nothing."""
    return isinstance(node, Scalar) and node.plain and node.text in {"", "~", "null"}


def entries_of(node: Node | None) -> Iterable[Entry]:
    """Return the entries of a mapping; anything else has none."""
    return node.entries.values() if isinstance(node, Mapping) else ()


_WHOLE = re.compile(r"-?(0|[1-9][0-9]{0,11})\Z")


def is_whole(text: str) -> bool:
    """Say whether a text is a whole number, plainly written: `014` and `1e3` are texts."""
    return _WHOLE.match(text) is not None


def plain(node: Node) -> Any:
    """Return what the schema judges: nothing, whole numbers, and all else as the text it is."""
    if isinstance(node, Mapping):
        return {key: plain(entry.node) for key, entry in node.entries.items()}
    if isinstance(node, Items):
        return [plain(item) for item in node.items]
    if is_empty(node):
        return None
    return int(node.text) if is_whole(node.text) else node.text


def compose(source: Source) -> Node:
    """Return the one document in `source`. Raises PlanError."""
    try:
        return _Composer(source).document()
    except yaml.error.YAMLError as error:
        raise PlanError(source, [_explained(error, source)]) from None
    except RecursionError:  # pragma: no cover - the depth guard comes first
        raise PlanError(source, [Problem("the file is nested too deep", Span.at(1, 1))]) from None


def _explained(error: yaml.error.YAMLError, source: Source) -> Problem:
    mark = getattr(error, "problem_mark", None)
    what = getattr(error, "problem", None) or getattr(error, "reason", None) or ""
    if "nesting depth" in what:
        span = Span.at(mark.line + 1, mark.column + 1) if mark else Span.at(1, 1)
        return Problem(f"nested deeper than {MOST_DEEP} levels", span, "a plan needs about six")
    if mark is None and (sign := _UNSEEN.search(source.text)):
        above = source.text[: sign.start()].split("\n")
        return Problem(
            f"a sign nobody sees stands here (U+{ord(sign[0]):04X})",
            Span.at(len(above), len(above[-1]) + 1),
            "take it out",
        )
    from harness.reading.unreadable import explained

    return explained(error, source)


@dataclass
class _Composer:
    """Walks the events once; holds the anchors and counts what aliases would expand to."""

    source: Source
    anchors: dict[str, tuple[Node, int]] = field(default_factory=dict)
    open_anchors: set[str] = field(default_factory=set)
    count: int = 0

    def document(self) -> Node:
        text = _WIDE.sub(lambda gap: " " * len(gap[0]), self.source.text)
        parser = _Parser(text)
        events = iter(parser.get_event, None)
        next(events)  # the stream's start
        first = next(events)
        if isinstance(first, yaml.events.StreamEndEvent):
            self.refuse(
                "the file holds only comments", Span.at(1, 1), "`harness new` prints a plan"
            )
        node = self.node(next(events), events, 0)
        next(events)  # the document's end
        after = next(events)
        if not isinstance(after, yaml.events.StreamEndEvent):
            self.refuse("a second document starts here", _span(after), "one file holds one plan")
        return node

    def node(self, event: Any, events: Iterator[Any], depth: int) -> Node:
        span = _span(event)
        self.grow(1, span)
        if depth > MOST_DEEP:
            self.refuse(f"nested deeper than {MOST_DEEP} levels", span, "a plan needs about six")
        if isinstance(event, yaml.events.AliasEvent):
            return self.alias(event.anchor, span)
        if event.tag is not None and event.tag != "!":
            self.refuse(f"the tag {event.tag} is not read", span, "take the tag out")
        before = self.count
        if event.anchor:
            self.open_anchors.add(event.anchor)
        node = self.content(event, events, depth)
        if event.anchor:
            self.open_anchors.discard(event.anchor)
            self.anchors[event.anchor] = (node, self.count - before + 1)
        return node

    def content(self, event: Any, events: Iterator[Any], depth: int) -> Node:
        if isinstance(event, yaml.events.ScalarEvent):
            return self.scalar(event)
        if isinstance(event, yaml.events.SequenceStartEvent):
            return self.items(event, events, depth)
        return self.mapping(event, events, depth)

    def scalar(self, event: Any) -> Scalar:
        text, span = event.value, _span(event)
        if not text.isprintable() and (sign := _UNSEEN.search(text)):
            message = f"this text holds a sign nobody sees (U+{ord(sign[0]):04X})"
            self.refuse(message, span, "take it out")
        if event.implicit[0] and text[:1] in _QUOTES:
            self.no_quotes(text, span)
        if not text.isascii():
            text = unicodedata.normalize("NFC", text)
        return Scalar(text, event.implicit[0], span)

    def no_quotes(self, text: str, span: Span) -> None:
        """Refuse a text between the quotes of a word processor; as part of a text they may stay."""
        line = self.source.line(span.line)[span.column - 1 :]
        whole = re.match(
            rf"(.)([^{_QUOTES[text[0]]}]*)([{_QUOTES[text[0]]}])\s*(?=[,}}\]#]|$)", line
        )
        if whole:
            message = f"these are quotes of a word processor: {whole[1]} and {whole[3]}"
            self.refuse(message, span, f'write "{whole[2]}"')

    def items(self, start: Any, events: Iterator[Any], depth: int) -> Items:
        found: list[Node] = []
        while not isinstance(event := next(events), yaml.events.SequenceEndEvent):
            found.append(self.node(event, events, depth + 1))
        return Items(found, _span(start, event))

    def mapping(self, start: Any, events: Iterator[Any], depth: int) -> Mapping:
        entries: dict[str, Entry] = {}
        while not isinstance(event := next(events), yaml.events.MappingEndEvent):
            key = self.key(event, events, depth)
            if key.text in entries:
                line = entries[key.text].key.span.line
                both = isinstance(entries[key.text].node, Scalar) or depth > 0
                help_ = "give one of them another name" if both else "put all of them under one"
                self.refuse(
                    f'"{key.text}" stands here twice: first on line {line}', key.span, help_
                )
            node = self.node(next(events), events, depth + 1)
            lone = start.flow_style and self.is_lone(key, node)
            if lone and (glued := re.fullmatch(r"([^\s:]+):(\S.*)", key.text)):
                self.glued(key, glued[1], glued[2])
            if lone and entries and self.is_rest(last := list(entries.values())[-1], key):
                last.node = self.joined(last.node, key)
            else:
                entries[key.text] = Entry(key, node, lone)
        return Mapping(entries, _span(start, event))

    def glued(self, key: Scalar, name: str, value: str) -> None:
        """Refuse a key whose colon has no space behind it."""
        from harness.reading.unreadable import no_space

        raise PlanError(self.source, [no_space(key.text, name, value, key.span)])

    def is_lone(self, key: Scalar, node: Node) -> bool:
        """Say whether a key between braces has no colon behind it."""
        rest = self.source.line(key.span.end_line)[key.span.end_column - 1 :].lstrip()
        return key.plain and is_empty(node) and rest[:1] != ":"

    def is_rest(self, last: Entry, key: Scalar) -> bool:
        """Say whether a comma without a space cut a number or a socket in two: 1,2 A; rx,1."""
        node = last.node
        return (
            isinstance(node, Scalar)
            and node.plain
            and key.text[:1].isdecimal()
            and node.text[:1] not in {"", "~"}
            and node.span.end_line == key.span.line
            and node.span.end_column + 1 == key.span.column
        )

    def joined(self, node: Node, key: Scalar) -> Scalar:
        """Put together again what such a comma cut in two."""
        assert isinstance(node, Scalar)
        span = Span(node.span.line, node.span.column, key.span.end_line, key.span.end_column)
        return Scalar(f"{node.text},{key.text}", True, span)

    def key(self, event: Any, events: Iterator[Any], depth: int) -> Scalar:
        node = self.node(event, events, depth + 1)
        if not isinstance(node, Scalar):
            self.refuse("a list or braces cannot be a key", node.span, "a key is a plain word")
            raise AssertionError
        if is_empty(node):
            self.refuse("nothing stands here, wanted is a key", node.span)
        if node.plain and (opens := re.match(r"([^\s:]+)(:?) *([{\[])", node.text)):
            if opens[2]:
                self.glued(Scalar(opens[0], True, node.span), opens[1], opens[3])
            self.refuse(
                f'a colon is missing behind "{opens[1]}"',
                node.span,
                f'write "{opens[1]}: {opens[3]}"',
            )
        if node.plain and node.text == "<<":
            self.refuse("merge keys (<<) are not read", node.span, "repeat a part with `like:`")
        return node

    def alias(self, name: str | None, span: Span) -> Node:
        if name is None or name in self.open_anchors:
            self.refuse(f"the alias *{name} stands inside itself", span)
        if name not in self.anchors:
            self.refuse(f"there is no anchor &{name} above this alias", span)
        node, size = self.anchors[name or ""]
        self.grow(size, span)
        return node

    def grow(self, by: int, span: Span) -> None:
        self.count += by
        if self.count > MOST_NODES:
            self.refuse(f"the file expands to more than {MOST_NODES} values", span)

    def refuse(self, message: str, span: Span, hint: str = "") -> None:
        raise PlanError(self.source, [Problem(shortened(message), span, hint)])


def _span(start: Any, end: Any = None) -> Span:
    first, last = start.start_mark, (end or start).end_mark
    return Span(first.line + 1, first.column + 1, last.line + 1, last.column + 1)
