"""The machinery: conversion, nearest names, a plan's own classes, broken files, speed."""

from __future__ import annotations

import csv
import subprocess
import sys
from pathlib import Path

import pytest

from harness.base.units import UnitError
from harness.catalogue import CatalogueError, UnknownClass, load
from harness.catalogue.tables import DATA, STATUSES, _written

CATALOGUE = load()
EVERY = [
    (table, row, key)
    for table in CATALOGUE.tables()
    for row in CATALOGUE.rows(table)
    for key in CATALOGUE.keys(table, row)
]


@pytest.mark.parametrize("at", EVERY, ids=" ".join)
def test_every_figure_has_number_unit_source_and_status(at: tuple[str, str, str]) -> None:
    value = CATALOGUE.require(*at)
    assert value.source.strip()
    assert value.status in STATUSES
    assert (value.number is None) == (value.unit == "")
    assert value.number is None or value.number >= 0
    assert (value.table, value.row, value.key) == at


def test_nothing_in_the_files_is_lost() -> None:
    lines = [line for path in sorted(DATA.glob("*.csv")) for line in _lines(path)]
    assert len(lines) == len(EVERY)
    read = {(CATALOGUE.require(*at).text, *at[1:]) for at in EVERY}
    written = {(f"{c[2]} {c[3]}" if c[3] not in {"", "1"} else c[2], c[0], c[1]) for c in lines}
    assert read == written


def _lines(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.reader(lines))[1:]


@pytest.mark.parametrize("table", CATALOGUE.tables())
def test_a_status_matches_its_source(table: str) -> None:
    for row in CATALOGUE.rows(table):
        for key in CATALOGUE.keys(table, row):
            value = CATALOGUE.require(table, row, key)
            assert ("memory" in value.source) == (value.status == "memory"), value
            assert ("common practice" in value.source) == (value.status == "common-practice")
            assert ("our own" in value.source) == (value.status == "invented"), value


@pytest.mark.parametrize("table", CATALOGUE.tables())
def test_a_key_has_one_unit_in_a_table(table: str) -> None:
    units: dict[str, set[str]] = {}
    for row in CATALOGUE.rows(table):
        for key in CATALOGUE.keys(table, row):
            units.setdefault(key, set()).add(CATALOGUE.require(table, row, key).unit)
    several = {key for key, found in units.items() if len(found) > 1}
    assert several <= ({"warning", "error", "margin"} if table == "rules" else set())


def test_missing_names_offer_the_nearest() -> None:
    assert CATALOGUE.value("servos", "no-such", "idle") is None
    for at, near in (
        (("servo", "5g", "idle"), '"servos"'),
        (("servos", "9g-analog", "idle"), '"9g-analogue"'),
        (("servos", "5g", "stal"), '"stall"'),
    ):
        with pytest.raises(UnknownClass) as fault:
            CATALOGUE.require(*at)
        assert near in str(fault.value)
        assert isinstance(fault.value, KeyError)


def test_words_are_not_numbers() -> None:
    with pytest.raises(UnknownClass, match="words"):
        CATALOGUE.number("servos", "5g", "kind")


def test_a_plan_brings_its_own_class() -> None:
    own = {"flap-servo": {"stall": ("1600 mA", "plan line 12"), "lead-wire": ("22 AWG", "plan")}}
    mine = CATALOGUE.with_rows("servos", own)
    value = mine.require("servos", "flap-servo", "stall")
    assert (value.number, value.unit, value.source, value.status) == (
        1.6, "A", "plan line 12", "plan",
    )  # fmt: skip
    assert CATALOGUE.value("servos", "flap-servo", "stall") is None
    assert mine.rows("servos")[-1] == "flap-servo"
    assert mine.value("servos", "5g", "stall") == CATALOGUE.value("servos", "5g", "stall")


def test_a_plan_overrides_one_figure_and_keeps_the_rest() -> None:
    mine = CATALOGUE.with_rows("rules", {"parallel": {"warning": ("30 mV", "plan line 3")}})
    assert mine.number("rules", "parallel", "warning") == 0.03
    assert mine.value("rules", "parallel", "error") == CATALOGUE.value("rules", "parallel", "error")


@pytest.mark.parametrize(
    ("table", "row", "key", "text"),
    [
        ("servos", "a", "stall", "1.6 V"),
        ("servos", "a", "stall", "1.6"),
        ("servos", "a", "lead-wire", "22"),
        ("plugs", "a", "contacts", "three"),
        ("packs", "a", "label-trust", "70"),
        ("rules", "parallel", "warning", "1 A"),
        ("rules", "ground-loop", "warning", "1 V"),
    ],
)
def test_a_wrong_unit_of_a_plans_class_is_refused(
    table: str, row: str, key: str, text: str
) -> None:
    with pytest.raises(UnitError):
        CATALOGUE.with_rows(table, {row: {key: (text, "plan")}})


@pytest.mark.parametrize(
    ("table", "key", "text", "told"),
    [
        ("servos", "stall", "999999999999 A", "is not believed: wanted is from [0-9.]+ mA to "),
        ("servos", "stall", "0 A", "is not believed: wanted is from"),
        ("servos", "lead-wire", "0.0001 mm2", "wanted is from [0-9.]+ mm2 to [0-9.]+ mm2"),
        ("plugs", "contacts", "999999999999", "wanted is from 0.01 to 800$"),
        ("packs", "usable", "101 %", "wanted is from [0-9.]+ % to 100 %"),
        ("packs", "charge-min", "999999999999 degC", "from -60 degC to 150 degC"),
        ("receivers", "volts-max", "201 V", "to 200 V"),
    ],
)
def test_a_figure_out_of_all_proportion_is_refused(
    table: str, key: str, text: str, told: str
) -> None:
    """A hundred times less or more than all classes, or what no amount of its kind may be."""
    with pytest.raises(UnitError, match=told):
        CATALOGUE.with_rows(table, {"a": {key: (text, "plan")}})


def test_a_plan_may_go_far_from_what_is_usual() -> None:
    for key, text in {"stall": "60 A", "idle": "1 mA", "volts-max": "30 V"}.items():
        CATALOGUE.with_rows("servos", {"a": {key: (text, "plan")}})


def test_an_unknown_figure_of_a_plans_class_is_refused() -> None:
    with pytest.raises(UnknownClass, match="stall"):
        CATALOGUE.with_rows("servos", {"a": {"stahl": ("1 A", "plan")}})


GOOD = "class,key,value,unit,source,status\n"


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("class,key\n", "columns"),
        ("", "columns"),
        (GOOD + "a,b,1,A,s,rumour\n", "made.csv:2"),
        (GOOD + "a,b,1,A, ,memory\n", "made.csv:2"),
        (GOOD + "a,b,one,A,s,memory\n", "made.csv:2"),
        (GOOD + "a,b,1,parsec,s,memory\n", "made.csv:2"),
        (GOOD + "a,b,1,A,s\n", "made.csv:2"),
        (GOOD + "a,b,1,A,s,memory\na,b,2,A,s,memory\n", "twice"),
    ],
)
def test_a_broken_table_is_refused_with_its_line(tmp_path: Path, text: str, part: str) -> None:
    path = tmp_path / "made.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(CatalogueError) as fault:
        for figures in _written(path).values():
            tuple(figures.values())
    assert part in str(fault.value)


def test_loading_imports_nothing_heavy() -> None:
    code = "import sys, harness.catalogue as c; c.load(); print(*sorted(sys.modules))"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    heavy = {"networkx", "reportlab", "jsonschema", "matplotlib", "numpy", "pint", "yaml"}
    assert not heavy & set(ran.stdout.split())
