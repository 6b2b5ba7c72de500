"""The record beside the plan: entries by date, each as it was judged on its day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from harness.bench.compare import NOT_DONE, Compared, Comparison
from harness.bench.scalars import commented, key_lines, quoted
from harness.plan.results import RECORD_ENDING, JudgedValue, Record, ResultEntry, load_record
from harness.reading.problems import PlanError, Problem


def record_path(plan: str) -> Path | None:
    """Return where the record of a plan lies; None for a plan from standard input."""
    if plan == "-" or plan.startswith("<"):
        return None
    path = Path(plan)
    return path.with_name(f"{path.stem}{RECORD_ENDING}.yaml")


def record_beside(plan: str) -> Record | None:
    """Return the record of a plan where there is one. Raises PlanError."""
    path = record_path(plan)
    return load_record(str(path)) if path is not None and path.exists() else None


def entry_of(comparison: Comparison) -> ResultEntry:
    """Return what there is to keep of a comparison."""
    results, now = comparison.results, comparison.protocol.revision
    tests = {one.id: _judged(one) for one in comparison.compared if one.verdict != NOT_DONE}
    judged = now if comparison.other_revision else ""
    return ResultEntry(
        date=results.date, revision=results.revision, judged=judged, about=results.about,
        tests=tests,
    )  # fmt: skip


def _judged(one: Compared) -> JudgedValue:
    expected = one.test.expected.text if one.test else ""
    text = one.value.text if one.value else ""
    return JudgedValue(measured=text, note=one.note, expected=expected, result=one.verdict)


def kept(record: Record | None, comparison: Comparison) -> Record | None:
    """Return a record with the comparison in it; None where nothing changes.

    The same results are kept once, as they were judged the first time. Raises PlanError when the
    record is of another aeroplane.
    """
    entry, aircraft = entry_of(comparison), comparison.protocol.aircraft
    if record is not None and record.aircraft != aircraft:
        message = f'this record is of "{record.aircraft}", the plan is of "{aircraft}"'
        help_ = "move it away, or name the plan it belongs to"
        raise PlanError(record.source, [Problem(message, record.spans["aircraft"], help_)])
    entries = list(record.entries) if record else []
    if not entry.tests or any(_same(entry, other) for other in entries):
        return None
    entries.append(entry)
    entries.sort(key=lambda one: one.date)  # stable: the later one of a day stays the later
    start = record or Record(record=1, aircraft=aircraft, entries=())
    return replace(start, entries=tuple(entries))


def _same(one: ResultEntry, other: ResultEntry) -> bool:
    return _facts(one) == _facts(other)


def _facts(entry: ResultEntry) -> object:
    """What was seen; not how it was judged."""
    tests = {name: (test.measured, test.note) for name, test in entry.tests.items()}
    return entry.date, entry.revision, entry.about, tests


def last_values(record: Record | None) -> dict[str, tuple[str, JudgedValue]]:
    """Return the last value of every test in a record, with its date."""
    found: dict[str, tuple[str, JudgedValue]] = {}
    for entry in record.entries if record else ():
        found |= {name: (entry.date, test) for name, test in entry.tests.items()}
    return found


def record_text(record: Record) -> str:
    """Return a record as it is written."""
    lines = [
        *commented("What was measured on the bench, by date. `harness record` adds to it; a remark"
                   " of your own goes into the `note` of a test."),
        "record: 1",
        f"aircraft: {quoted(record.aircraft)}",
        "entries:",
    ]  # fmt: skip
    for entry in record.entries:
        lines += _entry(entry)
    return "\n".join(lines) + "\n"


def _entry(entry: ResultEntry) -> Iterator[str]:
    yield f"  - date: {quoted(entry.date)}"
    yield f"    revision: {quoted(entry.revision)}"
    if entry.judged:
        yield f"    judged: {quoted(entry.judged)}"
    if entry.about:
        yield f"    about: {quoted(entry.about)}"
    yield "    tests:"
    for name, test in entry.tests.items():
        words = {"measured": test.measured, "expected": test.expected, "result": test.result,
                 "note": test.note}  # fmt: skip
        body = ", ".join(f"{word}: {quoted(text)}" for word, text in words.items() if text)
        yield from key_lines(name, f"{{{body}}}", "      ")
