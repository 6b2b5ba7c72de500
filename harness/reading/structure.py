"""jsonschema-rs judges the structure of a file by its schema; the kinds find the words.

What it refuses comes as a path in the data and a part of the schema; the same path through nodes
and kinds leads to the place in the file and to the kind that says what is wrong there.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import harness
from harness.base.colours import ColourError, code_of
from harness.base.data import dataclass
from harness.reading.amounts import WITHIN, Within
from harness.reading.kinds import Kind, MapOf, Schema
from harness.reading.nodes import Items, Mapping, Node, Scalar, plain
from harness.reading.problems import Reading

if TYPE_CHECKING:
    from jsonschema_rs import Draft202012Validator, ValidationError

Trail = tuple[str | int, ...]
"""A path: keys, and places in lists."""
PACKAGE = Path(harness.__file__).parent
FOLDERS = (PACKAGE / "schemas", PACKAGE.parent / "schemas")
"""Where the schemas are: in an installed copy, and in a checkout."""


@dataclass(frozen=True, slots=True)
class SchemaJudge:
    """A schema, and jsonschema-rs ready to judge by it."""

    schema: Schema
    validator: Draft202012Validator

    def at_fault(self, error: ValidationError) -> Schema:
        """Return the part of the schema that refused."""
        part: Any = self.schema
        for step in error.schema_path[:-1]:
            part = part[step]
        return part if isinstance(part, dict) else {}


@cache
def shipped(name: str) -> SchemaJudge:
    """Return what judges by a schema in `schemas/`."""
    paths = (folder / f"{name}.schema.json" for folder in FOLDERS)
    path = next(path for path in paths if path.is_file())
    return judge_of(json.loads(path.read_text("utf-8")))


def judge_of(schema: Schema) -> SchemaJudge:
    """Return what judges by a schema, with days that exist, colours, and amounts believed."""
    from jsonschema_rs import Draft202012Validator

    formats = {"insulation-colour": _is_colour}
    validator = Draft202012Validator(
        schema, formats=formats, validate_formats=True, keywords={WITHIN: Within}
    )
    return SchemaJudge(schema, validator)


def _is_colour(text: str) -> bool:
    try:
        return bool(code_of(text))
    except ColourError:
        return False


@dataclass(frozen=True, slots=True)
class Refused:
    """One thing that the schema refused: where it stands, of which kind, by which schema."""

    path: Trail
    kind: Kind
    node: Node
    key: Scalar | None
    schema: Schema


def judge(by: SchemaJudge, kind: Kind, top: Node, at: Reading) -> set[Trail]:
    """Note everything the schema refuses in a file, and return the paths of it."""
    refused = [_placed(error, by, kind, top) for error in by.validator.iter_errors(plain(top))]
    lists = {one.path for one in refused if isinstance(one.node, Items)}
    for one in sorted(refused, key=lambda r: (r.node.span, str(r.path))):
        if not any(one.path[:n] in lists for n in range(len(one.path))):
            one.kind.refuse(one.node, at, one.schema, one.key)
    return {one.path for one in refused}


def _placed(error: ValidationError, by: SchemaJudge, kind: Kind, node: Node) -> Refused:
    """Follow the path of an error through kinds and nodes."""
    path: Trail = ()
    key = None
    for told in error.instance_path:
        step = str(told) if isinstance(node, Mapping) else told  # a key in digits comes as a number
        kind, path = kind.at(node).inner(step), (*path, step)
        if isinstance(node, Mapping):
            entry = node.entries[str(step)]
            node, key = entry.node, entry.key
        elif isinstance(node, Items):
            node, key = node.items[int(step)], None
    kind = kind.at(node)
    why: Any = error.kind
    if why.name == "propertyNames" and isinstance(kind, MapOf) and isinstance(node, Mapping):
        name = str(why.error.instance)
        kind, node, path = kind.key, node.entries[name].key, (*path, name)
    return Refused(path, kind, node, key, by.at_fault(error))
