"""`harness keys` names every key there is; the JSON Schema in `schemas/` is the other witness."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from support_cli import Run

SCHEMA = json.loads((Path(__file__).parents[2] / "schemas" / "plan.schema.json").read_text("utf-8"))


def properties(group: str) -> set[str]:
    """Every property named below a group; other groups, which have their own page, by name."""
    found: set[str] = set()
    todo: list[Any] = [SCHEMA["properties"][group]]
    seen = {f"#/$defs/{name}" for name in SCHEMA["properties"] if name != group}
    while todo:
        one = todo.pop()
        if isinstance(one, list):
            todo += one
        elif isinstance(one, dict):
            if (name := one.get("$ref")) and name not in seen:
                seen.add(name)
                todo.append(SCHEMA["$defs"][name.rpartition("/")[2]])
            found |= set(one.get("properties", ()))
            todo += [value for key, value in one.items() if key != "description"]
    return found


def test_every_key_of_a_plan_is_listed(run: Run) -> None:
    done = run("keys")
    words = {line.split()[0] for line in done.out.splitlines() if line.startswith("  ")}
    assert done.code == 0
    assert set(SCHEMA["properties"]) <= words


@pytest.mark.parametrize("name", sorted(SCHEMA["properties"]))
def test_every_key_of_a_group_is_on_its_page(name: str, run: Run) -> None:
    done = run("keys", name)
    assert done.code == 0
    words = {line.split()[0] for line in done.out.splitlines() if line.startswith("  ")}
    assert properties(name) <= words
    assert max(map(len, done.out.splitlines())) <= 100


def test_the_meaning_of_each_choice_is_told(run: Run) -> None:
    out = run("keys", "retracts").out
    assert "self-contained: 3-pin plug, finds its own ends" in out
    assert "bare-motor: two wires from a controller that reverses them" in out


def test_a_slip_is_answered_with_the_nearest_name(run: Run) -> None:
    done = run("keys", "serovs")
    assert done.code == 2
    assert 'did you mean "servos"?' in done.err


def test_a_missing_key_says_what_is_wanted(run: Run) -> None:
    done = run("check", "-", stdin=b"plan: 1\naircraft: M\nretracts: {l: {class: small}}\n")
    assert done.code == 2
    assert "wanted is one of self-contained or bare-motor" in done.err


def test_a_word_where_a_mapping_belongs_says_how_to_write_it(run: Run) -> None:
    done = run("check", "-", stdin=b"plan: 1\naircraft: M\nmixes: [elevon]\n")
    assert done.code == 2
    assert "write it as {kind: ...}; kind is which mix" in done.err
