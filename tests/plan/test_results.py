"""Results files: what is read, where it stands, and what is refused with file, line and column."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from harness.base.span import Source
from harness.plan.results import parse_record, parse_results, results_schema, results_schema_text
from harness.reading.problems import PlanError

ROOT = Path(__file__).parents[2]
HEAD = 'results: 1\naircraft: Test\nrevision: "12345678"\ndate: 2026-10-02\n'
GOOD = HEAD + "tests:\n  rail-rest.rx: 6.02 V\n  failsafe.3: off\n  range:\n"
VALIDATOR = jsonschema.Draft202012Validator(results_schema())


def read(text: str) -> Any:
    return parse_results(Source("r.yaml", text))


def refused(text: str) -> list[tuple[int, int, str, str]]:
    with pytest.raises(PlanError) as error:
        read(text)
    return [(p.span.line, p.span.column, p.message, p.help) for p in error.value.problems]


def test_values_keep_their_text_and_their_place() -> None:
    found = read(GOOD)
    assert {name: one.measured for name, one in found.tests.items()} == {
        "rail-rest.rx": "6.02 V",
        "failsafe.3": "off",
        "range": "",
    }
    value = found.tests["rail-rest.rx"]
    assert (value.place.line, value.place.column, value.span.column) == (6, 17, 3)
    assert found.date == "2026-10-02"


def test_a_value_may_have_a_remark() -> None:
    found = read(
        HEAD + "tests:\n  range: {measured: yes, note: at 30 steps}\n  x.y: {note: later}\n"
    )
    assert (found.tests["range"].measured, found.tests["range"].note) == ("yes", "at 30 steps")
    assert (found.tests["x.y"].measured, found.tests["x.y"].note) == ("", "later")


WRONG = [
    (GOOD.replace("date: 2026-10-02\n", ""), 1, 'the key "date" is missing'),
    (GOOD.replace("2026-10-02", ""), 4, "nothing stands here, wanted is a day"),
    (GOOD.replace("2026-10-02", "2.10.2026"), 4, '"2.10.2026" is not a day'),
    (GOOD.replace("2026-10-02", "2026-02-30"), 4, 'there is no day "2026-02-30"'),
    (GOOD.replace("results: 1", "results: 2"), 1, "known version"),
    (GOOD.replace("revision:", "revison:"), 3, '"revison" is not a key here'),
    (GOOD + "  rail-rest.rx: 6 V\n", 9, "stands here twice: first on line 6"),
    (GOOD + "  two words: 6 V\n", 9, "not the id of a test"),
    (GOOD + "  a.b: [6 V]\n", 9, "here stands a list, wanted is one value"),
    (GOOD + "  a.b: {value: 6 V}\n", 9, '"value" is not a key here'),
    (HEAD + "tests: [a, b]\n", 5, "wanted is a list of tests"),
    (
        HEAD + "tests:\n  a.b: {measured: 8 s, slow at first}\n",
        6,
        '"slow at first" has no colon and no value',
    ),
    ("- results\n", 1, "a results file begins with"),
    ("plan: 1\naircraft: Test\n", 1, '"plan" is not a key here'),
]


@pytest.mark.parametrize(("text", "line", "said"), WRONG)
def test_what_is_wrong_is_told_with_its_line(text: str, line: int, said: str) -> None:
    told = refused(text)
    assert [spot for spot in told if spot[0] == line and said in spot[2]], told


def test_the_nearest_key_is_offered() -> None:
    told = refused(GOOD.replace("aircraft:", "aircaft:"))
    assert ('"aircaft" is not a key here', 'did you mean "aircraft"?') in {t[2:] for t in told}


@pytest.mark.parametrize("text", [t for t, _, _ in WRONG if "twice" not in _])
def test_the_schema_refuses_the_same(text: str) -> None:
    """But for days that do not exist: a pattern cannot count the days of February."""
    if "02-30" not in text:
        assert not VALIDATOR.is_valid(as_editor_reads(text))


def as_editor_reads(text: str) -> Any:
    data = yaml.load(text, Loader=yaml.BaseLoader)
    return {**data, **_numbers(text)} if isinstance(data, dict) else data


def _numbers(text: str) -> dict[str, Any]:
    """The version is the one whole number of a results file, and an empty value is nothing."""
    data = yaml.load(text, Loader=yaml.SafeLoader)
    if not isinstance(data, dict):
        return {}
    keep = {"results": data["results"]} if "results" in data else {}
    return keep | ({"date": data["date"]} if data.get("date", "") is None else {})


def test_the_schema_accepts_what_is_read() -> None:
    VALIDATOR.validate(as_editor_reads(GOOD))
    jsonschema.Draft202012Validator.check_schema(results_schema())


def test_committed_schema_is_the_readers_own() -> None:
    path = ROOT / "schemas" / "results.schema.json"
    assert path.read_text("utf-8") == results_schema_text()


def test_the_example_is_valid() -> None:
    text = (ROOT / "examples" / "saltmarsh-19.results.yaml").read_text("utf-8")
    VALIDATOR.validate(as_editor_reads(text))


def test_a_record_is_no_results_file() -> None:
    with pytest.raises(PlanError, match='"results" is not a key here'):
        parse_record(Source("r.yaml", GOOD))
