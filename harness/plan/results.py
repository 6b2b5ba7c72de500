"""What was measured on the bench: the results file, and the record that keeps it beside the plan.

What a value means (a number of volts, yes or no, a direction) only the test knows, so it stays the
text that was written, with its place in the file; `harness.bench.values` reads it.
`python -m harness.plan.results FILE` writes the JSON Schema of a results file.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Mapping as AbcMapping
from dataclasses import dataclass, field
from datetime import date as day
from pathlib import Path
from typing import Any, TypeVar

from harness.base.files import write_whole
from harness.base.span import START, Source, Span
from harness.reading.kinds import BAD, Choice, Kind, ListOf, MapOf, Reading, Schema, Text, Whole
from harness.reading.nodes import Mapping, Node, Scalar, compose, is_empty
from harness.reading.problems import PlanError, Problem
from harness.reading.records import RecordOf, key, keys_of, read_record, record_schema
from harness.reading.text import read_source

T = TypeVar("T")
RESULTS_ENDING = ".results"
RECORD_ENDING = ".record"
NOT_PLANS = (RESULTS_ENDING, RECORD_ENDING)
"""What stands before `.yaml` in the name of a file that lies beside plans and is none."""

VERDICTS: AbcMapping[str, str] = {
    "pass": "as expected",
    "fail": "not as expected",
    "not a test here": "the plan has no such test",
}


class Date(Kind):
    """A day: year, month, day."""

    noun = "a day such as 2026-10-02"
    _shape = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the text of a day that exists."""
        try:
            if self._shape.match(node.text):
                return day.fromisoformat(node.text).isoformat()
        except ValueError:
            return at.wrong(f'there is no day "{node.text}"', node.span)
        help_ = "write year, month, day: 2026-10-02"
        return at.wrong(f'"{node.text}" is not {self.noun}', node.span, help_)

    def schema(self) -> Schema:
        """A text of ten signs."""
        return {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}


class IdOfTest(Kind):
    """The id of a test: words joined by dots."""

    noun = 'the id of a test, such as "bec-volts.radio-supply"'

    def scalar(self, node: Scalar, at: Reading) -> Any:
        """Return the id; whether there is such a test is asked later."""
        if node.text and not any(sign.isspace() for sign in node.text):
            return node.text
        return at.wrong(f'"{node.text}" is not {self.noun}', node.span)

    def schema(self) -> Schema:
        """A text without spaces."""
        return {"type": "string", "pattern": r"^\S+$"}


class Version(Whole):
    """The version of the format; there is only one so far."""

    def __init__(self, word: str) -> None:
        super().__init__(1, 1)
        self.word = word

    @property
    def noun(self) -> str:  # type: ignore[override]
        """Say what to write."""
        return f"a known version of the format; write `{self.word}: 1`"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """What was measured in one test. `span`: where its id stands; the text is "" when not done."""

    measured: str = key(Text(), "the value with its unit, yes or no, or the word seen", default="")
    note: str = key(Text(), "a remark", default="")
    span: Span = START
    spans: AbcMapping[str, Span] = field(default_factory=dict)

    @property
    def place(self) -> Span:
        """Where the value stands, or the id when there is none."""
        return self.spans.get("measured", self.span)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged(Measured):
    """A measured value as the record keeps it: with what was expected on that day."""

    expected: str = key(Text(), "what was expected when it was recorded", default="")
    result: str = key(Choice(VERDICTS), "how it came out", default="")


@dataclass(frozen=True)
class ByTest(Kind):
    """From the ids of tests to what was measured; a bare value stands for `measured`."""

    cls: type[Measured]
    noun = "a mapping from tests to what was measured"

    def read(self, node: Node, at: Reading) -> Any:
        """Return a dict in the order of the file; tests without a value are in it."""
        if is_empty(node):
            return {}
        if not isinstance(node, Mapping):
            return at.wrong(f"wanted is {self.noun}", node.span, "write `test: value`")
        found = {}
        for entry in node.entries.values():
            name = IdOfTest().read(entry.key, at)
            one = self._one(entry.node, entry.key.span, at)
            if name is not BAD and one is not BAD:
                found[name] = one
        return found

    def _one(self, node: Node, span: Span, at: Reading) -> Any:
        if isinstance(node, Scalar) and not is_empty(node):
            return self.cls(measured=node.text, span=span, spans={"measured": node.span})
        if isinstance(node, Mapping):
            known = keys_of(self.cls)
            entries = {
                w: e for w, e in node.entries.items() if w not in known or not is_empty(e.node)
            }
            return read_record(self.cls, Mapping(entries, node.span), at, span=span)
        if is_empty(node):
            return self.cls(span=span)
        return at.wrong("here stands a list, wanted is one value", node.span)

    def schema(self) -> Schema:
        """A value, nothing, or a record."""
        value: Schema = {"type": ["string", "number", "boolean", "null"]}
        return {
            "type": ["object", "null"],
            "propertyNames": IdOfTest().schema(),
            "additionalProperties": {"anyOf": [value, record_schema(self.cls)]},
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class Results:
    """A results file. `expected`: what each test expected when the form was printed."""

    results: int = key(Version("results"), "format version", must=True)
    aircraft: str = key(Text(), "the name of the aeroplane, as in the plan", must=True)
    revision: str = key(Text(), "the revision of the plan the form was made from", must=True)
    date: str = key(Date(), "the day of the tests", must=True)
    about: str = key(Text(), "who, where, which meter", default="")
    tests: AbcMapping[str, Measured] = key(ByTest(Measured), "what was measured", must=True)
    expected: AbcMapping[str, str] = key(
        MapOf(IdOfTest(), Text()), "what each test expected of that revision", default={}
    )
    source: Source = Source("", "")
    span: Span = START
    spans: AbcMapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What was recorded at one time. `judged`: by which revision, if not by the form's own."""

    date: str = key(Date(), "the day of the tests", must=True)
    revision: str = key(Text(), "the revision of the plan the form was made from", must=True)
    judged: str = key(Text(), "the revision it was judged by, if another", default="")
    about: str = key(Text(), "who, where, which meter", default="")
    tests: AbcMapping[str, Judged] = key(ByTest(Judged), "what was measured", must=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """Everything that was recorded of one aeroplane, in order of date."""

    record: int = key(Version("record"), "format version", must=True)
    aircraft: str = key(Text(), "the name of the aeroplane, as in the plan", must=True)
    entries: tuple[Entry, ...] = key(ListOf(RecordOf(Entry)), "by date", must=True)
    source: Source = Source("", "")
    spans: AbcMapping[str, Span] = field(default_factory=dict)


def load_results(path: str) -> Results:
    """Read the results at `path` (`-`: standard input). Raises PlanError."""
    start = "`harness protocol PLAN --to yaml` prints a form to fill in"
    return parse_results(read_source(path, "a results file", start))


def parse_results(source: Source) -> Results:
    """Read results from their text. Raises PlanError with every problem found."""
    return _parsed(Results, source, "a results file is a mapping that starts with `results: 1`")


def load_record(path: str) -> Record:
    """Read the record at `path`. Raises PlanError."""
    return parse_record(read_source(path, "a record", "move it away to begin a new one"))


def parse_record(source: Source) -> Record:
    """Read a record from its text. Raises PlanError with every problem found."""
    return _parsed(Record, source, "a record is a mapping that starts with `record: 1`")


def _parsed(cls: type[T], source: Source, wanted: str) -> T:
    top = compose(source)
    if not isinstance(top, Mapping):
        raise PlanError(source, [Problem(wanted, top.span)])
    at = Reading()
    optional = {k.word for k in keys_of(cls).values() if not k.required}
    entries = {w: e for w, e in top.entries.items() if w not in optional or not is_empty(e.node)}
    found = read_record(cls, Mapping(entries, top.span), at, source=source)
    if at.problems:
        raise PlanError(source, at.problems)
    return found  # type: ignore[no-any-return]


def results_schema() -> Schema:
    """Return the JSON Schema 2020-12 of a results file."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:harness:results:1",
        "title": "What was measured on the bench, by the tests of a wiring plan's protocol",
        **record_schema(Results),
    }


def results_schema_text() -> str:
    """Return the schema as it stands in `schemas/results.schema.json`."""
    return json.dumps(results_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    write_whole(Path(sys.argv[1]), results_schema_text())
