"""The kinds of value a plan may hold: each reads a node and describes itself as JSON Schema.

One declaration therefore serves the reader, the schema in `schemas/` and the README's table.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as AbcMapping
from dataclasses import MISSING, dataclass, field, fields
from typing import Any

from harness.base.colours import code_of
from harness.base.near import hint, spoken
from harness.base.span import Span
from harness.base.units import (
    Dimension,
    UnitError,
    parse_quantity,
    parse_wire,
    pattern,
    wire_pattern,
)
from harness.reader.nodes import Items, Mapping, Node, Scalar
from harness.reader.problems import Problem, shortened

Schema = dict[str, Any]
MOST_HINTS = 40
"""Looking for the nearest of 3,000 names takes milliseconds: not for each of 3,000 faults."""
BAD: Any = object()
"""Returned where a value could not be read; the problem is in the list already."""

HOISTED = "$name"
"""Marks a record's schema for `schema.plan_schema`, which keeps each once, under `$defs`."""

_YES = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}
_WHOLE = re.compile(r"-?(0|[1-9][0-9]{0,11})\Z")
_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?\Z")
ID_PATTERN = r"^[^\s.,:;#\[\]{}\"'&*!|>%@`][^\s.,:;#\[\]{}\"']*$"
_ID = re.compile(ID_PATTERN[:-1] + r"\Z")


@dataclass(slots=True)
class Reading:
    """What one reading of a plan collects."""

    noted: dict[Problem, None] = field(default_factory=dict)

    @property
    def problems(self) -> list[Problem]:
        """Every problem once, in the order found."""
        return list(self.noted)

    def wrong(self, message: str, span: Span, help: str = "") -> Any:
        """Note a problem once and return BAD."""
        self.noted[Problem(shortened(message), span, help)] = None
        return BAD

    def hint(self, word: str, names: Iterable[str], most: int = 8) -> str:
        """Return the nearest right name, as long as the problems are few enough to be read."""
        return hint(word, names, most=most) if len(self.noted) < MOST_HINTS else ""


class Kind:
    """One kind of value. `noun` is how a message names it."""

    noun = "a value"

    def read(self, node: Node, at: Reading) -> Any:
        """Return the value in `node`, or BAD with a problem noted."""
        if not isinstance(node, Scalar):
            shape = "a list" if isinstance(node, Items) else "a mapping"
            return at.wrong(f"here stands {shape}, wanted is {self.noun}", node.span)
        if node.plain and node.text in {"", "~", "null"}:
            return at.wrong(f"nothing stands here, wanted is {self.noun}", node.span)
        return self.scalar(node, at)

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the value of a single text."""
        raise NotImplementedError

    def schema(self) -> Schema:
        """Return the JSON Schema 2020-12 of this kind."""
        raise NotImplementedError


class Text(Kind):
    """Any text; `12` without quotes is the text "12"."""

    noun = "a text"

    def scalar(self, node: Scalar, at: Reading) -> str:
        """Return the text as written."""
        return node.text

    def schema(self) -> Schema:
        """Numbers and truth words are texts too: an editor may take them for more."""
        return {"type": ["string", "number", "boolean"]}


class Name(Kind):
    """An id: the builder's own word for a thing, without spaces or dots."""

    noun = "a name"

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the name."""
        if _ID.match(node.text):
            return node.text
        help_ = "use letters, digits and hyphens; spaces, dots and colons have other uses"
        return at.wrong(f'"{node.text}" cannot be a name', node.span, help_)

    def schema(self) -> Schema:
        """A text without spaces, dots and YAML's signs."""
        return {"type": ["string", "integer"], "pattern": ID_PATTERN}


class ClassName(Kind):
    """The name of a catalogue class, such as `17g-digital` or `bullet-3.5mm`."""

    noun = "the name of a class"

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the name; whether there is such a class is asked later."""
        if re.fullmatch(r"[^\s:]+", node.text):
            return node.text
        return at.wrong(f'"{node.text}" cannot be {self.noun}', node.span)

    def schema(self) -> Schema:
        """A text without spaces and colons."""
        return {"type": ["string", "integer"], "pattern": r"^[^\s:]+$"}


@dataclass(frozen=True)
class Choice(Kind):
    """One of a few words; `meanings` explains each."""

    meanings: AbcMapping[str, str]

    @property
    def noun(self) -> str:  # type: ignore[override]
        """List the words."""
        return f"one of {spoken(self.meanings, 'or')}"

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the word."""
        if node.text in self.meanings:
            return node.text
        message = f'"{node.text}" is not {self.noun}'
        return at.wrong(message, node.span, at.hint(node.text, self.meanings, most=0))

    def schema(self) -> Schema:
        """An enumeration; `yes` and `no` may reach a validator as truth values."""
        return {"enum": list(self.meanings)}


class Truth(Kind):
    """Yes or no."""

    noun = "yes or no"

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the truth value; every spelling YAML ever had is read as meant."""
        value = _YES.get(node.text.lower())
        if value is None:
            return at.wrong(f'"{node.text}" is neither yes nor no', node.span)
        return value

    def schema(self) -> Schema:
        """A truth value, or the word for one."""
        words = [w for word in _YES for w in (word, word.capitalize(), word.upper())]
        return {"enum": [True, False, *words]}


@dataclass(frozen=True)
class Whole(Kind):
    """A whole number between limits."""

    least: int
    most: int

    @property
    def noun(self) -> str:  # type: ignore[override]
        """Name the limits."""
        return f"a whole number from {self.least} to {self.most}"

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the number."""
        if not _WHOLE.match(node.text):
            plain = node.text.lstrip("0")
            help_ = f"write {plain}" if _WHOLE.match(plain) and node.text.isdigit() else ""
            return at.wrong(f'"{node.text}" is not {self.noun}', node.span, help_)
        if not self.least <= int(node.text) <= self.most:
            return at.wrong(f"{node.text} is not {self.noun}", node.span)
        return int(node.text)

    def schema(self) -> Schema:
        """An integer with its limits."""
        return {"type": "integer", "minimum": self.least, "maximum": self.most}


@dataclass(frozen=True)
class Amount(Kind):
    """A number with its unit, as a float in the dimension's own unit."""

    dimension: Dimension

    @property
    def noun(self) -> str:  # type: ignore[override]
        """Show an example."""
        return f'a {self.dimension.name} such as "{self.dimension.example}"'

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the amount."""
        try:
            return parse_quantity(node.text, self.dimension)
        except UnitError as error:
            return at.wrong(str(error), node.span)

    def schema(self) -> Schema:
        """A text of number and unit; a bare number where the dimension has no unit."""
        types = ["string", "number"] if self.dimension.bare_ok else "string"
        return {"type": types, "pattern": pattern(self.dimension)}


class Wire(Kind):
    """A wire size: AWG or mm2."""

    noun = 'a wire size such as "22 AWG" or "0.5 mm2"'

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the WireSize."""
        try:
            return parse_wire(node.text)
        except UnitError as error:
            return at.wrong(str(error), node.span)

    def schema(self) -> Schema:
        """A text of number and AWG, or number and mm2."""
        return {"type": "string", "pattern": wire_pattern()}


class Colour(Kind):
    """An insulation colour: a word or IEC 60757 letters, read as letters."""

    noun = "a colour such as red or RD (IEC 60757)"

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the letters."""
        try:
            return code_of(node.text)
        except ValueError as error:
            return at.wrong(str(error), node.span)

    def schema(self) -> Schema:
        """A text."""
        return {"type": "string"}


@dataclass(frozen=True)
class ListOf(Kind):
    """A list; with `or_one` a single value stands for a list of one."""

    item: Kind
    or_one: bool = False
    least: int = 0
    most: int = 1000

    @property
    def noun(self) -> str:  # type: ignore[override]
        """Name what is listed."""
        return f"a list of values, each {self.item.noun}"

    def read(self, node: Node, at: Reading) -> Any:
        """Return a tuple."""
        if not isinstance(node, Items):
            if not self.or_one:
                return at.wrong(f"wanted is {self.noun}", node.span, "write it as [a, b]")
            node = Items([node], node.span)
        if not self.least <= len(node.items) <= self.most:
            wanted = f"from {self.least} to {self.most}" if self.least < self.most else self.least
            return at.wrong(f"{len(node.items)} values stand here, wanted: {wanted}", node.span)
        values = tuple(self.item.read(item, at) for item in node.items)
        return BAD if any(value is BAD for value in values) else values

    def schema(self) -> Schema:
        """An array, or one item where that is allowed."""
        many: Schema = {"type": "array", "items": self.item.schema()}
        many |= {"minItems": self.least} if self.least else {}
        many |= {"maxItems": self.most} if self.most < 1000 else {}
        return {"anyOf": [self.item.schema(), many]} if self.or_one else many


@dataclass(frozen=True)
class MapOf(Kind):
    """A mapping from names to values of one kind."""

    key: Kind
    value: Kind
    noun = "a mapping (key: value)"

    def read(self, node: Node, at: Reading) -> Any:
        """Return a dict in the order of the file."""
        if not isinstance(node, Mapping):
            return at.wrong(f"wanted is {self.noun}", node.span)
        found = {}
        for entry in node.entries.values():
            key, value = self.key.read(entry.key, at), self.value.read(entry.node, at)
            if key is not BAD and value is not BAD:
                found[key] = value
        return found

    def schema(self) -> Schema:
        """An object whose keys and values are checked."""
        shape: Schema = {"type": "object", "additionalProperties": self.value.schema()}
        names = self.key.schema()
        if "pattern" in names or "enum" in names:
            shape["propertyNames"] = {k: v for k, v in names.items() if k != "type"}
        return shape


@dataclass(frozen=True)
class RecordOf(Kind):
    """A mapping with known keys, read into a dataclass whose fields were made by `key`."""

    cls: type[Any]
    short: str = ""
    """The key that a bare value stands for, if it may stand for one."""
    noun = "a mapping (key: value)"

    def read(self, node: Node, at: Reading) -> Any:
        """Return an instance of the dataclass."""
        if self.short and not isinstance(node, Mapping):
            name = Scalar(self.short, True, node.span)
            from harness.reader.nodes import Entry

            node = Mapping({self.short: Entry(name, node)}, node.span)
        return read_record(self.cls, node, at)

    def schema(self) -> Schema:
        """An object; a bare value where one key may stand alone."""
        whole = {HOISTED: self.cls.__name__.lower(), **record_schema(self.cls)}
        if not self.short:
            return whole
        return {"anyOf": [keys_of(self.cls)[self.short].kind.schema(), whole]}


@dataclass(frozen=True)
class Key:
    """One key of a record: its word in the file, its kind, its meaning."""

    word: str
    attribute: str
    kind: Kind
    about: str
    required: bool


def key(kind: Kind, about: str, *, word: str = "", default: Any = None, must: bool = False) -> Any:
    """Declare a dataclass field that is read from a plan."""
    meta = {"kind": kind, "about": about, "word": word}
    if must:
        return field(metadata=meta)
    if isinstance(default, dict):
        return field(default_factory=lambda: dict(default), metadata=meta)
    return field(default=default, metadata=meta)


_KEYS: dict[type[Any], dict[str, Key]] = {}


def keys_of(cls: type[Any]) -> dict[str, Key]:
    """Return the keys of a record class by their word in the file."""
    if cls not in _KEYS:
        found = {}
        for item in fields(cls):
            if "kind" not in item.metadata:
                continue
            word = item.metadata["word"] or item.name.replace("_", "-")
            must = item.default is MISSING and item.default_factory is MISSING
            meta = item.metadata
            found[word] = Key(word, item.name, meta["kind"], meta["about"], must)
        _KEYS[cls] = found
    return _KEYS[cls]


def read_record(cls: type[Any], node: Node, at: Reading, **given: Any) -> Any:
    """Read a mapping node into `cls`; `given` fills fields that are not keys."""
    if isinstance(node, Scalar) and node.plain and node.text in {"", "~", "null"}:
        node = Mapping({}, node.span)
    if not isinstance(node, Mapping):
        return at.wrong("wanted is a mapping (key: value)", node.span)
    values, spans = _values(cls, node, at)
    missing = [k for k in keys_of(cls).values() if k.required and k.word not in node.entries]
    for key_ in missing:
        spot = given.get("span", node.span)
        at.wrong(f'the key "{key_.word}" is missing', spot, key_.about)
    if missing or values is None:
        return BAD
    own = {item.name for item in fields(cls)}
    if "spans" in own:
        given["spans"] = spans
    if "span" in own:
        given.setdefault("span", node.span)
    return cls(**values, **given)


def _values(
    cls: type[Any], node: Mapping, at: Reading
) -> tuple[dict[str, Any] | None, dict[str, Span]]:
    """Read every key of a mapping; return (values by attribute or None, spans by key)."""
    known = keys_of(cls)
    values: dict[str, Any] = {}
    for word, entry in node.entries.items():
        if word in known:
            values[known[word].attribute] = known[word].kind.read(entry.node, at)
        else:
            help_ = at.hint(word, known, most=12)
            values[word] = at.wrong(f'"{word}" is not a key here', entry.key.span, help_)
    whole = all(value is not BAD for value in values.values())
    return values if whole else None, {w: entry.node.span for w, entry in node.entries.items()}


def record_schema(cls: type[Any]) -> Schema:
    """Return the JSON Schema of a record class."""
    known = keys_of(cls)
    properties = {
        word: {"description": item.about, **item.kind.schema()} for word, item in known.items()
    }
    shape: Schema = {
        "type": ["object", "null"],
        "properties": properties,
        "additionalProperties": False,
    }
    must = [word for word, item in known.items() if item.required]
    if must and "like" in known:
        shape |= {"if": {"required": ["like"]}, "then": True, "else": {"required": must}}
    elif must:
        shape |= {"required": must, "type": "object"}
    return shape
