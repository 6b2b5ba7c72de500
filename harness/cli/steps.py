"""The command about the order of work."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.cli.exits import CLEAN, FINDINGS
from harness.cli.loaded import report_of

if TYPE_CHECKING:
    from harness.cli.press import Made
    from harness.rules.run import Report


def steps(plan: str, field: bool, to: str, page: str, out: str | None) -> int:
    """Give the order of work, step by step, with boxes to tick.

    Exit code 1: there is no order in which the plan can be built, and the document says why.
    """
    from harness.cli.press import handed_out

    report = report_of(plan)
    handed_out(report.plan, [steps_document(report, to, page, field=field)], out)
    return FINDINGS if _impossible(report) else CLEAN


def steps_document(report: Report, to: str, page: str = "A4", *, field: bool = False) -> Made:
    """Return the order of work, or the list for the field, in one format."""
    from harness.cli.press import ENDINGS, Made
    from harness.cli.progress import Progress
    from harness.documents.steps import steps_json, steps_paper
    from harness.paper import render

    name, title = ("field", "At the field") if field else ("steps", "Order of work")
    with Progress("putting the steps in order"):
        if to == "json":
            content: str | bytes = steps_json(report, field=field)
        else:
            content = render(steps_paper(report, field=field, drawn=to != "text"), to, page)
    return Made(f"{name}.{ENDINGS[to]}", f"{title}, {to}", content)


def _impossible(report: Report) -> bool:
    return any(finding.rule == "impossible-order" for finding in report.findings)
