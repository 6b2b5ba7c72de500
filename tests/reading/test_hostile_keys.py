"""Every key of airframe, kit, wishes and radio with values nobody means: told with its place.

Either a value is refused on its own line, or the plan is judged and every document is made.
What the published schema refuses (jsonschema is the judge), the reader refuses too.
"""

from __future__ import annotations

import json
import re

import jsonschema
import pytest
import yaml

from harness.airframe.kit import kit_of
from harness.base.span import Source
from harness.bench.build import protocol_of
from harness.documents.lengths import lengths_figures
from harness.documents.steps import steps_json
from harness.documents.transmitter import transmitter_json
from harness.parts.spot import Spot
from harness.plan.airframe import Cover, Duct, Place
from harness.plan.kit import KitPiece
from harness.plan.load import parse_plan
from harness.plan.radio import Channel, Transmitter, Wish
from harness.plan.schema import plan_schema
from harness.reading.problems import PlanError
from harness.reading.records import keys_of
from harness.rules.run import check

PLAN = """\
plan: 1
aircraft: Test
receivers: {rx: {sockets: 4, place: hull}}
servos: {a-left: {class: 9g-analogue, moves: aileron, place: wing, plug: long.1}}
leads: {long: {kind: extension, length: 600 mm, plug: rx.1, place: hull}}
places:
  hull: {at: 500 mm}
  wing: {joins: hull, side: left, at: {aft: 400 mm, out: 300 mm}}
"""
VALUES = [
    "", "0", "-1", "1e99", "999", "1000", "0 mm", "-5 mm", "1e12 mm", "1 km", "100", "0.0001 mm",
    '""', '" "', '"\\n"', "[]", "{}", "[[]]", "{a: b}", "[hull, hull]", "[hull, wing]", "nowhere",
    "~", "yes", "true", ".inf", ".nan", "hull", "wing", "rx", "rx.1", "*anchor", "&anchor x",
    "!!int 3", "ü" * 200, '"' + "w" * 5000 + '"', "{aft: -1 mm}", "{out: 3 mm}",
    "{aft: 1e9 mm, out: 1 m}", "[1, 2, 3]", "60 % / 100 %", "100 / 100 %", "1500 us", "12:30",
]  # fmt: skip
STARTS = {
    Place: ("places", {"joins": "hull"}, "  bay: {"),
    Duct: ("ducts", {"between": "[hull, wing]"}, "  tube: {"),
    Cover: ("covers", {"over": "wing", "kind": "hatch"}, "  lid: {"),
    KitPiece: ("kit", {"kind": "servo"}, "  - {"),
    Wish: ("wishes", {"wish": "own-trim", "of": "aileron"}, "  - {"),
    Channel: ("channels", {"function": "aileron"}, "  1: {"),
    Transmitter: ("transmitter", {}, "  {"),
    Spot: ("places", {"aft": "1 mm"}, "  bay: {joins: wing, at: {"),
}  # fmt: skip
"""Where a record stands: the key of the plan, what it must have, how its line begins."""
CASES = [(cls, key.word) for cls in STARTS for key in keys_of(cls).values()]
SCHEMA = jsonschema.Draft202012Validator(plan_schema())


def text_of(cls: type, word: str, value: str) -> tuple[str, int]:
    """Return a plan in which a key has a value, and its line."""
    group, must, start = STARTS[cls]
    keys = {**must, word: value}
    line = start + ", ".join(f"{w}: {v}" for w, v in keys.items()) + "}" * start.count("{")
    head = PLAN if group == "places" else f"{PLAN}{group}:\n"
    return f"{head}{line}\n", head.count("\n") + 1


@pytest.mark.parametrize(("cls", "word"), CASES)
def test_no_value_of_a_key_is_met_with_anything_but_words(cls: type, word: str) -> None:
    for value in VALUES:
        text, line = text_of(cls, word, value)
        try:
            report = check(parse_plan(Source("plan.yaml", text)))
        except PlanError as error:
            assert all(p.message and p.span.line == line for p in error.problems), (value, text)
            continue
        assert allowed(text), (value, "the schema refuses what the reader takes")
        assert steps_json(report) and transmitter_json(report)
        assert protocol_of(report.wiring).tests
        assert lengths_figures(report.wiring) and kit_of(report.plan)


def allowed(text: str) -> bool:
    text = re.sub(": (yes|true)", r': "\1"', text)  # the reader leaves every word a text
    return SCHEMA.is_valid(json.loads(json.dumps(yaml.safe_load(text))))


@pytest.mark.parametrize(
    ("piece", "said"),
    [
        ("{kind: servo, class: 9g-analog}", 'there is no class "9g-analog" of servos'),
        ("{kind: extension, connector: XT61}", 'there is no class "XT61" of plugs'),
    ],
)
def test_a_class_of_the_kit_is_one_of_the_catalogue(piece: str, said: str) -> None:
    """As a class of a part is: else a slip of the pen is bought a second time."""
    text = f"{PLAN}kit:\n  - {piece}\n"
    with pytest.raises(PlanError) as error:
        parse_plan(Source("plan.yaml", text))
    (problem,) = error.value.problems
    assert (problem.message, problem.span.line) == (said, 10)
    assert problem.span.column == text.splitlines()[9].rindex(": ") + 3
    assert problem.help


def test_an_id_may_be_long_and_foreign_and_stands_once() -> None:
    long = "ä" * 200
    for group, body in (("places", "joins: hull"), ("ducts", "between: [hull, wing]"),
                        ("covers", "over: wing, kind: hatch")):  # fmt: skip
        head = PLAN if group == "places" else f"{PLAN}{group}:\n"
        line = f"  ? {long}\n  : {{{body}}}\n"
        plan = check(parse_plan(Source("plan.yaml", head + line))).plan
        assert long in getattr(plan, group)
        with pytest.raises(PlanError, match="stands here twice"):
            parse_plan(Source("plan.yaml", head + line * 2))
