"""The kinds of value a plan may hold: each describes itself as JSON Schema, and converts.

jsonschema-rs judges (`structure.py`); a kind converts what was judged good, and finds the words for
what was refused. One declaration serves the schema, the reader and the README's table.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as AbcMapping
from typing import Any, ClassVar

from harness.base.colours import code_of
from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.span import Span
from harness.reading.nodes import Items, Node, Scalar, entries_of, is_empty, is_whole
from harness.reading.problems import Reading

Schema = dict[str, Any]
MOST_MEANINGS = 4
"""With more words than this to choose from, their meanings are not listed."""
HOISTED = "$name"
"""Marks a schema for `schema.plan_schema`, which keeps each once, under `$defs`."""
MAPPING = "a set of keys (key: value)"
END_OF_TEXT = r"$(?!\n)"
"""Python's `$` also matches before a final newline, ECMA's does not."""
ID_PATTERN = rf"^[^\s.,:;#\[\]{{}}\"'&*!|>%@`][^\s.,:;#\[\]{{}}\"']*{END_OF_TEXT}"

BEYOND = re.compile(r"^[+-]|[0-9][eE][+-]?[0-9]")
"""A number of a form that no amount has: what is wanted instead is told in full."""

_YES = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}


class Kind:
    """One kind of value."""

    called = "a value"
    """How a message names it; {0} is the kind itself."""
    shape: ClassVar[Schema] = {}
    """The JSON Schema of a kind without parameters."""
    refusal = '"{text}" is not {0.noun}'
    """What is said of a text that can be read and is refused all the same; `advice` helps."""
    advice = ""

    @property
    def noun(self) -> str:
        """How a message names it."""
        return self.called.format(self)

    def convert(self, node: Node, key: Scalar | None = None) -> Any:
        """Return the value in a node that was judged good. `key`: where a record's id stands."""
        assert isinstance(node, Scalar)
        return self.read(node.text)

    def read(self, text: str) -> Any:
        """Return the value of a single text."""
        return text

    def schema(self) -> Schema:
        """Return the JSON Schema 2020-12 of this kind."""
        return dict(self.shape)

    def at(self, node: Node) -> Kind:
        """Return the kind by which `node` is judged, where this one has several forms."""
        return self

    def inner(self, step: str | int) -> Kind:
        """Return the kind of what stands at a key or in a list."""
        raise NotImplementedError

    def refuse(self, node: Node, at: Reading, schema: Schema, key: Scalar | None = None) -> None:
        """Note what is wrong with a node that `schema` refused."""
        if not isinstance(node, Scalar):
            shape = "a list" if isinstance(node, Items) else "a set of keys"
            at.wrong(f"here stands {shape}, wanted is {self.noun}", node.span)
        elif is_empty(node):
            rest = at.line(node.span)
            if remark := re.match(r"\s*:?\s*#(?=\S)", rest):
                span = Span.at(node.span.line, node.span.column + remark.end() - 1)
                at.wrong(
                    "nothing stands here: # begins a remark",
                    span,
                    "put a text that begins with # in quotes",
                )
                return
            at.wrong(f"nothing stands here, wanted is {self.noun}", node.span)
        else:
            self.refuse_text(node, at, schema)

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """Note what is wrong with a text: what hinders reading it, if anything does."""
        try:
            self.read(node.text)
        except ValueError as error:
            at.wrong(str(error), node.span, self.advice if BEYOND.search(node.text) else "")
        else:
            at.wrong(self.refusal.format(self, text=node.text), node.span, self.advice)


class FreeText(Kind):
    """Any text; `12` without quotes is the text "12", whatever an editor takes it for."""

    called = "a text"
    shape: ClassVar = {"type": ["string", "number", "boolean"]}


class Name(Kind):
    """An id: the builder's own word for a thing, without spaces, dots and YAML's signs."""

    called = "a name"
    shape: ClassVar = {"type": ["string", "integer"], "pattern": ID_PATTERN}
    refusal = '"{text}" cannot be a name'

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """Offer the name without its spaces and signs."""
        right = "-".join(re.findall(r"[^\s.,:;#\[\]{}\"'&*!|>%@`]+", node.text))
        help_ = f'write "{right}": ' if right else "use letters, digits and hyphens: "
        at.wrong(
            f'"{node.text}" cannot be a name',
            node.span,
            f"{help_}a name has no spaces, dots and colons",
        )


class ClassName(Kind):
    """The name of a catalogue class, such as `17g-digital`: whether it is one is asked later."""

    called = "the name of a class"
    shape: ClassVar = {"type": ["string", "integer"], "pattern": rf"^[^\s:]+{END_OF_TEXT}"}

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """Offer the name without its spaces."""
        right = "-".join(node.text.replace(":", " ").split())
        at.wrong(f'"{node.text}" cannot be {self.noun}', node.span, f'write "{right}"')


@dataclass(frozen=True)
class Choice(Kind):
    """One of a few words; `meanings` explains each."""

    meanings: AbcMapping[str, str]

    @property
    def noun(self) -> str:
        """List the words."""
        return _one_of(self.meanings)

    def schema(self) -> Schema:
        """An enumeration."""
        return {"enum": list(self.meanings)}

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """List the words that the schema has, and offer the nearest."""
        words = [word for word in schema["enum"] if word is not None]
        message = f'"{node.text}" is not {_one_of(words)}'
        near = at.hint(node.text, words, most=0)
        at.wrong(message, node.span, near or self._meant(node.text, words))

    def _meant(self, text: str, words: list[str]) -> str:
        """Return which word a builder's own stands for; else what each means, if they are few."""
        from harness.reading.misnomers import meant

        if right := meant(text, words, value=True):
            return f"write {right}: {self.meanings[right]}"
        few = words if len(words) <= MOST_MEANINGS else ()
        return "; ".join(f"{word}: {self.meanings[word]}" for word in few)


def _one_of(words: Iterable[str]) -> str:
    return f"one of {spoken(words, 'or')}"


class Truth(Kind):
    """Yes or no, in every spelling YAML ever had."""

    called = "yes or no"
    shape: ClassVar = {
        "enum": [True, False, *(w for y in _YES for w in (y, y.capitalize(), y.upper()))]
    }
    refusal = '"{text}" is neither yes nor no'
    advice = "write yes or no"

    def read(self, text: str) -> bool | None:
        """Return the truth value."""
        return _YES.get(text.lower())


class OtherSide(Kind):
    """Yes or no, or what differs on the other side; a plan is laid out before this is read."""

    called = "yes or no, or what differs on the other side"
    shape: ClassVar = {HOISTED: "other-side", "if": {"type": "object"}, "then": True,
                       "else": Truth.shape}  # fmt: skip
    refusal, advice = Truth.refusal, Truth.advice


@dataclass(frozen=True)
class Whole(Kind):
    """A whole number between limits."""

    least: int
    most: int

    called = "a whole number from {0.least} to {0.most}"

    def read(self, text: str) -> Any:
        """Return the number."""
        return int(text)

    def schema(self) -> Schema:
        """An integer with its limits."""
        return {"type": "integer", "minimum": self.least, "maximum": self.most}

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """Say what stands there without its leading zeros, if that would be one."""
        text, plain = node.text, node.text.lstrip("0")
        help_ = f"write {plain}" if text != plain and is_whole(plain) and text.isdigit() else ""
        said = text if is_whole(text) else f'"{text}"'
        at.wrong(f"{said} is not {self.noun}", node.span, help_)


@dataclass(frozen=True)
class Version(Whole):
    """The version of a format; there is only one so far. `word`: the key it stands at."""

    least: int = 1
    most: int = 1
    word: str = ""

    called = "a known version of the format; write `{0.word}: {0.most}`"


class Colour(Kind):
    """An insulation colour: a word or IEC 60757 letters, read as letters."""

    called = "a colour such as red or RD (IEC 60757)"
    shape: ClassVar = {"type": "string", "format": "insulation-colour"}

    def read(self, text: str) -> str:
        """Return the letters."""
        return code_of(text)


@dataclass(frozen=True)
class ListOf(Kind):
    """A list; with `or_one` a single value stands for a list of one."""

    item: Kind
    or_one: bool = False
    least: int = 0
    most: int = 1000

    called = "a list of values, each {0.item.noun}"

    def convert(self, node: Node, key: Scalar | None = None) -> tuple[Any, ...]:
        """Return a tuple."""
        items = node.items if isinstance(node, Items) else [node]
        return tuple([self.item.convert(item) for item in items])

    def schema(self) -> Schema:
        """An array, or one item where that is allowed."""
        many: Schema = {"type": "array", "items": self.item.schema()}
        many |= {"minItems": self.least} if self.least else {}
        many |= {"maxItems": self.most}
        return either({"type": "array"}, many, self.item.schema()) if self.or_one else many

    def at(self, node: Node) -> Kind:
        """Return the item's kind where one stands alone."""
        return self.item.at(node) if self.or_one and not isinstance(node, Items) else self

    def inner(self, step: str | int) -> Kind:
        """Return the item's kind."""
        return self.item

    def refuse(self, node: Node, at: Reading, schema: Schema, key: Scalar | None = None) -> None:
        """Say how many are wanted, or how a list is written."""
        if not isinstance(node, Items):
            first = next(iter(entries_of(node)), None)
            if first and first.key.text[0] == "-":
                right = f'write "- {first.key.text.lstrip("-")}"'
                message = f'"{first.key.text}" has no space after its dash'
                at.wrong(message, first.key.span, right)
                return
            at.wrong(f"wanted is {self.noun}", node.span, "write it as [a, b]")
            return
        wanted = f"from {self.least} to {self.most}" if self.least < self.most else self.least
        at.wrong(f"{len(node.items)} values stand here, wanted: {wanted}", node.span)


@dataclass(frozen=True)
class MapOf(Kind):
    """A mapping from names to values of one kind. `of`: what the names are ids of, if they are."""

    key: Kind
    value: Kind
    of: str = ""
    called = MAPPING

    def convert(self, node: Node, key: Scalar | None = None) -> dict[str, Any]:
        """Return a dict in the order of the file."""
        return {
            entry.key.text: self.value.convert(entry.node, entry.key if self.of else None)
            for entry in entries_of(node)
        }

    def schema(self) -> Schema:
        """An object whose keys and values are checked."""
        shape: Schema = {"type": "object", "additionalProperties": self.value.schema()}
        names = self.key.schema()
        if "pattern" in names or "enum" in names:
            shape["propertyNames"] = {k: v for k, v in names.items() if k != "type"}
        return shape

    def inner(self, step: str | int) -> Kind:
        """Return the values' kind."""
        return self.value

    def refuse(self, node: Node, at: Reading, schema: Schema, key: Scalar | None = None) -> None:
        """Say how a mapping is written."""
        if self.of and key:
            no_list = ", not a list" if isinstance(node, Items) else ""
            dashes = no_list and at.line(node.span)[:1] == "-"
            help_ = "write a name and a colon for each dash" if dashes else "write each as"
            at.wrong(
                f'"{key.text}" holds {self.of} by their names{no_list}',
                node.span,
                f"{help_}{':' * bool(dashes)} `name: {{key: value}}`",
            )
        else:
            at.wrong(f"wanted is {self.noun}", node.span)


def either(when: Schema, then: Schema | bool, other: Schema) -> Schema:
    """Return a schema of two forms: an error in it is one of one form, where `anyOf` hides it."""
    return {"if": when, "then": then, "else": other}


def or_nothing(schema: Schema) -> Schema:
    """Let a key stand empty, as when the builder has not got round to it."""
    if "enum" in schema:
        return {**schema, "enum": [*schema["enum"], None]}
    types = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    return {**schema, "type": types if "null" in types else [*types, "null"]}
