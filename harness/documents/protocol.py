"""The bench protocol: numbered tests, what is expected and why; to print, and as CSV and JSON."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby
from typing import Any

from harness.base.near import capital, masked, numbers, told_once
from harness.bench.build import protocol_of
from harness.bench.compare import Correction, ReadValue, proposals, value_of
from harness.bench.protocol import BenchTest, ExpectedRange, Protocol, Section
from harness.bench.record import commented, form_text, last_values
from harness.documents.cautions import cautions, faults_first, faults_text
from harness.documents.index import title_of
from harness.documents.results import offer
from harness.facts.motion import Turning
from harness.paper.blocks import BLANK, Block, Chapter, Heading, Paper, Points, Say
from harness.paper.records import as_csv, as_json
from harness.paper.sheet import (
    Cell,
    Column,
    Note,
    PlainRow,
    Table,
    amounts,
    grouped,
    headings,
    noted,
    table,
)
from harness.plan.results import JudgedValue, Record
from harness.reading.problems import Reading
from harness.rules.run import Report

Last = Mapping[str, tuple[str, JudgedValue]]
"""The last value of tests, with its date."""

_LINE = re.compile(r"plan line ([0-9]+)")
TONES = {"pass": "ok", "fail": "danger"}
SHORT = 1500
"""Letters of what to do when tests fail that stand in one row: more are broken between rows."""


def protocol_paper(report: Report, record: Record | None = None, told: str = "") -> Paper:
    """Return the protocol to print. `told`: why a record that exists could not be shown."""
    plan = report.plan
    return Paper(
        f"Bench protocol of {plan.aircraft}",
        "What to test from the box to the first flight, and what the plan leads one to expect.",
        plan.revision,
        (protocol_chapter(report, record, told),),
    )


def protocol_chapter(
    report: Report, record: Record | None = None, told: str = "", *, brief: bool = False
) -> Chapter:
    """Return the protocol as a chapter; with a record, the last values stand beside.

    `brief`: alike tests in one row, no origins, and no cautions, which stand before it.
    """
    protocol = protocol_of(report.wiring)
    last = last_values(record)
    blocks: list[Block] = list(faults_first(report))
    blocks += [] if brief else [Points(tuple(map(Cell, cautions(report.plan))))]
    if told:
        blocks.append(Say(told, "warning"))
    numbered = list(_numbered(protocol))
    if brief:
        blocks.append(_in_one(numbered, last, protocol))
    else:
        blocks += (block for one in numbered for block in _section(*one, last, protocol.turning))
    blocks += _foot(protocol, last)
    return Chapter("protocol", title_of("protocol"), tuple(blocks))


Tests = list[tuple[int, BenchTest]]


def _numbered(protocol: Protocol) -> Iterator[tuple[Section, Tests]]:
    number = 1
    for section in protocol.sections:
        yield section, list(enumerate(section.tests, number))
        number += len(section.tests)


def _columns(shown: bool) -> tuple[Column, ...]:
    before = ["last measured"] if shown else []
    return headings(*amounts("no"), "test", "expected", *before, "measured", "passed")


def _section(section: Section, tests: Tests, last: Last, turning: Turning) -> Iterator[Block]:
    yield Heading(section.title)
    if section.about:
        yield Say(f"{capital(section.about)}.")
    shown = any(test.id in last for test in section.tests)
    yield table("", _columns(shown), (_row(n, t, last, shown, turning) for n, t in tests))
    yield Note("When one fails", _gathered((n, test.mend) for n, test in tests))
    yield Note("Where it comes from", _origins(tests))


def _in_one(found: list[tuple[Section, Tests]], last: Last, protocol: Protocol) -> Table:
    """Return all tests in one table, those alike but for their names in one row, what to do below.

    Each figure has a row of its own.
    """
    names = {word for t in protocol.tests.values() for word in (*t.parts, *t.codes)}
    shown = not last.keys().isdisjoint(protocol.tests)

    def alike(pair: tuple[PlainRow, BenchTest]) -> object:
        (_, text, *more), test = pair
        figure = test.id if isinstance(test.expected, ExpectedRange) else ""
        return masked(str(text), names), test.mend, tuple(more), figure

    def rows(tests: Tests) -> Iterator[PlainRow]:
        pairs = [(tuple(_row(n, t, last, shown, protocol.turning)), t) for n, t in tests]
        for _, group in groupby(pairs, alike):
            same = [row for row, _ in group]
            told = told_once([str(row[1]) for row in same], names)
            yield (numbers(int(str(row[0])) for row in same), told, *same[0][2:])
        mends = [f"If not, {mend}" for mend in _gathered((n, test.mend) for n, test in tests)]
        whole = sum(map(len, mends)) < SHORT
        yield from ((Cell(text),) for text in (["\n".join(mends)] if whole else mends))

    groups = (
        (f"{section.title}. {capital(section.about)}{'.' * bool(section.about)}", rows(tests))
        for section, tests in found
    )
    return grouped("", _columns(shown), groups)


def _row(number: int, test: BenchTest, last: Last, shown: bool, turning: Turning) -> PlainRow:
    about = "; ".join(test.how)
    codes = f" [{', '.join(test.codes)}]" if test.codes else ""
    state = f"{capital(turning.on)}. " if test.propellers == "on" else ""
    text = f"{state}{capital(test.title)}{codes}{f' ({about})' if about else ''}"
    unit = test.expected.dimension.unit if isinstance(test.expected, ExpectedRange) else ""
    before = (_before(last.get(test.id)),) if shown else ()
    return str(number), text, expectation(test), *before, Cell(unit, "blank"), BLANK


def _before(found: tuple[str, JudgedValue] | None) -> Cell:
    if found is None:
        return Cell("")
    day, judged = found
    return Cell(f"{judged.measured} on {day}: {judged.result}", TONES.get(judged.result, ""))


def expectation(test: BenchTest) -> str:
    """Return what is expected, with what is usual where the limits are wider."""
    usual = test.expected.usual_text if isinstance(test.expected, ExpectedRange) else ""
    return f"{test.expected.text}; usually {usual}" if usual else test.expected.text


def _origins(numbered: list[tuple[int, BenchTest]]) -> tuple[str, ...]:
    """Say origins once; those that are no more than a line of the plan together."""
    plain = [(n, found[1]) for n, t in numbered if (found := _LINE.fullmatch(t.origin))]
    some = _gathered((n, t.origin) for n, t in numbered if not _LINE.fullmatch(t.origin))
    if not plain:
        return some
    lines = list(dict.fromkeys(int(line) for _, line in plain))
    many = "plan lines" if len(lines) > 1 else "plan line"
    return (*some, f"{numbers([n for n, _ in plain])}: {many} {numbers(sorted(lines))}")


def _gathered(pairs: Iterable[tuple[int, str]]) -> tuple[str, ...]:
    """Say each text once, with the numbers of all tests it is about."""
    found: dict[str, list[int]] = {}
    for number, text in pairs:
        found.setdefault(text, []).append(number)
    return tuple(f"{numbers(tests)}: {text}" for text, tests in found.items())


def _foot(protocol: Protocol, last: Last) -> Iterator[Block]:
    yield from noted("Not tested, for want of a fact in the plan", protocol.unknown)
    offers = map(offer, last_proposals(protocol, last))
    yield from noted("For the plan, from what was measured last", offers)
    yield Say(
        "To keep what was measured: `harness protocol PLAN --to yaml` prints an empty results file,"
        " and `harness record PLAN RESULTS.yaml` compares it with the plan and keeps it.",
        "faint",
    )


def last_proposals(protocol: Protocol, last: Last) -> list[Correction]:
    """Return the last measured values that the plan may take over."""
    tests, found = protocol.tests, {}
    for name, (_, judged) in last.items():
        value: ReadValue | None = None
        if name in tests:
            value = value_of(tests[name], judged, Reading())
        if value is not None:
            found[name] = value
    return proposals(protocol, found)


COLUMNS = (
    "number", "id", "section", "test", "kind", "expected", "least", "most", "usual_least",
    "usual_most", "unit", "propellers", "origin", "when_it_fails", "parts", "labels",
    "last_measured", "last_date", "last_result", "mend_first",
)  # fmt: skip


def protocol_csv(report: Report, record: Record | None = None) -> str:
    """Return one record a test."""
    first = {"mend_first": faults_text(report)}
    return as_csv(COLUMNS, (row | first for row in _rows(protocol_of(report.wiring), record)))


def empty_form(report: Report) -> str:
    """Return the form to write in what was measured."""
    first = "".join(f"{line}\n" for line in commented(faults_text(report)))
    return first + form_text(protocol_of(report.wiring))


def protocol_json(report: Report, record: Record | None = None) -> str:
    """Return the tests, and what is not tested."""
    protocol = protocol_of(report.wiring)
    body = {
        "aircraft": protocol.aircraft,
        "revision": protocol.revision,
        "mend_first": faults_text(report),
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
        "id": test.id,
        "test": test.title,
        "kind": test.expected.kind,
        "expected": test.expected.text,
        **_limits(test),
        "propellers": test.propellers,
        "origin": test.origin,
        "when_it_fails": test.mend,
        "how": list(test.how),
        "parts": list(test.parts),
        "labels": list(test.codes),
    }


def _limits(test: BenchTest) -> dict[str, Any]:
    expected = test.expected
    if not isinstance(expected, ExpectedRange):
        empty = dict.fromkeys(("least", "most", "usual_least", "usual_most", "unit"))
        return {**empty, "answers": list(expected.choices)}
    usual = expected.usual or (None, None)
    return {
        "least": expected.low,
        "most": expected.high,
        "usual_least": usual[0],
        "usual_most": usual[1],
        "unit": expected.dimension.unit,
    }


def _last(found: tuple[str, JudgedValue] | None) -> dict[str, Any]:
    day, judged = found or (None, JudgedValue())
    return {
        "last_measured": judged.measured or None,
        "last_date": day,
        "last_result": judged.result or None,
    }
