"""The house stays in order: what is counted here may only get better.

The counting itself is `benchmarks/house.py`; its rules are tried here on small sources.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from benchmarks import house

EVERY = house.modules()
MOST_STATEMENTS = 39_095
"""Of the whole house, however they are laid out in lines. The number rises only with what the house
newly answers, else it falls."""
KIND_TESTS = 10
"""Tests for a kind of part outside `parts/`: when there are fewer, write the lower number here."""
NAMED_FOR_NOTHING = frozenset(
    ("heads", "stance", "pieces", "pills", "strands", "looks", "settle", "shared", "memo", "desk",
     "utils", "helpers", "misc", "common")
)  # fmt: skip


def test_tests_for_a_kind_of_part_only_get_fewer() -> None:
    found = house.kind_tests(EVERY)
    assert found.total() <= KIND_TESTS, f"ask the part what it does instead: {dict(found)}"
    assert found.total() == KIND_TESTS, f"fewer than before: write {found.total()} in this file"


def test_no_class_name_stands_in_two_modules() -> None:
    assert house.twice(EVERY) == {}


def test_data_classes_are_the_cheap_ones() -> None:
    own, costly = "harness.base.data", "dataclasses.dataclass"
    named = [m.name for m in EVERY if m.name != own and costly in house.imported(m.tree)]
    assert named == [], f"take `dataclass` from {own}: it costs an eighth to define"


def test_no_module_is_named_for_nothing() -> None:
    assert [m.name for m in EVERY if m.name.rpartition(".")[2] in NAMED_FOR_NOTHING] == []


def test_no_room_is_too_large_and_no_file_too_long() -> None:
    assert max(house.share_of_rooms(EVERY).values()) < 0.2
    assert [m.name for m in EVERY if m.code > 400] == []
    assert len(EVERY) < 458
    assert sum(m.statements for m in EVERY) <= MOST_STATEMENTS


def _module(text: str) -> house.Module:
    return house.Module("harness.x.y", Path("y.py"), tuple(text.splitlines()), ast.parse(text))


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("isinstance(part, Servo)", 1),
        ("[p for p in parts if isinstance(p, Servo | Esc)]", 1),
        ("BOTH = (Servo, Esc)\nisinstance(part, BOTH)", 1),
        ("from harness.parts.lead import Lead as Cable\nisinstance(part, Cable)", 1),
        ("isinstance(part, str)", 0),
        ("isinstance(part, WHOLE)", 0),
    ],
)
def test_every_way_to_ask_for_a_kind_is_counted(text: str, count: int) -> None:
    assert house.tests_of_kind(_module(text), house.kinds_of_part()) == count


def test_lines_of_code_leave_out_words_and_blanks() -> None:
    assert _module('"""Words\n\nmore."""\n\n# why\nx = 1\n').code == 1


def test_statements_are_as_many_however_they_are_laid_out() -> None:
    """What is one statement, simple or compound, is the language reference's, chapters 7 and 8."""
    text = (
        'def f(a):\n    """Words."""\n    if a:\n        return (1,\n                2)\n    pass\n'
    )
    assert _module(text).statements == 4
