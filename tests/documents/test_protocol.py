"""The protocol as a document: every test in every form, room to write, the same bytes."""

from __future__ import annotations

import csv
import io
import json

import pytest
from bench.bench_plan import PLAN, compared, protocol
from documents.plans import EXAMPLES
from kept import report_at
from support import report_of

from harness.bench.build import protocol_of
from harness.bench.record import kept
from harness.documents.cautions import CAUTIONS, armed
from harness.documents.protocol import protocol_chapter, protocol_csv, protocol_json, protocol_paper
from harness.paper import render
from harness.paper.blocks import Points, Say
from harness.paper.sheet import Note, Table


def tables(record: object = None) -> list[Table]:
    chapter = protocol_chapter(report_of(PLAN), record)  # type: ignore[arg-type]
    return [block for block in chapter.blocks if isinstance(block, Table)]


def test_cautions_come_first() -> None:
    report = report_of(PLAN)
    first, *_ = protocol_chapter(report).blocks
    assert isinstance(first, Points)
    assert tuple(cell.text for cell in first.items) == (armed(report.plan), *CAUTIONS)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.stem)
def test_every_test_stands_in_every_form(path: object) -> None:
    report = report_at(path)
    tests = protocol_of(report.wiring).tests
    rows = list(csv.DictReader(io.StringIO(protocol_csv(report))))
    assert [row["id"] for row in rows] == list(tests)
    data = json.loads(protocol_json(report))
    assert [(t["number"], t["id"]) for t in data["tests"]] == list(enumerate(tests, 1))
    assert data["revision"] == report.plan.revision
    text = render(protocol_paper(report), "text")
    assert isinstance(text, str)
    assert f"plan revision {report.plan.revision}" in text


def test_tests_are_numbered_through_with_room_for_value_and_mark() -> None:
    rows = [row for table in tables() for group in table.groups for row in group.rows]
    assert [row[0].text for row in rows] == [str(n + 1) for n in range(len(protocol().tests))]
    assert {(row[-2].tone, row[-1].tone) for row in rows} == {("blank", "blank")}
    units = {row[-2].text for row in rows}
    assert units == {"", "V", "A"}


def test_every_test_says_what_to_do_and_why() -> None:
    for test in protocol().tests.values():
        assert test.mend, test.id
        assert test.origin, test.id


def test_last_values_stand_beside_the_expected_ones() -> None:
    record = kept(None, compared("  bec-volts.esc: 5.4 V\n"))
    found = [t for t in tables(record) if "last measured" in [c.title for c in t.columns]]
    (row,) = [r for t in found for g in t.groups for r in g.rows if r[3].text]
    assert row[3].text == "5.4 V on 2026-10-02: fail"
    assert row[3].tone == "danger"
    notes = protocol_chapter(report_of(PLAN), record).blocks
    (note,) = [b for b in notes if isinstance(b, Note) and b.title.startswith("For the plan")]
    assert "write `bec: {kind: switching, volts: 5 V, rated: 3 A, metered: 5.4 V}`" in note.lines[0]


def test_a_plan_that_would_burn_is_told_before_anything_is_powered() -> None:
    bad = PLAN.replace("failsafe: off", "failsafe: hold")
    first, *_ = protocol_chapter(report_of(bad)).blocks
    assert isinstance(first, Say)
    assert first.text == "`harness check` has 1 error: mend it first."
    good = [b.text for b in protocol_chapter(report_of(PLAN)).blocks if isinstance(b, Say)]
    assert not any("harness check" in text and "first." in text for text in good)


def test_same_plan_same_bytes() -> None:
    one, other = (render(protocol_paper(report_of(PLAN)), "html") for _ in range(2))
    assert one == other
