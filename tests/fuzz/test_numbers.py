"""Every key that takes a number says from where to where, and refuses what lies outside.

The keys come from the shipped schemas by a walk of our own, the places from PyYAML's composer and
jsonschema (`numbers.py`); which values a number may have at its least and most is read from there.
"""

from __future__ import annotations

import re
from functools import cache

import pytest
from fuzz.mutate import seeds
from fuzz.numbers import Place, Schema, Walker, schema_of

from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.reading.problems import PlanError, Problem

WALKER = Walker(schema_of("plan"))


def limits(schema: Schema) -> tuple[float, float, str, str]:
    """Return least and most, each with its unit."""
    if "within" in schema:
        ((low, high),) = schema["within"].values()
        (least, of_least), (most, of_most) = (text.split(" ", 1) for text in (low, high))
        return float(least), float(most), f" {of_least}", f" {of_most}"
    least, most = schema["minimum"], schema["maximum"]
    return (
        (0, 100, " %", " %") if "string" in schema["type"] and most == 1 else (least, most, "", "")
    )


def is_whole(schema: Schema) -> bool:
    return "integer" in schema["type"]


def written(number: float) -> str:
    return f"{number:.12f}".rstrip("0").rstrip(".")


def outside(schema: Schema) -> dict[str, tuple[str, bool]]:
    """Return texts that lie outside, by what they are; whether the limits must be told."""
    least, most, of_least, of_most = limits(schema)
    some = 1.0 if is_whole(schema) else max(abs(most), 1) / 1000
    found = {"over": (written(most + some) + of_most, True),
             "huge": ("1e300" + of_most, True), "little": ("1e-300" + of_most, False),
             "no number": (".nan", False), "no end": (".inf", False)}  # fmt: skip
    if least > -1:
        found["under"] = ("-1" + of_most, True)
    if least and not is_whole(schema):
        found["just under"] = (
            written(least * 0.999 if least > 0 else least - some) + of_least,
            True,
        )
    if least > 0 and is_whole(schema):
        found["just under"] = (written(least - 1), True)
    return found


@cache
def places() -> dict[str, list[tuple[str, Place]]]:
    """Where each number stands in the plans: the smallest first."""
    found: dict[str, list[tuple[str, Place]]] = {}
    for name, text in sorted(seeds().items(), key=lambda seed: len(seed[1])):
        for place in WALKER.places(text):
            found.setdefault(place.key, []).append((name, place))
    return found


def problems(text: str) -> list[Problem]:
    try:
        parse_plan(Source("plan.yaml", text))
    except PlanError as error:
        return list(error.problems)
    return []


@pytest.mark.parametrize("name", ["plan", "results"])
def test_every_number_says_from_where_to_where(name: str) -> None:
    numbers = Walker(schema_of(name)).numbers
    bare = [
        key for key, schema in numbers.items()
        if "within" not in schema and not {"minimum", "maximum"} <= set(schema)
    ]  # fmt: skip
    assert numbers and bare == []


def test_every_number_stands_in_some_plan() -> None:
    assert sorted(set(WALKER.numbers) - set(places())) == []


WRONG = ["over", "huge", "little", "no number", "no end", "under", "just under"]


@pytest.mark.parametrize("what", WRONG)
def test_what_lies_outside_is_refused_at_its_place_with_the_range(what: str) -> None:
    """Each number alone: one line, where it stands, with the value and both limits."""
    for key, schema in WALKER.numbers.items():
        if what not in (values := outside(schema)):
            continue
        (name, place), (value, ranged) = places()[key][0], values[what]
        told = problems(place.put(seeds()[name], value))
        assert [(p.span.line, p.span.column) for p in told] == [(place.line, place.column)], key
        said = f"{told[0].message} {told[0].help}"
        low, high, of_low, of_high = limits(schema)
        assert re.search(rf'(?<!\S)"?{re.escape(value)}"? ', said), (key, said)
        for limit in (written(low) + of_low, written(high) + of_high) if ranged else ():
            assert re.search(rf"(?<!\S){re.escape(limit)}(?![\w.])", said), (key, said)
