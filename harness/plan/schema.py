"""The JSON Schema 2020-12 of a plan, made from the same declarations the reader uses.

`python -m harness.plan.schema FILE` writes it; the tests compare `schemas/` with it.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

from harness.base.files import write_whole
from harness.parts.kinds import GROUPS
from harness.plan.plan import HEAD
from harness.reading.kinds import ID_PATTERN, Schema
from harness.reading.records import HOISTED, record_schema

OPTIONAL_WHEN_EMPTY = frozenset(HEAD) - {"plan", "aircraft", "about"}
"""Keys that may stand without a value, as when the builder has not got round to them."""


def plan_schema() -> Schema:
    """Return the schema of a whole plan; each group of parts has a definition of its own."""
    head = {
        word: {"description": about, **_maybe(word, kind.schema())}
        for word, (kind, about) in HEAD.items()
    }
    groups = {
        group: {
            "description": f"every {cls.word}, by its id",
            "type": ["object", "null"],
            "propertyNames": {"pattern": ID_PATTERN},
            "additionalProperties": {"$ref": f"#/$defs/{group}"},
        }
        for group, cls in GROUPS.items()
    }
    defs: dict[str, Schema] = {group: record_schema(cls) for group, cls in GROUPS.items()}
    whole = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:harness:plan:1",
        "title": "Wiring plan of an electric model aeroplane",
        "type": "object",
        "properties": {**head, **groups},
        "required": ["plan", "aircraft"],
        "additionalProperties": False,
    }
    found: dict[str, Schema] = {}
    body: Schema = _hoist(whole, found)
    body["$defs"] = {name: _hoist(schema, found) for name, schema in defs.items()}
    body["$defs"] |= {name: found[name] for name in sorted(found)}
    return body


def _hoist(schema: Any, found: dict[str, Schema]) -> Any:
    """Replace each record's schema by a reference, and keep the schema itself in `found`."""
    if isinstance(schema, list):
        return [_hoist(item, found) for item in schema]
    if not isinstance(schema, dict):
        return schema
    rest = {word: _hoist(value, found) for word, value in schema.items() if word != HOISTED}
    if HOISTED not in schema:
        return rest
    about = {"description": rest.pop("description")} if "description" in rest else {}
    found[schema[HOISTED]] = rest
    return {**about, "$ref": f"#/$defs/{schema[HOISTED]}"}


def _maybe(word: str, schema: Schema) -> Schema:
    """Let a key stand empty where the reader does."""
    if word not in OPTIONAL_WHEN_EMPTY:
        return schema
    return {"anyOf": [{"type": "null"}, schema]}


def schema_text() -> str:
    """Return the schema as it stands in `schemas/plan.schema.json`."""
    return json.dumps(plan_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    write_whole(Path(sys.argv[1]), schema_text())
