"""What was measured, as YAML: the empty form of a protocol, and the record beside the plan.

The form has every test with what is expected, and room for what was measured; the record has
entries by date, each as it was judged on its day.
"""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from harness.base.data import replace
from harness.bench.compare import NOT_DONE, Compared, Comparison
from harness.bench.protocol import BenchTest, ExpectedRange, Protocol, Word
from harness.facts.motion import Turning
from harness.plan.results import RECORD_ENDING, JudgedValue, Record, ResultEntry, load_record
from harness.reading.problems import PlanError, Problem

LONGEST_KEY = 900
"""Signs of a key that stands on one line with its value; YAML allows 1,024."""
WIDTH = 98


def quoted(text: str) -> str:
    """Return a text in double quotes: what JSON quotes, YAML 1.2 reads."""
    return json.dumps(text, ensure_ascii=False)


def key_lines(name: str, value: str, indent: str) -> list[str]:
    """Return a key and its value; a key longer than YAML allows on one line gets its own.

    Ids of tests begin with a letter and hold no sign of YAML's: they need no quotes.
    """
    if len(name) < LONGEST_KEY:
        return [f"{indent}{name}: {value}".rstrip()]
    return [f"{indent}? {name}", f"{indent}: {value}".rstrip()]


def commented(text: str, indent: str = "") -> list[str]:
    """Return a text as comment lines."""
    lead = f"{indent}# "
    plain = " ".join(text.split())
    return [
        f"{lead}{line}"
        for line in textwrap.wrap(
            plain, max(WIDTH - len(lead), 20), break_long_words=False, break_on_hyphens=False
        )
    ]


HEAD = (
    "Write what was measured behind the colon, with its unit: `6.02 V`, `yes`, `up`. What is left"
    " empty counts as not done. A remark goes like this: `{measured: 6.02 V, note: warm meter}`."
    " Before every test that does not say otherwise: "
)
LAST = ". Then: harness record PLAN THIS-FILE"


def form_text(protocol: Protocol) -> str:
    """Return the empty results file of a protocol."""
    lines = [
        *commented(f"{HEAD}{protocol.turning.off}{LAST}"),
        "results: 1",
        f"aircraft: {quoted(protocol.aircraft)}",
        f"revision: {quoted(protocol.revision)}",
        "date:  # the day of the tests: 2026-10-02",
        "about:  # who, where, which meter",
        "",
        "tests:",
        *_tests(protocol),
        "",
        "# What each test expected of this revision of the plan: leave it as it is.",
        "expected:",
    ]
    for name, test in protocol.tests.items():
        lines += key_lines(name, quoted(test.expected.text), "  ")
    return "\n".join(lines) + "\n"


def _tests(protocol: Protocol) -> Iterator[str]:
    numbers = count(1)
    for section in protocol.sections:
        yield ""
        yield from commented(f"{section.title.upper()}: {section.about}".rstrip(": "), "  ")
        for test in section.tests:
            said = asked(test, protocol.turning)
            yield from commented(f"{next(numbers)}. {test.title}: {said}", "  ")
            yield from key_lines(test.id, "", "  ")


def asked(test: BenchTest, turning: Turning) -> str:
    """Return what is expected and how to write it."""
    expected = test.expected
    state = f"; {turning.on}" if test.propellers == "on" else ""
    if isinstance(expected, ExpectedRange):
        usual = f", usually {expected.usual_text}" if expected.usual else ""
        return f"expected {expected.text}{usual}{state}"
    assert isinstance(expected, Word)
    return f"expected {expected.word}; write {expected.answers}{state}"


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


def _entry_of(comparison: Comparison) -> ResultEntry:
    """Return what there is to keep of a comparison."""
    results, now = comparison.results, comparison.protocol.revision
    tests = {one.id: _judged(one) for one in comparison.compared if one.verdict != NOT_DONE}
    judged = now if comparison.other_revision else ""
    return ResultEntry(
        date=results.date,
        revision=results.revision,
        judged=judged,
        about=results.about,
        tests=tests,
    )


def _judged(one: Compared) -> JudgedValue:
    expected = one.test.expected.text if one.test else ""
    text = one.value.text if one.value else ""
    return JudgedValue(measured=text, note=one.note, expected=expected, result=one.verdict)


def kept(record: Record | None, comparison: Comparison) -> Record | None:
    """Return a record with the comparison in it; None where nothing changes.

    The same results are kept once, as they were judged the first time. Raises PlanError when the
    record is of another aeroplane.
    """
    entry, aircraft = _entry_of(comparison), comparison.protocol.aircraft
    if record is not None and record.aircraft != aircraft:
        message = f'this record is of "{record.aircraft}", the plan is of "{aircraft}"'
        help_ = "move it away, or name the plan it belongs to"
        raise PlanError(record.source, [Problem(message, record.spans["aircraft"], help_)])
    entries = list(record.entries) if record else []
    if not entry.tests or any(_facts(entry) == _facts(other) for other in entries):
        return None
    entries.append(entry)
    entries.sort(key=lambda one: one.date)  # stable: the later one of a day stays the later
    start = record or Record(record=1, aircraft=aircraft, entries=())
    return replace(start, entries=tuple(entries))


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
        *commented(
            "What was measured on the bench, by date. `harness record` adds to it; a remark"
            " of your own goes into the `note` of a test."
        ),
        "record: 1",
        f"aircraft: {quoted(record.aircraft)}",
        "entries:",
    ]
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
        words = {
            "measured": test.measured,
            "expected": test.expected,
            "result": test.result,
            "note": test.note,
        }
        body = ", ".join(f"{word}: {quoted(text)}" for word, text in words.items() if text)
        yield from key_lines(name, f"{{{body}}}", "      ")
