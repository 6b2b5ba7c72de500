"""The command that compares two plans."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.cli.exits import CLEAN, FINDINGS, CannotRun
from harness.cli.loaded import report_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from harness.changes.change import Changes
    from harness.cli.press import Made


def compare(old: str, new: str, to: str, page: str, out: str | None) -> int | None:
    """Say what changed between two plans, in a builder's terms; one of them may be - .

    Text and JSON are printed; a picture, and everything with --out, goes into a folder. Exit code
    0: nothing changed but perhaps the text; 1: something changed; 2: a plan could not be read.
    """
    from harness.cli.press import handed_out
    from harness.cli.progress import Progress
    from harness.documents.changes import all_changes

    if old == new == "-":
        raise CannotRun("only one of the two plans can come from standard input")
    before, after = report_of(old), report_of(new)
    with Progress("comparing the plans"):
        found = all_changes(before, after)
    handed_out(found.new.plan, list(_documents(found, to, page)), out)
    return FINDINGS if found.changes else CLEAN


def _documents(found: Changes, to: str, page: str) -> Iterator[Made]:
    from harness.cli.press import Made
    from harness.documents.changes import changes_json, changes_text

    if to == "text":
        yield Made("changes.txt", "What changed, text", changes_text(found))
    elif to == "json":
        yield Made("changes.json", "What changed, JSON", changes_json(found))
    else:
        yield from _pictures(found, to, page)


def _pictures(found: Changes, to: str, page: str) -> Iterator[Made]:
    from typing import Any

    from harness.cli.press import Made
    from harness.cli.progress import Progress
    from harness.diagram import Wish, draw_pages, render
    from harness.documents.changes.marks import change_marks

    paper: Any = page
    form: Any = to
    with Progress("drawing what changed"):
        pages = draw_pages(found.new, Wish(page=paper), change_marks(found))
        files = render(pages, form, paper)
    for name, data in files.items():
        yield Made(name, f"What changed, {to.upper()}", data)
