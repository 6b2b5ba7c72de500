"""The protocol for other programs: CSV and JSON."""

from __future__ import annotations

from typing import Any

from harness.bench.build import protocol_of
from harness.bench.protocol import BenchTest, ExpectedRange, Protocol
from harness.bench.record import form_text, last_values
from harness.paper.records import as_csv, as_json
from harness.plan.results import JudgedValue, Record
from harness.rules.run import Report

COLUMNS = (
    "number", "id", "section", "test", "kind", "expected", "least", "most", "usual_least",
    "usual_most", "unit", "propellers", "origin", "when_it_fails", "parts", "labels",
    "last_measured", "last_date", "last_result",
)  # fmt: skip


def protocol_csv(report: Report, record: Record | None = None) -> str:
    """Return one record a test."""
    return as_csv(COLUMNS, _rows(protocol_of(report.wiring), record))


def empty_form(report: Report) -> str:
    """Return the form to write in what was measured."""
    return form_text(protocol_of(report.wiring))


def protocol_json(report: Report, record: Record | None = None) -> str:
    """Return the tests, and what is not tested."""
    protocol = protocol_of(report.wiring)
    body = {
        "aircraft": protocol.aircraft,
        "revision": protocol.revision,
        "tests": _rows(protocol, record),
        "unknown": protocol.unknown,
    }
    return as_json(body)


def _rows(protocol: Protocol, record: Record | None) -> list[dict[str, Any]]:
    last = last_values(record)
    found: list[dict[str, Any]] = []
    for section in protocol.sections:
        for test in section.tests:
            row = {"number": len(found) + 1, "section": section.title, **_test(test)}
            found.append(row | _last(last.get(test.id)))
    return found


def _test(test: BenchTest) -> dict[str, Any]:
    return {
        "id": test.id, "test": test.title, "kind": test.expected.kind,
        "expected": test.expected.text, **_limits(test), "propellers": test.propellers,
        "origin": test.origin, "when_it_fails": test.mend, "how": list(test.how),
        "parts": list(test.parts), "labels": list(test.codes),
    }  # fmt: skip


def _limits(test: BenchTest) -> dict[str, Any]:
    expected = test.expected
    if not isinstance(expected, ExpectedRange):
        empty = dict.fromkeys(("least", "most", "usual_least", "usual_most", "unit"))
        return {**empty, "answers": list(expected.choices)}
    usual = expected.usual or (None, None)
    return {"least": expected.low, "most": expected.high, "usual_least": usual[0],
            "usual_most": usual[1], "unit": expected.dimension.unit}  # fmt: skip


def _last(found: tuple[str, JudgedValue] | None) -> dict[str, Any]:
    day, judged = found or (None, JudgedValue())
    return {"last_measured": judged.measured or None, "last_date": day,
            "last_result": judged.result or None}  # fmt: skip
