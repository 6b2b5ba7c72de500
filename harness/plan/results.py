"""What was measured on the bench: the results file, and the record that keeps it beside the plan.

What a value means (a number of volts, yes or no, a direction) only the test knows, so it stays the
text that was written, with its place in the file; `harness.bench.compare` reads it.
`python -m harness.plan.results FILE` writes the JSON Schema of a results file.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Mapping as AbcMapping
from datetime import date as day
from pathlib import Path
from typing import Any, ClassVar

from harness.base.data import dataclass, field, replace
from harness.base.files import write_whole
from harness.base.span import START, Source, Span
from harness.reading.kinds import (
    END_OF_TEXT,
    Choice,
    FreeText,
    Kind,
    ListOf,
    MapOf,
    Schema,
    Version,
    or_nothing,
)
from harness.reading.nodes import Mapping, Node, Scalar, compose
from harness.reading.problems import PlanError, Problem, Reading
from harness.reading.records import RecordOf, key
from harness.reading.structure import SchemaJudge, judge, judge_of, shipped
from harness.reading.text import read_source

RESULTS_ENDING = ".results"
RECORD_ENDING = ".record"
NOT_PLANS = (RESULTS_ENDING, RECORD_ENDING)
"""What stands before `.yaml` in the name of a file that lies beside plans and is none."""

VERDICTS: AbcMapping[str, str] = {
    "pass": "as expected",
    "fail": "not as expected",
    "not a test here": "the plan has no such test",
}


_DATE = "[0-9]{4}-[0-9]{2}-[0-9]{2}"


class Date(Kind):
    """A day that exists: year, month, day."""

    called = "a day such as 2026-10-02"
    shape: ClassVar = {"type": "string", "pattern": f"^{_DATE}{END_OF_TEXT}", "format": "date"}
    advice = "write year, month, day: 2026-10-02"

    def read(self, text: str) -> str:
        """Return the text; where only the day is wrong, say that."""
        if re.fullmatch(_DATE, text):
            try:
                day.fromisoformat(text)
            except ValueError:
                raise ValueError(f'there is no day "{text}"') from None
        return text


class IdOfTest(Kind):
    """The id of a test: words joined by dots; whether there is such a test is asked later."""

    called = 'the id of a test, such as "bec-volts.radio-supply"'
    shape: ClassVar = {"type": "string", "pattern": rf"^\S+{END_OF_TEXT}"}


class OneValue(FreeText):
    """What was measured, as it was written."""

    called = "one value"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredValue:
    """What was measured in one test. `span`: where its id stands; the text is "" when not done."""

    measured: str = key(
        OneValue(), "the value with its unit, yes or no, or the word seen", default=""
    )
    note: str = key(FreeText(), "a remark", default="")
    span: Span = START
    spans: AbcMapping[str, Span] = field(default_factory=dict)

    @property
    def place(self) -> Span:
        """Where the value stands, or the id when there is none."""
        return self.spans.get("measured", self.span)


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedValue(MeasuredValue):
    """A measured value as the record keeps it: with what was expected on that day."""

    expected: str = key(FreeText(), "what was expected when it was recorded", default="")
    result: str = key(Choice(VERDICTS), "how it came out", default="")


class ByTest(MapOf):
    """From the ids of tests to what was measured; a bare value stands for `measured`."""

    called = "a list of tests with what was measured"

    def __init__(self, cls: type[MeasuredValue]) -> None:
        super().__init__(IdOfTest(), RecordOf(cls, short="measured", optional=True), of="tests")

    def schema(self) -> Schema:
        """A form may be empty, and so may each of its tests."""
        return or_nothing(super().schema())

    def refuse(self, node: Node, at: Reading, schema: Schema, key: Scalar | None = None) -> None:
        """Say how a mapping is written."""
        at.wrong(f"wanted is {self.noun}", node.span, "write `test: value`")


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """A results file. `expected`: what each test expected when the form was printed."""

    results: int = key(Version(word="results"), "format version", must=True)
    aircraft: str = key(FreeText(), "the name of the aeroplane, as in the plan", must=True)
    revision: str = key(FreeText(), "the revision of the plan the form was made from", must=True)
    date: str = key(Date(), "the day of the tests", must=True)
    about: str = key(FreeText(), "who, where, which meter", default="")
    tests: AbcMapping[str, MeasuredValue] = key(
        ByTest(MeasuredValue), "what was measured", must=True
    )
    expected: AbcMapping[str, str] = key(
        MapOf(IdOfTest(), FreeText()), "what each test expected of that revision", default={}
    )
    source: Source = Source("", "")
    span: Span = START
    spans: AbcMapping[str, Span] = field(default_factory=dict)


FORM = RecordOf(Results, optional=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultEntry:
    """What was recorded at one time. `judged`: by which revision, if not by the form's own."""

    date: str = key(Date(), "the day of the tests", must=True)
    revision: str = key(FreeText(), "the revision of the plan the form was made from", must=True)
    judged: str = key(FreeText(), "the revision it was judged by, if another", default="")
    about: str = key(FreeText(), "who, where, which meter", default="")
    tests: AbcMapping[str, JudgedValue] = key(ByTest(JudgedValue), "what was measured", must=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """Everything that was recorded of one aeroplane, in order of date."""

    record: int = key(Version(word="record"), "format version", must=True)
    aircraft: str = key(FreeText(), "the name of the aeroplane, as in the plan", must=True)
    entries: tuple[ResultEntry, ...] = key(ListOf(RecordOf(ResultEntry)), "by date", must=True)
    source: Source = Source("", "")
    spans: AbcMapping[str, Span] = field(default_factory=dict)


def load_results(path: str) -> Results:
    """Read the results at `path` (`-`: standard input). Raises PlanError."""
    start = "`harness protocol PLAN --to yaml` prints a form to fill in"
    return parse_results(read_source(path, "a results file", start))


def parse_results(source: Source) -> Results:
    """Read results from their text. Raises PlanError with every problem found."""
    wanted = "a results file begins with `results: 1`"
    return _parsed(FORM, shipped("results"), source, wanted)  # type: ignore[no-any-return]


def load_record(path: str) -> Record:
    """Read the record at `path`. Raises PlanError."""
    return parse_record(read_source(path, "a record", "move it away to begin a new one"))


def parse_record(source: Source) -> Record:
    """Read a record from its text. Raises PlanError with every problem found."""
    kind = RecordOf(Record, optional=True)
    wanted = "a record begins with `record: 1`"
    return _parsed(kind, judge_of(kind.schema()), source, wanted)  # type: ignore[no-any-return]


def _parsed(kind: RecordOf, by: SchemaJudge, source: Source, wanted: str) -> Any:
    top = compose(source)
    if not isinstance(top, Mapping):
        raise PlanError(source, [Problem(wanted, top.span)])
    at = Reading()
    judge(by, kind, top, at)
    if at.problems:
        raise PlanError(source, at.problems)
    return replace(kind.convert(top), source=source)


def results_schema() -> Schema:
    """Return the JSON Schema 2020-12 of a results file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:harness:results:1",
        "title": "What was measured on the bench, by the tests of a wiring plan's protocol",
        **FORM.schema(),
    }


def results_schema_text() -> str:
    """Return the schema as it stands in `schemas/results.schema.json`."""
    return json.dumps(results_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    write_whole(Path(sys.argv[1]), results_schema_text())
