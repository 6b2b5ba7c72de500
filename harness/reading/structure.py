"""jsonschema judges the structure of a file by the schema in `schemas/`; the kinds find the words.

What it refuses comes as a path in the data and a part of the schema; the same path through nodes
and kinds leads to the place in the file and to the kind that says what is wrong there.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import harness
from harness.base.colours import ColourError, code_of
from harness.reading.kinds import Kind, MapOf, Reading, Schema
from harness.reading.nodes import Entry, Items, Mapping, Node, Scalar, name_of

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator, ValidationError

PACKAGE = Path(harness.__file__).parent
FOLDERS = (PACKAGE / "schemas", PACKAGE.parent / "schemas")
"""Where the schemas are: in an installed copy, and in a checkout."""


@cache
def shipped(name: str) -> Draft202012Validator:
    """Return what judges by a schema in `schemas/`."""
    paths = (folder / f"{name}.schema.json" for folder in FOLDERS)
    path = next(path for path in paths if path.is_file())
    return validator(json.loads(path.read_text("utf-8")))


def validator(schema: Schema) -> Draft202012Validator:
    """Return what judges by a schema: jsonschema, with days that exist and colours as formats."""
    from jsonschema import Draft202012Validator, FormatChecker
    from jsonschema.validators import extend

    formats = FormatChecker(["date"])
    formats.checks("insulation-colour", ColourError)(lambda text: bool(code_of(str(text))))
    walk = _Walk(schema.get("$defs", {}), Draft202012Validator.VALIDATORS["additionalProperties"])
    keywords = {"$ref": walk.ref, "properties": walk.properties, "if": walk.either,
                "additionalProperties": walk.additional}  # fmt: skip
    compiling: Any = extend(Draft202012Validator, keywords)  # type: ignore[no-untyped-call]
    return cast("Draft202012Validator", compiling(schema, format_checker=formats))


@dataclass
class _Walk:
    """The keywords that lead on to other parts of a schema, each compiled when first met.

    jsonschema's own compile a part again for every value, which takes most of its time.
    """

    defs: Schema
    own_additional: Any
    compiled: dict[int, Any] = field(default_factory=dict)

    def part(self, by: Any, schema: Schema | bool) -> Any:
        """Return what judges by a part of the schema."""
        found = self.compiled.get(id(schema))
        if found is None:
            found = self.compiled[id(schema)] = by.evolve(schema=schema)
        return found

    def below(self, by: Any, value: Any, known: Schema, word: str) -> Iterator[ValidationError]:
        for error in self.part(by, known).iter_errors(value[word]):
            error.path.appendleft(word)
            yield error

    def ref(self, by: Any, name: str, value: Any, _: Schema) -> Iterator[ValidationError]:
        yield from self.part(by, self.defs[name.rpartition("/")[2]]).iter_errors(value)

    def either(self, by: Any, when: Any, value: Any, schema: Schema) -> Iterator[ValidationError]:
        word = "then" if self.part(by, when).is_valid(value) else "else"
        yield from self.part(by, schema[word]).iter_errors(value)

    def properties(
        self, by: Any, known: Schema, value: Any, _: Schema
    ) -> Iterator[ValidationError]:
        for word in value if isinstance(value, dict) else ():
            if word in known:
                yield from self.below(by, value, known[word], word)

    def additional(
        self, by: Any, other: Any, value: Any, schema: Schema
    ) -> Iterator[ValidationError]:
        if other is False or "properties" in schema:
            yield from self.own_additional(by, other, value, schema)
            return
        for word in value if isinstance(value, dict) else ():
            yield from self.below(by, value, other, word)


@dataclass(frozen=True, slots=True)
class Refused:
    """One thing that jsonschema refused: where it stands, of which kind, by which schema."""

    path: tuple[str | int, ...]
    kind: Kind
    node: Node
    key: Scalar | None
    schema: Schema


def judge(
    by: Draft202012Validator, kind: Kind, top: Node, data: Any, at: Reading
) -> set[tuple[str | int, ...]]:
    """Note everything jsonschema refuses in the data of a file, and return the paths of it."""
    refused = [_placed(error, kind, top) for error in by.iter_errors(data)]
    for one in sorted(refused, key=lambda r: (r.node.span, str(r.path))):
        one.kind.refuse(one.node, at, one.schema, one.key)
    return {one.path for one in refused}


def _placed(error: ValidationError, kind: Kind, node: Node) -> Refused:
    """Follow the path of an error through kinds and nodes."""
    path: list[str | int] = []
    key = None
    for step in error.absolute_path:
        kind, path = kind.at(node).inner(step), [*path, step]
        if isinstance(node, Mapping):
            entry = _entry(node, step)
            node, key, path[-1] = entry.node, entry.key, entry.key.text
        elif isinstance(node, Items):
            node, key = node.items[int(step)], None
    kind = kind.at(node)
    if isinstance(kind, MapOf) and isinstance(node, Mapping):  # a key that `propertyNames` refuses
        kind, node = kind.key, _entry(node, error.instance).key
        path.append(node.text)
    schema = error.schema if isinstance(error.schema, dict) else {}
    return Refused(tuple(path), kind, node, key, schema)


def _entry(node: Mapping, name: Any) -> Entry:
    found = node.entries.get(name)
    return found or next(e for e in node.entries.values() if name_of(e.key) == name)
