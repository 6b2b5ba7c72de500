"""What would burn or cannot work is said before a single step, in one sentence everywhere."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from kept import report_at
from support import report_of

from harness.base.finding import Severity
from harness.documents.build_book.chapters import cautions_chapter
from harness.documents.protocol import protocol_chapter
from harness.documents.steps import field_chapter, steps_chapter
from harness.paper.blocks import Chapter, Say, Ticks
from harness.rules.run import Report

BROKEN = sorted((Path(__file__).parents[2] / "examples" / "broken").glob("*.yaml"))[::6]
CHAPTERS = [steps_chapter, field_chapter, protocol_chapter, cautions_chapter]


@pytest.mark.parametrize("make", CHAPTERS)
@pytest.mark.parametrize("path", BROKEN, ids=lambda p: p.stem)
def test_it_begins_with_what_must_be_mended(make: Callable[[Report], Chapter], path: Path) -> None:
    """The numbers are counted from the findings; the sentence is there when they are not 0."""
    report = report_at(path)
    dangers = sum(f.severity is Severity.DANGER for f in report.findings)
    errors = sum(f.severity is Severity.ERROR for f in report.findings)
    first = make(report).blocks[0]
    told = isinstance(first, Say) and "`harness check` has" in first.text
    assert told == bool(dangers + errors)
    if told:
        assert isinstance(first, Say) and first.tone == "danger"
        assert " first." in first.text
        assert (f"{dangers} finding" in first.text) == bool(dangers)
        assert (f"{errors} error" in first.text) == bool(errors)


TWO = """\
channels: {3: {function: throttle, failsafe: hold}}
receivers: {rx: {sockets: 4}}
servos: {a: {plug: rx.1}, b: {plug: rx.1}}
escs: {esc: {rated: 30 A, plug: rx.3, supply: pack, connector: XT60, bec: {volts: 5 V}}}
motors: {m: {full-throttle: 20 A, plug: esc}}
packs: {pack: {chemistry: lipo, cells: 3, capacity: 2 Ah, rate: 25 C, connector: XT60}}
"""


def test_no_step_is_hidden() -> None:
    report = report_of(TWO)
    assert any(f.severity >= Severity.ERROR for f in report.findings)
    ticks = [b for b in steps_chapter(report).blocks if isinstance(b, Ticks)]
    assert sum(len(block.items) for block in ticks) > 15


def test_what_is_accepted_is_not_counted() -> None:
    report = report_of(TWO)
    rows = [
        f"  - {{rule: {f.rule}, part: {part}, because: tried it}}\n"
        for f in report.findings
        for part in f.parts
        if f.severity >= Severity.ERROR
    ]
    first = steps_chapter(report_of(TWO + "accepted:\n" + "".join(rows))).blocks[0]
    assert not isinstance(first, Say)
