"""The commands about the radio and the tests: transmitter sheet, protocol, record."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from harness.cli.exits import CLEAN, FINDINGS, CannotRun
from harness.cli.loaded import report_of, wiring_of
from harness.cli.say import say

if TYPE_CHECKING:
    from pathlib import Path

    from harness.bench.compare import Comparison
    from harness.plan.plan import Plan
    from harness.plan.results import Record
    from harness.rules.run import Report

WRITE = 0o222
"""The bits of a file's mode that let anybody write."""
PAPERS = ("text", "html", "pdf")


def transmitter(plan: str, to: str, page: str, out: str | None) -> None:
    """Print the transmitter sheet: what to set up on each channel."""
    from harness.cli.press import ENDINGS, Made, handed_out
    from harness.documents.transmitter import transmitter_csv, transmitter_json, transmitter_paper
    from harness.paper import render

    report = report_of(plan)
    if to in PAPERS:
        content = render(transmitter_paper(report), to, page)
    else:
        content = {"csv": transmitter_csv, "json": transmitter_json}[to](report)
    made = Made(f"transmitter.{ENDINGS[to]}", f"Transmitter sheet, {to}", content)
    handed_out(report.plan, [made], out)


def protocol(plan: str, to: str, page: str, out: str | None) -> None:
    """Print the bench protocol: numbered tests, what is expected, room for what was measured."""
    from harness.cli.press import ENDINGS, Made, handed_out
    from harness.documents.protocol import protocol_paper
    from harness.documents.protocol.forms import protocol_csv, protocol_json
    from harness.paper import render

    report = report_of(plan)
    record, told = _last(report.plan)
    if to in PAPERS:
        content = render(protocol_paper(report, record, told), to, page)
    elif to == "yaml":
        content = _form(report)
    else:
        content = {"csv": protocol_csv, "json": protocol_json}[to](report, record)
    made = Made(f"protocol.{ENDINGS[to]}", f"Bench protocol, {to}", content)
    handed_out(report.plan, [made], out)


def _form(report: Report) -> str:
    from harness.bench.build import protocol_of
    from harness.bench.form import form_text

    return form_text(protocol_of(report.wiring))


def _last(plan: Plan) -> tuple[Record | None, str]:
    """Return the record beside a plan, or why it could not be understood."""
    from harness.bench.record import record_path
    from harness.reading.problems import PlanError

    path = record_path(plan.source.name)
    if path is None or not path.exists():
        return None, ""
    try:
        return _record(path), ""
    except PlanError as error:
        first = error.problems[0]
        where = f"{path.name}, line {first.span.line}, column {first.span.column}"
        return None, f"The record beside the plan is left out: {where}: {first.message}."


def _record(path: Path) -> Record:
    from harness.plan.results import load_record

    return load_record(str(path))


def record(plan: str, results: str, to: str) -> int | None:
    """Compare what was measured with what was expected, and keep it beside the plan.

    Exit code 0: all that was given has passed; 1: some has not; 2: something could not be read.
    """
    from harness.bench.build import protocol_of
    from harness.bench.compare import compare
    from harness.bench.record import record_path
    from harness.plan.results import load_results

    if plan == results == "-":
        raise CannotRun("plan and results cannot both come from standard input: name one of them")
    wiring = wiring_of(plan)
    given = load_results(results)
    path = record_path(plan)
    before = _record(path) if path is not None and os.path.lexists(path) else None
    comparison = compare(protocol_of(wiring), given, before)
    _keep(comparison, before, path, to)
    return CLEAN if comparison.passed else FINDINGS


def _keep(comparison: Comparison, before: Record | None, path: Path | None, to: str) -> None:
    """Show the comparison, then keep it; one that cannot be kept has been seen at least."""
    from harness.bench.record import kept
    from harness.cli.frames import printable
    from harness.documents.protocol.results import result_json, result_lines

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
