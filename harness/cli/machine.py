"""Reports for other programs: JSON of our own shape, and SARIF 2.1.0 (an OASIS standard)."""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Sequence
from pathlib import PurePath
from typing import Any
from urllib.parse import quote

from harness import __version__
from harness.base.finding import Finding, Severity
from harness.base.span import Span
from harness.facts.mend_first import first_words
from harness.reading.problems import PlanError
from harness.rules.rule import RULES
from harness.rules.run import Report

LEVEL = {
    Severity.DANGER: "error",
    Severity.ERROR: "error",
    Severity.WARNING: "warning",
    Severity.NOTE: "note",
}
SARIF = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"


def to_json(reports: Iterable[Report], errors: Iterable[PlanError]) -> str:
    """Return every finding, unknown, acceptance and problem as one JSON document."""
    body = {
        "plans": [_plan(report) for report in reports],
        "not_understood": [
            {"file": e.source.name, "message": p.message, "help": p.help, **_place(p.span)}
            for e in errors
            for p in e.problems
        ],
    }
    return json.dumps(body, indent=2)


def _plan(report: Report) -> dict[str, Any]:
    return {
        "file": report.plan.source.name,
        "aircraft": report.plan.aircraft,
        "revision": report.plan.revision,
        "parts": len(report.plan.parts),
        "findings": [_finding(f) for f in report.findings],
        "not_known": [
            {"rule": u.rule, "part": u.part, "missing": u.missing, **_place(u.span)}
            for u in report.unknown
        ],
        "not_judged": {
            "rules": list(report.waiting),
            "while": [{"rule": f.rule, **_place(f.span)} for f in report.first],
        },
        "accepted": [{**_finding(a.finding), "because": a.because} for a in report.accepted],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "severity": finding.severity.word,
        "message": finding.message,
        "help": finding.help,
        "parts": list(finding.parts),
        "numbers": _numbers(finding),
        "also": [{"what": what, **_place(span)} for span, what in finding.also],
        **_place(finding.span),
    }


def _numbers(finding: Finding) -> list[dict[str, str]]:
    return [{"what": what, "value": value} for what, value in finding.numbers]


def _place(span: Span) -> dict[str, int]:
    return {
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
    }


def to_sarif(reports: Sequence[Report], errors: Iterable[PlanError]) -> str:
    """Return a SARIF 2.1.0 log with one run: rules with their pages, results with regions."""
    results = [
        _result(report.plan.source.name, finding, because)
        for report in reports
        for finding, because in (
            *((f, None) for f in report.findings),
            *((a.finding, a.because) for a in report.accepted),
        )
    ]
    driver = {
        "name": "harness",
        "version": __version__,
        "rules": [
            {
                "id": rule.name,
                "shortDescription": {"text": rule.summary},
                "fullDescription": {"text": rule.page},
                "defaultConfiguration": {"level": LEVEL[rule.severity]},
                "properties": {"severities": [s.word for s in sorted(rule.severities)[::-1]]},
            }
            for rule in sorted(RULES.values(), key=lambda r: r.name)
        ],
    }
    notes = [_notification(e) for e in errors]
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "invocations": [
            {
                "executionSuccessful": not notes,
                "toolConfigurationNotifications": [n for group in notes for n in group],
                "toolExecutionNotifications": [
                    {
                        "level": "warning",
                        "associatedRule": {"id": rule},
                        "message": {"text": f"{rule} was not judged: {first_words(r.wiring)}"},
                        "locations": [_location(r.plan.source.name, r.first[0].span)],
                    }
                    for r in reports
                    for rule in r.waiting
                ],
            }
        ],
        "results": results,
    }
    return json.dumps({"$schema": SARIF, "version": "2.1.0", "runs": [run]}, indent=2)


def _result(name: str, finding: Finding, because: str | None) -> dict[str, Any]:
    text = f"{finding.message}; {finding.help}" if finding.help else finding.message
    result: dict[str, Any] = {
        "ruleId": finding.rule,
        "level": LEVEL[finding.severity],
        "message": {"text": text},
        "locations": [_location(name, finding.span)],
        "properties": {
            "severity": finding.severity.word,
            "parts": list(finding.parts),
            "numbers": _numbers(finding),
        },
    }
    if finding.also:
        places = [{**_location(name, at), "message": {"text": what}} for at, what in finding.also]
        result["relatedLocations"] = places
    if because is not None:
        result["suppressions"] = [{"kind": "inSource", "justification": because}]
    return result


def _location(name: str, span: Span) -> dict[str, Any]:
    region = {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": span.end_line,
        "endColumn": span.end_column,
    }
    uri = quote(os.fsencode(PurePath(name).as_posix()))
    return {"physicalLocation": {"artifactLocation": {"uri": uri}, "region": region}}


def _notification(error: PlanError) -> list[dict[str, Any]]:
    return [
        {
            "level": "error",
            "message": {"text": f"{p.message}; {p.help}" if p.help else p.message},
            "locations": [_location(error.source.name, p.span)],
        }
        for p in error.problems
    ]
