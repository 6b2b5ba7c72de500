"""The command that keeps what was measured on the bench."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from harness.base.refusal import printable
from harness.cli.exits import CLEAN, FINDINGS, CannotRun
from harness.cli.plans import needs_file, refuse_protected, wiring_of, write_file
from harness.cli.say import say

if TYPE_CHECKING:
    from pathlib import Path

    from harness.bench.compare import Comparison
    from harness.plan.results import Record


def record(plan: str, results: str, write: bool, to: str) -> int | None:
    """Compare what was measured with what was expected, and keep it beside the plan or in it."""
    from harness.bench.build import protocol_of
    from harness.bench.compare import compare
    from harness.bench.record import record_path
    from harness.bench.tables import plan_text
    from harness.plan.results import load_record, load_results

    if plan == results == "-":
        raise CannotRun("plan and results cannot both come from standard input: name one of them")
    needs_file(plan, write)
    wiring = wiring_of(plan, "record")
    given = load_results(results)
    path = record_path(plan)
    before = load_record(str(path)) if path is not None and os.path.lexists(path) else None
    comparison = compare(protocol_of(wiring), given, before)
    ready = [one for one in comparison.tables if not one.failed and not one.wrong]
    text = plan_text(wiring.plan, ready) if write and ready else ""
    if text:
        refuse_protected(plan)
    _keep(comparison, before, path, to)
    if text:
        write_file(plan, text, wiring.plan.source)
    where = f"written into {plan}" if write else "not written into the plan without --write"
    for table in comparison.tables:
        bad = f"{', '.join(table.failed)} not as expected" if table.failed else table.wrong
        how = f"not for the plan ({bad})" if bad else where
        say(
            printable(f"measured of {table.motor.id}, {len(table.read)} throttles: {how}"),
            to_error=True,
        )
    return CLEAN if comparison.passed else FINDINGS


def _keep(comparison: Comparison, before: Record | None, path: Path | None, to: str) -> None:
    """Show the comparison, then keep it; one that cannot be kept has been seen at least."""
    from harness.bench.record import kept, record_text
    from harness.documents.results import result_json, result_lines

    after = kept(before, comparison) if path is not None else None
    if to == "json":
        say(result_json(comparison, str(path) if after is not None else None), end="")
    else:
        say("\n".join(printable(line) for line in result_lines(comparison)))
    if path is None:
        say("the plan came from standard input: nothing is kept", to_error=True)
    elif after is not None:
        write_file(str(path), record_text(after), before.source if before else None)
        say(printable(f"kept in {path}"), to_error=True)
    else:
        say(printable(f"nothing new to keep in {path}"), to_error=True)
