"""The JSON Schema 2020-12 of a plan, made from the same declarations the reader uses.

`python -m harness.plan.schema FILE` writes it; the tests compare `schemas/` with it.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from harness import PLAN_FORMAT
from harness.base.files import write_whole
from harness.base.span import Span
from harness.parts.kinds import GROUPS
from harness.plan.plan import HEAD
from harness.reading.kinds import HOISTED, MapOf, Name, Schema
from harness.reading.nodes import Entry, Node, Scalar, is_empty
from harness.reading.problems import Reading
from harness.reading.records import Key, Keyed, RecordOf, keys_of

MUST = {"plan": f"plan: {PLAN_FORMAT}", "aircraft": "aircraft: Saltmarsh 19"}
"""What every plan has, and how it is written."""


class PlanKeys(Keyed):
    """A whole plan: the keys of its head, and its groups of parts."""

    optional = True

    @cached_property
    def keys(self) -> dict[str, Key]:
        """Every key of a plan."""
        head = {w: Key(w, w, kind, about, w in MUST) for w, (kind, about) in HEAD.items()}
        return head | {
            group: Key(
                group,
                group,
                MapOf(Name(), RecordOf(cls), of="parts"),
                f"every {cls.word}, by its id",
                required=False,
            )
            for group, cls in GROUPS.items()
        }

    def unknown(self, entry: Entry, given: Mapping[str, Entry], at: Reading) -> None:
        """Note a wrong key; a part that slid out of its group is told once for all of them."""
        word, above = entry.key, ""
        for other in given:
            if other == word.text:
                break
            above = other if other in self.keys else above
        if above in GROUPS and is_empty(given[above].node) and not isinstance(entry.node, Scalar):
            first = next(w for w in list(given)[list(given).index(above) :] if w not in self.keys)
            if first == word.text:
                at.wrong(
                    f'"{first}" stands at the edge, and {above} above it is empty',
                    word.span,
                    f"begin what belongs to {above} two spaces further in",
                )
            return
        from harness.reading.misnomers import meant

        right = meant(word.text, self.keys, group=True)
        at.wrong(
            f'"{word.text}" is not a key of a plan',
            word.span,
            f"write {right}" if right else at.hint(word.text, self.keys),
        )

    def missing(self, word: str, spot: Node, at: Reading) -> None:
        """Note what every plan has."""
        at.wrong(f'the key "{word}" is missing', Span.at(1, 1), f"write `{MUST[word]}`")


PLAN = PlanKeys()


def homes_of(word: str) -> list[str]:
    """Return the groups of parts that have a key of that name."""
    return [group for group, cls in GROUPS.items() if word in keys_of(cls)]


def plan_schema() -> Schema:
    """Return the schema of a whole plan; each record is described once, under `$defs`."""
    found: dict[str, Schema] = {}
    body = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:harness:plan:{PLAN_FORMAT}",
        "title": "Wiring plan of an electric model aeroplane",
        **_hoist(PLAN.schema(), found),
    }
    return body | {"$defs": {name: found[name] for name in sorted(found)}}


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


def schema_text() -> str:
    """Return the schema as it stands in `schemas/plan.schema.json`."""
    return json.dumps(plan_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    write_whole(Path(sys.argv[1]), schema_text())
