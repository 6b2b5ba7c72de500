"""The kinds of value a plan may hold: each reads a node and describes itself as JSON Schema.

One declaration therefore serves the reader, the schema in `schemas/` and the README's table.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from collections.abc import Mapping as AbcMapping
from dataclasses import dataclass, field
from typing import Any

from harness.base.colours import code_of
from harness.base.near import hint, spoken
from harness.base.span import Span
from harness.base.units import (
    FRACTION,
    Dimension,
    UnitError,
    parse_quantity,
    parse_wire,
    pattern,
    wire_pattern,
)
from harness.reading.nodes import Items, Mapping, Node, Scalar, is_empty
from harness.reading.problems import Problem, shortened

Schema = dict[str, Any]
MOST_HINTS = 40
"""Looking for the nearest of 3,000 names takes milliseconds: not for each of 3,000 faults."""
BAD: Any = object()
"""Returned where a value could not be read; the problem is in the list already."""

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
        if is_empty(node):
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
    above_zero: bool = False

    @property
    def noun(self) -> str:  # type: ignore[override]
        """Show an example."""
        return f'a {self.dimension.name} such as "{self.dimension.example}"'

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the amount."""
        try:
            amount = parse_quantity(node.text, self.dimension)
        except UnitError as error:
            return at.wrong(str(error), node.span)
        if self.above_zero and amount <= 0:
            return at.wrong(f'"{node.text}" is nothing: wanted is more than 0', node.span)
        return amount

    def schema(self) -> Schema:
        """A text of number and unit; a bare number where the dimension has no unit."""
        types = ["string", "number"] if self.dimension.bare_ok else "string"
        some = "(?=[0-9.]*[1-9])" if self.above_zero else ""
        return {"type": types, "pattern": f"^{some}{pattern(self.dimension)[1:]}"}


_OVER_100 = r"0*(?:10[1-9]|1[1-9][0-9]|[2-9][0-9]{2}|[1-9][0-9]{3}|100\.0*[1-9])"


class Share(Kind):
    """A share of a whole, from 0 to 1: `30 %` or 0.3."""

    noun = 'a share from 0 % to 100 %, such as "30 %"'

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the share."""
        try:
            share = parse_quantity(node.text, FRACTION)
        except UnitError as error:
            return at.wrong(str(error), node.span)
        if share > 1:
            help_ = "a share lies between 0 % and 100 %"
            return at.wrong(f'"{node.text}" is more than the whole', node.span, help_)
        return share

    def schema(self) -> Schema:
        """A number from 0 to 1, or a text of number and percent sign that is at most 100."""
        limit = f"^(?!{_OVER_100}){pattern(FRACTION)[1:]}"
        return {"type": ["string", "number"], "pattern": limit, "minimum": 0, "maximum": 1}


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
