"""jsonschema judges the structure of a file by the schema in `schemas/`; the kinds find the words.

What it refuses comes as a path in the data and a part of the schema; the same path through nodes
and kinds leads to the place in the file and to the kind that says what is wrong there.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import harness
from harness.base.colours import ColourError, code_of
from harness.base.data import dataclass
from harness.reading.kinds import Kind, MapOf, Schema
from harness.reading.nodes import Items, Mapping, Node, Scalar, plain
from harness.reading.problems import Reading

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator, ValidationError

Trail = tuple[str | int, ...]
"""A path: keys, and places in lists."""
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
    compiling: Any = extend(  # type: ignore[no-untyped-call]
        Draft202012Validator, {"properties": _properties({})}
    )
    return cast("Draft202012Validator", compiling(schema, format_checker=formats))


def _properties(compiled: dict[int, Any]) -> Any:
    """Return the keyword for the values of a mapping that compiles each part of the schema once.

    jsonschema's own compiles a part again for every value, which takes most of its time.
    """

    def judged(by: Any, known: Schema, value: Any, _: Schema) -> Iterator[ValidationError]:
        for word in value if isinstance(value, dict) else ():
            if word in known:
                part = compiled.get(id(known[word]))
                if part is None:
                    part = compiled[id(known[word])] = by.evolve(schema=known[word])
                for error in part.iter_errors(value[word]):
                    error.path.appendleft(word)
                    yield error

    return judged


@dataclass(frozen=True, slots=True)
class Refused:
    """One thing that jsonschema refused: where it stands, of which kind, by which schema."""

    path: Trail
    kind: Kind
    node: Node
    key: Scalar | None
    schema: Schema


def judge(by: Draft202012Validator, kind: Kind, top: Node, at: Reading) -> set[Trail]:
    """Note everything jsonschema refuses in a file, and return the paths of it."""
    refused = [_placed(error, kind, top) for error in by.iter_errors(plain(top))]
    lists = {one.path for one in refused if isinstance(one.node, Items)}
    for one in sorted(refused, key=lambda r: (r.node.span, str(r.path))):
        if not any(one.path[:n] in lists for n in range(len(one.path))):
            one.kind.refuse(one.node, at, one.schema, one.key)
    return {one.path for one in refused}


def _placed(error: ValidationError, kind: Kind, node: Node) -> Refused:
    """Follow the path of an error through kinds and nodes."""
    path, key = tuple(error.absolute_path), None
    for step in path:
        kind = kind.at(node).inner(step)
        if isinstance(node, Mapping):
            entry = node.entries[str(step)]
            node, key = entry.node, entry.key
        elif isinstance(node, Items):
            node, key = node.items[int(step)], None
    kind = kind.at(node)
    if isinstance(kind, MapOf) and isinstance(node, Mapping):  # a key that `propertyNames` refuses
        name = str(error.instance)
        kind, node, path = kind.key, node.entries[name].key, (*path, name)
    schema = error.schema if isinstance(error.schema, dict) else {}
    return Refused(path, kind, node, key, schema)
