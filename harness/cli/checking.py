"""The command that checks plans."""

from __future__ import annotations

from harness.base.finding import Severity
from harness.cli.exits import CLEAN, COULD_NOT, FINDINGS
from harness.cli.plans import by_label_codes, own_stocks, plan_of, plan_paths
from harness.cli.say import Progress, say
from harness.reading.problems import PlanError
from harness.rules.run import Report
from harness.rules.run import check as judged


def check(plans: list[str], style: str, strict: bool, why: bool) -> int:
    """Say what is wrong with one or more plans, or with all plans in a folder; `why`: at length."""
    reports, errors = _checked(plans)
    _print_reports(style, reports, errors, why)
    least = Severity.WARNING if strict else Severity.ERROR
    if errors:
        return COULD_NOT
    bad = any(f.severity >= least for report in reports for f in report.findings)
    return FINDINGS if bad else CLEAN


def _checked(plans: list[str]) -> tuple[list[Report], list[PlanError]]:
    reports: list[Report] = []
    errors: list[PlanError] = []
    paths = plan_paths(plans)
    with Progress("checking") as progress:
        for number, path in enumerate(paths, 1):
            progress.step(f"checking {path} ({number} of {len(paths)})")
            try:
                plan = plan_of(path, "check")
                if plan.stocks:
                    own_stocks(plan)
                reports.append(judged(plan))
            except PlanError as error:
                errors.append(by_label_codes(error))
    return reports, errors


def _print_reports(style: str, reports: list[Report], errors: list[PlanError], why: bool) -> None:
    if style != "text":
        from harness.cli.machine import to_json, to_sarif

        say({"json": to_json, "sarif": to_sarif}[style](reports, errors))
        return
    from harness.cli.frames import problem_lines, report_lines

    for number, report in enumerate(reports):
        say("\n".join([*([""] * bool(number)), *report_lines(report, why)]))
    for error in errors:
        say("\n".join(problem_lines(error)), to_error=True)
