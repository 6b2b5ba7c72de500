"""The command about the order of work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.faces.exits import CLEAN, FINDINGS
from harness.faces.loaded import report_of

if TYPE_CHECKING:
    from harness.checks.run import Report
    from harness.faces.press import Made


def steps(plan: str, field: bool, to: str, page: str, out: str | None) -> int:
    """Give the order of work, step by step, with boxes to tick.

    Exit code 1: there is no order in which the plan can be built, and the document says why.
    """
    from harness.faces.press import handed_out

    report = report_of(plan)
    handed_out(report.plan, [steps_document(report, to, page, field=field)], out)
    return FINDINGS if _impossible(report) else CLEAN


def steps_document(report: Report, to: str, page: str = "A4", *, field: bool = False) -> Made:
    """Return the order of work, or the list for the field, in one format."""
    from harness.documents.paper import render
    from harness.documents.steps import steps_json, steps_paper
    from harness.faces.press import ENDINGS, Made
    from harness.faces.progress import Progress

    name, title = ("field", "At the field") if field else ("steps", "Order of work")
    with Progress("putting the steps in order"):
        if to == "json":
            content: str | bytes = steps_json(report, field=field)
        else:
            content = render(steps_paper(report, field=field, drawn=to != "text"), to, page)
    return Made(f"{name}.{ENDINGS[to]}", f"{title}, {to}", content)


def _impossible(report: Report) -> bool:
    return any(finding.rule == "impossible-order" for finding in report.findings)
