"""The command that keeps what was measured on the bench."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from harness.cli.exits import CLEAN, FINDINGS, CannotRun
from harness.cli.plans import wiring_of
from harness.cli.say import say

if TYPE_CHECKING:
    from pathlib import Path

    from harness.bench.compare import Comparison
    from harness.plan.results import Record

WRITE = 0o222
"""The bits of a file's mode that let anybody write."""


def record(plan: str, results: str, to: str) -> int | None:
    """Compare what was measured with what was expected, and keep it beside the plan."""
    from harness.bench.build import protocol_of
    from harness.bench.compare import compare
    from harness.bench.record import record_path
    from harness.plan.results import load_record, load_results

    if plan == results == "-":
        raise CannotRun("plan and results cannot both come from standard input: name one of them")
    wiring = wiring_of(plan)
    given = load_results(results)
    path = record_path(plan)
    before = load_record(str(path)) if path is not None and os.path.lexists(path) else None
    comparison = compare(protocol_of(wiring), given, before)
    _keep(comparison, before, path, to)
    return CLEAN if comparison.passed else FINDINGS


def _keep(comparison: Comparison, before: Record | None, path: Path | None, to: str) -> None:
    """Show the comparison, then keep it; one that cannot be kept has been seen at least."""
    from harness.bench.record import kept
    from harness.cli.say import printable
    from harness.documents.results import result_json, result_lines

    after = kept(before, comparison) if path is not None else None
    if to == "json":
        say(result_json(comparison, str(path) if after is not None else None), end="")
    else:
        say("\n".join(printable(line) for line in result_lines(comparison)))
    if path is None:
        say("the plan came from standard input: nothing is kept", to_error=True)
    elif after is not None:
        _write(path, after)
        say(f"kept in {path}", to_error=True)
    else:
        say(f"nothing new to keep in {path}", to_error=True)


def _write(path: Path, record: Record) -> None:
    """Write a record where it really lies, were it a link; a write-protected one stays."""
    from harness.base.files import write_whole
    from harness.bench.record import record_text

    if path.exists() and not path.stat().st_mode & WRITE:
        raise CannotRun(f'"{path}" is write-protected, so nothing is kept')
    try:
        write_whole(path.resolve(), record_text(record))
    except OSError as error:
        why = error.strerror or str(error)
        raise CannotRun(f'"{path}" cannot be written: {why}') from None
