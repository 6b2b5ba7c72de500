"""Every key of a schema that takes a number or an amount, and where each stands in a plan.

An independent walk: PyYAML's own composer gives the places, jsonschema decides between the forms
of a value, and whether it is a number is asked of its pattern, with texts that begin with a digit.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import yaml

ROOT = Path(__file__).parents[2]
Schema = Mapping[str, Any]
UNITS = ["mm", "V", "A", "Ah", "ohm", "F", "s", "degC", "g", "W", "C", "us", "%", "rpm/V"]
AMOUNTS = [*(f"7 {unit}" for unit in UNITS), "7 / 7 %", "7 AWG"]
"""Texts of which a pattern of amounts takes one at least; and no pattern of words takes any."""
COUNTED = ("minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum", "within")


@cache
def schema_of(name: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((ROOT / f"schemas/{name}.schema.json").read_text("utf-8"))
    return loaded


def is_number(schema: Schema) -> bool:
    """Whether a value of this schema is a number or an amount, and no free text or name."""
    types = schema.get("type", ())
    types = {types} if isinstance(types, str) else set(types)
    if types & {"integer", "number"} and not types & {"string", "boolean"}:
        return True
    pattern = schema.get("pattern")
    takes = [text for text in AMOUNTS if pattern and re.search(pattern, text)]
    return any(word in schema for word in COUNTED) or len(takes) in range(1, len(AMOUNTS))


def keys_of(schema: Any, path: str = "") -> Iterator[tuple[str, Schema]]:
    """Yield every number of a schema, by its path in it."""
    if isinstance(schema, list):
        for place, part in enumerate(schema):
            yield from keys_of(part, f"{path}/{place}")
    elif isinstance(schema, dict):
        if is_number(schema):
            yield path, schema
        for step, part in schema.items():
            yield from keys_of(part, f"{path}/{step}")


@dataclass(frozen=True)
class Place:
    """Where a number stands in a text: its signs from `start` to `end`, and line and column."""

    key: str
    start: int
    end: int
    line: int
    column: int

    def put(self, text: str, value: str) -> str:
        """Return the text with another value here."""
        return text[: self.start] + value + text[self.end :]


class Walker:
    """Goes through a plan's text and its schema side by side."""

    def __init__(self, schema: dict[str, Any]) -> None:
        self.top = schema
        self.numbers = dict(keys_of(schema))
        self.keys: set[int] = set()

    def places(self, text: str) -> list[Place]:
        """Where the numbers of a text stand."""
        node = yaml.compose(text, Loader=yaml.SafeLoader)
        return list(self._at(node, yaml.safe_load(text), self.top, ""))

    def known(self, text: str) -> set[int]:
        """Where a key begins that is the schema's, and no name of the builder's own."""
        self.keys.clear()
        self.places(text)
        return set(self.keys)

    def _at(self, node: yaml.Node, value: Any, schema: Any, path: str) -> Iterator[Place]:
        if not isinstance(schema, dict):
            return
        if "$ref" in schema:
            path = schema["$ref"].removeprefix("#")
            _, group, name = path.split("/")
            yield from self._at(node, value, self.top[group][name], path)
        if "if" in schema:
            form = "then" if self._fits(value, schema["if"]) else "else"
            yield from self._at(node, value, schema.get(form), f"{path}/{form}")
        for place, part in enumerate(schema.get("allOf", ())):
            yield from self._at(node, value, part, f"{path}/allOf/{place}")
        yield from self._inside(node, value, schema, path)

    def _inside(self, node: yaml.Node, value: Any, schema: Schema, path: str) -> Iterator[Place]:
        if isinstance(node, yaml.ScalarNode) and path in self.numbers:
            mark = node.start_mark
            yield Place(path, mark.index, node.end_mark.index, mark.line + 1, mark.column + 1)
        elif isinstance(node, yaml.SequenceNode):
            for child, one in zip(node.value, value, strict=True):
                yield from self._at(child, one, schema.get("items"), f"{path}/items")
        elif isinstance(node, yaml.MappingNode):
            for (name, child), one in zip(node.value, value.values(), strict=True):
                known = name.value in schema.get("properties", ())
                if known and schema.get("additionalProperties") is False:
                    self.keys.add(name.start_mark.index)
                step = f"properties/{name.value}" if known else "additionalProperties"
                inner = schema["properties"][name.value] if known else schema.get(step)
                yield from self._at(child, one, inner, f"{path}/{step}")

    def _fits(self, value: Any, schema: Schema) -> bool:
        """Whether a value is of a form; `if` never leads to another part of the schema."""
        return bool(jsonschema.Draft202012Validator(schema).is_valid(value))
