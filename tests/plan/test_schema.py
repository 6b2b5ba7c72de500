"""The schema in `schemas/` is the reader's own, is valid, and judges plans as the reader does."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml
from support import plan_of

from harness.plan.schema import plan_schema, schema_text
from harness.reading.problems import PlanError

ROOT = Path(__file__).parents[2]
VALIDATOR = jsonschema.Draft202012Validator(plan_schema())
PLANS = sorted(p for p in ROOT.glob("examples/**/*.yaml") if "." not in p.stem)


class _Core(yaml.SafeLoader):
    """YAML 1.2's core schema, as editors read it: `no` and `on` are texts, not truth values."""


_Core.yaml_implicit_resolvers = {
    first: [(tag, regexp) for tag, regexp in pairs if not tag.endswith((":bool", ":timestamp"))]
    for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def as_editor_reads(text: str) -> Any:
    """Return the data an editor's YAML 1.2 parser hands to the schema: keys are texts."""
    return json.loads(json.dumps(yaml.load(text, Loader=_Core)))


def test_schema_is_valid_by_its_metaschema() -> None:
    jsonschema.Draft202012Validator.check_schema(plan_schema())


def test_committed_schema_is_the_readers_own() -> None:
    assert (ROOT / "schemas" / "plan.schema.json").read_text("utf-8") == schema_text()


def test_schema_avoids_oneof() -> None:
    """Its errors cannot be explained to a person."""
    assert '"oneOf"' not in schema_text()


@pytest.mark.parametrize("path", PLANS, ids=lambda p: p.stem)
def test_every_example_is_valid(path: Path) -> None:
    errors = [e.message for e in VALIDATOR.iter_errors(as_editor_reads(path.read_text("utf-8")))]
    assert errors == []


WRONG = [
    "servos: {a: {clas: 17g-digital}}",
    "servos: {a: {stall: 40}}",
    "servos: {a: {stall: 40 V}}",
    "servos: {a: {shaft: lft}}",
    "servos: {a b: {}}",
    "receivers: {rx: {}}",
    "receivers: {rx: {sockets: 0}}",
    "receivers: {rx: {sockets: many}}",
    "packs: {p: {chemistry: lipo, cells: 2.5}}",
    "leads: {y: {kind: z}}",
    "leads: {y: {kind: y, wire: 22}}",
    "leads: {y: {kind: y, plug: rx.1.2}}",
    "escs: {e: {bec: {kind: linear}}}",
    "servos: [a, b]",
    "wibble: 3",
    "mixes: {kind: crow}",
    "sequencers: {s: {outlets: 2, steps: {down: [{outlet: 1, start: 0 s}]}}}",
]


@pytest.mark.parametrize("text", WRONG)
def test_reader_and_schema_refuse_the_same(text: str) -> None:
    whole = f"plan: 1\naircraft: Test\n{text}\n"
    assert not VALIDATOR.is_valid(as_editor_reads(whole))
    with pytest.raises(PlanError):
        plan_of(whole)


RIGHT = [
    "servos: {a: {reversed: no}}",
    "servos: {a: {reversed: Yes}}",
    "servos: {12: {stall: 1.2 A}}",
    "places: {fuselage: }",
    "places:",
    "channels: {1: aileron, 3: {function: throttle, failsafe: off}}",
    "leads: {y: {kind: y, wire: 0.34 mm2, length: 12 in}, z: {like: y}}",
    "as-found: [{end: a.plug, fact: turned}]\nservos: {a: {}}",
]


@pytest.mark.parametrize("text", RIGHT)
def test_reader_and_schema_accept_the_same(text: str) -> None:
    whole = f"plan: 1\naircraft: Test\n{text}\n"
    assert VALIDATOR.is_valid(as_editor_reads(whole))
    plan_of(whole)


def test_schema_is_shipped_beside_the_package() -> None:
    """An installed wheel holds it as `harness/schemas`; a checkout as `schemas`."""
    shipped = files("harness").joinpath("schemas/plan.schema.json")
    assert shipped.is_file() or (ROOT / "schemas" / "plan.schema.json").is_file()
