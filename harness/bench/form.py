"""An empty results file: every test with what is expected, and room for what was measured."""

from __future__ import annotations

from collections.abc import Iterator

from harness.bench.scalars import commented, key_lines, quoted
from harness.bench.trial import BenchTest, ExpectedRange, Protocol, Word
from harness.facts.motion import Turning

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
    number = 0
    for section in protocol.sections:
        yield ""
        yield from commented(f"{section.title.upper()}: {section.about}".rstrip(": "), "  ")
        for test in section.tests:
            number += 1
            yield from commented(f"{number}. {test.title}: {asked(test, protocol.turning)}", "  ")
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
