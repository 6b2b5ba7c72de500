"""Results laid against the protocol, in words and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from harness.base.near import counted
from harness.bench.compare import FAIL, NOT_DONE, NOT_HERE, PASS, Compared, Comparison, Correction
from harness.paper.records import as_json
from harness.paper.text import HARD, wrapped

WIDTH = 100
WORDS = {FAIL: "FAIL", NOT_HERE: "NOT A TEST HERE", PASS: "pass"}


def result_lines(comparison: Comparison) -> Iterator[str]:
    """Yield the comparison for a terminal: what failed first, and what to do."""
    results = comparison.results
    yield f"{comparison.protocol.aircraft}: results of {results.date}"
    yield from _revisions(comparison)
    passed = comparison.by(PASS)
    full = [*comparison.by(FAIL), *comparison.by(NOT_HERE), *(p for p in passed if _told(p))]
    for one in full:
        yield from _lines(one, results.source.name)
    quiet = [one for one in passed if not _told(one)]
    if quiet:
        yield f"passed{' besides' * (len(quiet) < len(passed))}: {counted(len(quiet), 'test')}"
        yield from _listed(map(_short, quiet))
    undone = comparison.by(NOT_DONE)
    if undone:
        yield f"not done: {counted(len(undone), 'test')}"
        yield from _listed(one.id for one in undone)
    if comparison.proposals:
        yield "for the plan:"
        yield from (f"  {offer(proposal)}" for proposal in comparison.proposals)
    yield summary(comparison)


def _told(one: Compared) -> bool:
    """Say whether a test that passed has more to say than that."""
    return bool(one.remark or one.note)


def _short(one: Compared) -> str:
    """Return a test with its value, which stay on one line."""
    return f"{one.id} {one.value.text if one.value else ''}".replace(" ", HARD)


def _listed(names: Iterable[str]) -> Iterator[str]:
    """Yield names on lines of a terminal's width, two spaces in; none is broken."""
    for line in wrapped(f"  {', '.join(names)}", WIDTH, "  "):
        yield line.replace(HARD, " ")


def _revisions(comparison: Comparison) -> Iterator[str]:
    if not comparison.other_revision:
        return
    then, now = comparison.results.revision, comparison.protocol.revision
    yield f"warning: the results are for plan revision {then}, the plan is at {now} now"
    if not comparison.told:
        yield "  what that revision expected is not known: compared with the plan as it is now"
    elif not comparison.changed:
        yield "  no test expects anything else than it did"
    for change in comparison.changed:
        yield f"  {change.id}: expected {change.then} then; now {change.now}"


def _lines(one: Compared, name: str) -> Iterator[str]:
    value = one.value.text if one.value else ""
    expected = f", expected {one.test.expected.text}" if one.test else ""
    apart = f": {one.apart}" if one.apart and not one.apart.startswith("expected") else ""
    yield f"{WORDS[one.verdict]}  {one.id}: {value}{expected}{apart}"
    if one.verdict != PASS and one.span is not None:
        yield f"      at {name}:{one.span.line}:{one.span.column}"
    if one.verdict == FAIL and one.test is not None:
        yield f"      {one.test.title}"
        yield f"      expected because: {one.test.origin}"
    if one.remark:
        yield f"      odd: {one.remark}"
    if one.mend:
        yield f"      do: {one.mend}"
    if one.note:
        yield f"      note: {one.note}"


def summary(comparison: Comparison) -> str:
    """Return "12 passed, 2 failed, 60 not done"."""
    words = {PASS: "passed", FAIL: "failed", NOT_HERE: "no tests here", NOT_DONE: "not done"}
    counts = [(len(comparison.by(verdict)), word) for verdict, word in words.items()]
    return ", ".join(f"{count} {word}" for count, word in counts if count or word == "passed")


def offer(proposal: Correction) -> str:
    """Return a proposal for the plan in words."""
    return f"{proposal.part} (plan line {proposal.line}): write {proposal.write}, {proposal.why}"


def result_json(comparison: Comparison, kept: str | None) -> str:
    """Return the comparison as JSON. `kept`: the record it was written into, or None."""
    results, protocol = comparison.results, comparison.protocol
    body = {
        "aircraft": protocol.aircraft,
        "date": results.date,
        "revision": protocol.revision,
        "results_revision": results.revision,
        "passed": comparison.passed,
        "tests": [_data(one) for one in comparison.compared],
        "changed": [{"id": c.id, "then": c.then, "now": c.now} for c in comparison.changed],
        "changes_known": comparison.told,
        "for_the_plan": [
            {"part": p.part, "line": p.line, "write": p.write, "why": p.why}
            for p in comparison.proposals
        ],
        "kept_in": kept,
    }
    return as_json(body)


def _data(one: Compared) -> dict[str, Any]:
    value, test, span = one.value, one.test, one.span
    return {
        "id": one.id,
        "result": one.verdict,
        "measured": value.text if value else None,
        "expected": test.expected.text if test else None,
        "apart": one.apart or None,
        "remark": one.remark or None,
        "what_to_do": one.mend or None,
        "note": one.note or None,
        "line": span.line if span else None,
        "column": span.column if span else None,
    }
