"""`harness keys` names every key there is; the JSON Schema in `schemas/` is the other witness."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from support_cli import Run

from harness.catalogue import load
from harness.cli.classes import OF_GROUPS, class_lines

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


CLASSES = {
    "servos": ("17g-digital", "17 g", "29 x 13 x 30 mm", "1.8 A", "4.8 to 6.0 V"),
    "escs": ("40 A", "38 g", "58 x 27 x 12 mm"),
    "plugs": ("XT60", "40 A", "60 A", "10 AWG"),
    "wires": ("20 AWG", "4.6 g/m", "33.3 mohm/m"),
    "packs": ("lipo", "4.2 V", "3.7 V", "3.5 V"),
    "receivers": ("receiver-6v", "3.5 to 6.0 V", "100 mA"),
    "regulators": ("switching", "85 %"),
    "retracts": ("medium", "2 to 5 kg", "0.8 A", "3.2 A"),
    "ducted-fans": ("fan", "5 %"),
}
"""By page: figures that stand in one line. The wire's: 1/58 ohm mm2/m and 8.89 g/cm3 (IEC 60028),
0.518 mm2 of 20 AWG (ASTM B258), worked out by hand; the others: rows of the catalogue."""


@pytest.mark.parametrize("page", CLASSES)
def test_a_page_lists_the_classes_with_what_one_chooses_by(page: str, run: Run) -> None:
    done = run("keys", page)
    assert done.code == 0
    first, *figures = CLASSES[page]
    (line,) = (line for line in done.out.splitlines() if line.startswith(f"  {first}  "))
    assert all(figure in line for figure in figures), line


@pytest.mark.parametrize("page", OF_GROUPS)
def test_every_class_that_may_be_named_is_on_its_page(page: str) -> None:
    table, written = OF_GROUPS[page]
    listed = {line.strip().split("  ")[0] for line in class_lines(page) if line.startswith("  ")}
    assert written == "" or set(load().rows(table)) - {"self-contained", "bare-motor"} <= listed


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
    assert "write it as {kind: elevon}" in done.err
