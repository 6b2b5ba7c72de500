"""The commands that make documents of the list, and how documents are handed out.

Everything is made in memory first: nothing is written until all of it is there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from harness.base.files import write_whole
from harness.base.refusal import printable
from harness.cli.exits import CLEAN, FINDINGS, CannotRun
from harness.cli.plans import folder_name, own_stocks, plan_of, report_of, wiring_of
from harness.cli.say import Progress, say
from harness.documents.index import BY_NAME, PAPER, PICTURES
from harness.documents.making import Files, files_of
from harness.plan.plan import Plan


def printed(
    document: str, plan: str, to: str, out: str | None, page: str = "A4", **words: Any
) -> None:
    """Make a document of a plan in one format; `words`: what its maker is told besides."""
    load = report_of if BY_NAME[document].judged else wiring_of
    source = load(plan, BY_NAME[document].command)
    _made(document, source, source.plan, to, out, page, words)


def _made(
    document: str,
    source: Any,
    plan: Plan,
    to: str,
    out: str | None,
    page: str,
    words: Mapping[str, Any],
) -> None:
    what = BY_NAME[document].work or f"making: {BY_NAME[document].title}"
    with _working(plan, what) as progress:
        words = {**words, **({"tell": progress.step} if "tell" in words else {})}
        files = files_of(BY_NAME[document], source, to, page, words)
    handed_out(plan, files, out)


@contextmanager
def _working(plan: Plan, what: str) -> Iterator[Progress]:
    """Say what is under way; where the network has no solution, which part is in the way."""
    with Progress(what) as progress:
        try:
            yield progress
        except Exception as error:
            from harness.electrics.solver.circuit import NotSolved

            if not isinstance(error, NotSolved):
                raise
            from harness.electrics.network import blamed

            why = blamed(plan, error)
            raise CannotRun(f"there is no solution, so no figures: {why}") from None


def handed_out(plan: Plan, files: Files, out: str | None) -> None:
    """Print what is text, or write it with --out; pictures and PDFs are always written."""
    if out is None and all(_is_text(*one) for one in files.items()):
        say("".join(map(str, files.values())), end="")
    else:
        written(plan, out, files)


def _is_text(name: str, content: bytes | str) -> bool:
    return isinstance(content, str) and not name.endswith(".svg")


def written(plan: Plan | None, out: str | None, files: Files) -> None:
    """Write documents into the plan's folder, and print the path of each when all are there."""
    folder = Path(out or "out") / (folder_name(plan) if plan else "")
    for place in (folder, *folder.parents):
        if place.exists() and not place.is_dir():
            raise CannotRun(f'documents cannot go into "{folder}": "{place}" is a file')
    for path in (folder / name for name in files):
        if path.is_dir():
            raise CannotRun(f'"{path}" cannot be written: there is a folder of that name')
    for name, content in files.items():
        try:
            write_whole(folder / name, content)
        except OSError as error:
            why = error.strerror or str(error)
            raise CannotRun(f'"{folder / name}" cannot be written: {why}') from None
    say("\n".join(printable(str(folder / name)) for name in files))


def draw(
    document: str, plan: str, to: str, out: str | None, page: str, case: str, **wish: Any
) -> None:
    """Draw the wiring: as a run from receiver to devices, or laid out as the aeroplane."""
    from harness.diagram import ViewWish
    from harness.diagram.cuts import refuse_many
    from harness.rules.run import check

    loaded = plan_of(plan, "check")
    if not (wish["place"] or wish["function"] or wish["lead"]):
        refuse_many(len(loaded.parts), wish["view"])
    report = check(loaded)
    if case:
        _case_can_be(report.plan, case, wish["view"])
    paper: Any = page
    words: dict[str, Any] = {"wish": ViewWish(page=paper, case=case, **wish)}
    words |= {"tell": None} if to in PICTURES else {}
    _made(document, report, report.plan, to, out, page, words)


def _case_can_be(plan: Plan, case: str, view: str) -> None:
    from harness.base.near import hint
    from harness.electrics.cases import cases_of

    names = [*(one.name for one in cases_of(plan)), "worst"]
    if view != "run":
        raise CannotRun(f"currents are drawn on the run view, not on the {view} view")
    if case not in names:
        raise CannotRun(f'there is no case "{case}" in this plan; {hint(case, names, most=99)}')


def trace(plan: str, part: str) -> None:
    """Say how one part gets its signal and its supply, socket by socket."""
    from harness.documents.trace import trace_text

    try:
        say(trace_text(wiring_of(plan, "trace"), part))
    except ValueError as error:
        raise CannotRun(str(error)) from None


def labels(
    plan: str | None, stock: str | None, to: str, out: str | None, skip: int, test_page: bool
) -> None:
    """Print labels for both ends of every lead, or a page with rulers, or list the stocks."""
    from harness.documents.labels import BUILT_IN, find_stock
    from harness.documents.plan_labels import usual_stock

    wiring = wiring_of(plan, "labels") if plan else None
    if stock is None and not wiring and not test_page:
        say("\n".join(one.name for one in BUILT_IN))
        return
    if stock is None:
        stock = usual_stock(wiring)
        say(
            f"no stock named: these are for {stock}; `harness labels` lists all, --stock NAME takes"
            " another",
            to_error=True,
        )
    if not wiring and not test_page:
        raise CannotRun("name the plan the labels are for")
    found = find_stock(stock, own_stocks(wiring.plan) if wiring else ())
    if test_page:
        files = files_of(BY_NAME["test-page"], found, to)
    else:
        with Progress(BY_NAME["labels"].work):
            files = files_of(BY_NAME["labels"], wiring, to, words={"stock": found, "skip": skip})
    written(wiring.plan if wiring else None, out, files)


def steps(document: str, plan: str, field: bool, to: str, out: str | None, page: str) -> int:
    """Give the order of work, or what is redone at the field, step by step, with boxes to tick."""
    report = report_of(plan, document)
    words = {"field": field, **({"drawn": to != "text"} if to in PAPER else {})}
    _made("field" if field else document, report, report.plan, to, out, page, words)
    impossible = any(finding.rule == "impossible-order" for finding in report.findings)
    return FINDINGS if impossible else CLEAN


def protocol(document: str, plan: str, to: str, out: str | None, page: str) -> None:
    """Print the bench protocol, with what was measured last."""
    from harness.bench.record import record_beside
    from harness.reading.problems import PlanError

    report, record, told = report_of(plan, document), None, ""
    try:
        record = record_beside(report.plan.source.name)
    except PlanError as error:
        first = error.problems[0]
        where = f"{error.source.file}, line {first.span.line}, column {first.span.column}"
        told = f"The record beside the plan is left out: {where}: {first.message}."
    words: dict[str, Any] = {} if to == "yaml" else {"record": record}
    words |= {"told": told} if to in PAPER else {}
    _made(document, report, report.plan, to, out, page, words)


def compare(document: str, old: str, new: str, to: str, out: str | None, page: str) -> int:
    """Say what changed between two plans, in a builder's terms; one of them may be - ."""
    from harness.documents.changes import all_changes

    if old == new == "-":
        raise CannotRun("only one of the two plans can come from standard input")
    before, after = report_of(old, "compare"), report_of(new, "compare")
    with Progress(BY_NAME[document].work):
        found = all_changes(before, after)
    drawn = to not in {"text", "json"}
    _made(document, found, after.plan, to, out, page, {"page": page} if drawn else {})
    return FINDINGS if found.changes else CLEAN


def book(plan: str, page: str, edition: str, sheet: str | None, out: str | None) -> None:
    """Make the build book, to use on a phone and to print, and the files beside it; or a sheet."""
    from harness.bench.record import record_beside
    from harness.documents.build_book import book_files, material_of

    report = report_of(plan, "book")
    if sheet:
        _made(sheet, report, report.plan, "pdf", out, page, {"page": page})
        return
    record = record_beside(plan)
    with Progress(BY_NAME["book"].work) as progress:
        material = material_of(report, page, record)
        progress.step("writing the book")
        files = book_files(material, edition)
    written(report.plan, out, files)
