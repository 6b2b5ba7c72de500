"""The command about the order of work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.faces.exits import CLEAN, FINDINGS
from harness.faces.loaded import listed, report_of
from harness.faces.say import say

if TYPE_CHECKING:
    from harness.checks.run import Report
    from harness.faces.press import Made

ENDINGS = {"text": "txt", "html": "html", "pdf": "pdf", "json": "json"}


def steps(plan: str, field: bool, to: str, page: str, out: str | None) -> int:
    """Give the order of work, step by step, with boxes to tick.

    Exit code 1: there is no order in which the plan can be built, and the document says why.
    """
    from harness.faces.press import written

    report = report_of(plan)
    made = steps_document(report, to, page, field=field)
    if out is None and to != "pdf":
        say(str(made.content), end="")
    else:
        listed(written(report.plan, out or "out", [made]))
    return FINDINGS if _impossible(report) else CLEAN


def steps_document(report: Report, to: str, page: str = "A4", *, field: bool = False) -> Made:
    """Return the order of work, or the list for the field, in one format."""
    from harness.documents.paper import render
    from harness.documents.steps import steps_json, steps_paper
    from harness.faces.press import Made
    from harness.faces.progress import Progress

    name, title = ("field", "At the field") if field else ("steps", "Order of work")
    with Progress("putting the steps in order"):
        if to == "json":
            content: str | bytes = steps_json(report, field=field)
        else:
            content = render(steps_paper(report, field=field), to, page)
    return Made(f"{name}.{ENDINGS[to]}", f"{title}, {to}", content)


def _impossible(report: Report) -> bool:
    return any(finding.rule == "impossible-order" for finding in report.findings)
