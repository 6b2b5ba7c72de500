# PYTHON_ARGCOMPLETE_OK
"""The command line. Each command loads what it needs and nothing else."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from harness.base.refusal import Refusal
from harness.cli.airframe import lengths
from harness.cli.compare import compare
from harness.cli.exits import CLEAN, COULD_NOT, FINDINGS, CannotRun
from harness.cli.figures import endurance, equalise, load, timeline
from harness.cli.kit import kit
from harness.cli.loaded import listed, report_of, wiring_of
from harness.cli.options import parser_of
from harness.cli.planner import assign
from harness.cli.say import choose_colour, say
from harness.cli.sheets import protocol, record, transmitter
from harness.cli.steps import steps

if TYPE_CHECKING:
    from harness.cli.press import Format
    from harness.plan.plan import Plan
    from harness.reading.problems import PlanError
    from harness.rules.run import Report

SELDOM = (100_000, 50, 100)
"""When garbage is looked for: a command is short, and leaves hardly anything in rings."""


def check(plans: list[str], style: str, strict: bool) -> int:
    """Say what is wrong with one or more plans, or with all plans in a folder.

    Exit code 0: no danger and no error; 1: some (with --strict: or a warning); 2: could not run.
    """
    from harness.base.finding import Severity

    reports, errors = _checked(plans)
    _print_reports(style, reports, errors)
    least = Severity.WARNING if strict else Severity.ERROR
    if errors:
        return COULD_NOT
    bad = any(f.severity >= least for report in reports for f in report.findings)
    return FINDINGS if bad else CLEAN


def _checked(plans: list[str]) -> tuple[list[Report], list[PlanError]]:
    from harness.cli.plans import plan_paths
    from harness.cli.progress import Progress
    from harness.plan.load import load_plan
    from harness.reading.problems import PlanError
    from harness.rules.run import check as run

    reports: list[Report] = []
    errors: list[PlanError] = []
    paths = plan_paths(plans)
    with Progress("checking") as progress:
        for number, path in enumerate(paths, 1):
            progress.step(f"checking {path} ({number} of {len(paths)})")
            try:
                plan = load_plan(path)
                if plan.stocks:
                    _own_stocks_can_be(plan)
                reports.append(run(plan))
            except PlanError as error:
                errors.append(error)
    return reports, errors


def _own_stocks_can_be(plan: Plan) -> None:
    from harness.cli.stocks import own_stocks

    own_stocks(plan)


def _print_reports(style: str, reports: list[Report], errors: list[PlanError]) -> None:
    if style != "text":
        from harness.cli.machine import to_json, to_sarif

        say({"json": to_json, "sarif": to_sarif}[style](reports, errors))
        return
    from harness.cli.frames import problem_lines, report_lines

    for number, report in enumerate(reports):
        say("\n".join(["", *report_lines(report)] if number else report_lines(report)))
    for error in errors:
        say("\n".join(problem_lines(error)), to_error=True)


def draw(plan: str, out: str | None, to: Format, **wish: Any) -> None:
    """Draw the wiring: as a run from receiver to devices, or laid out as the aeroplane."""
    from harness.cli.press import drawings, written

    report = report_of(plan)
    if wish.get("case"):
        _case_can_be(report.plan, wish["case"], wish["view"])
    listed(written(report.plan, out or "out", drawings(report, wish, (to,))))


def _case_can_be(plan: Plan, case: str, view: str) -> None:
    from harness.base.near import hint
    from harness.electrics.cases import cases_of

    names = [*(one.name for one in cases_of(plan)), "worst"]
    if view != "run":
        raise CannotRun(f"currents are drawn on the run view, not on the {view} view")
    if case not in names:
        raise CannotRun(f'there is no case "{case}" in this plan; {hint(case, names, most=99)}')


def leads(plan: str, to: str, out: str | None) -> None:
    """List every lead: one row a lead, both ends; on standard output unless --out is given."""
    from harness.cli.press import handed_out, leads_document

    wiring = wiring_of(plan)
    handed_out(wiring.plan, [leads_document(wiring, to)], out)


def labels(
    plan: str | None, stock: str | None, out: str | None, skip: int, test_page: bool, to: str
) -> None:
    """Print labels for both ends of every lead, to exact millimetres."""
    from harness.cli.press import labels_document, stock_lines, test_page_document, written

    wiring = wiring_of(plan) if plan else None
    own = wiring.plan if wiring else None
    if stock is None:
        say("\n".join(stock_lines(own)))
        if plan or test_page:
            raise CannotRun("say which of these stocks to print on: --stock NAME")
        return
    if test_page:
        listed(written(own, out or "out", [test_page_document(own, stock)]))
        return
    if wiring is None:
        raise CannotRun("name the plan the labels are for")
    listed(written(own, out or "out", [labels_document(wiring, stock, skip)]))


def trace(plan: str, part: str) -> None:
    """Say how one part gets its signal and its supply, socket by socket."""
    from harness.documents.trace import trace_text

    try:
        say(trace_text(wiring_of(plan), part))
    except ValueError as error:
        raise CannotRun(str(error)) from None


def book(plan: str, page: str, out: str | None) -> None:
    """Make the build book, to use on a phone and to print, and the files beside it."""
    from harness.cli.book import book as documents
    from harness.cli.press import written

    report = report_of(plan)
    listed(written(report.plan, out or "out", documents(report, page)))


def rules(name: str | None) -> None:
    """List the rules, or print one rule's page."""
    from harness.cli.rulebook import rule_list, rule_page

    say(rule_page(name) if name else rule_list())


def keys(name: str | None) -> None:
    """List what may stand in a plan, or say what may stand in one group."""
    from harness.cli.keybook import key_list, key_page

    say(key_page(name) if name else key_list())


def new() -> None:
    """Print a commented plan to start from."""
    from importlib.resources import files

    say(files("harness.plan").joinpath("starter.yaml").read_text("utf-8"), end="")


COMMANDS: dict[str, Callable[..., int | None]] = {
    function.__name__: function
    for function in (
        check,
        assign,
        draw,
        leads,
        labels,
        trace,
        load,
        timeline,
        equalise,
        endurance,
        lengths,
        kit,
        steps,
        transmitter,
        protocol,
        record,
        compare,
        book,
        rules,
        keys,
        new,
    )
}


def main() -> None:
    """Run the command line and turn every expected failure into one clear line."""
    gc.set_threshold(*SELDOM)
    if sys.stdout is not None and hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="backslashreplace")  # a terminal that knows no umlauts
    try:
        code = _run()
    except KeyboardInterrupt:
        code = _cannot("interrupted")
    except BrokenPipeError:
        code = _nobody_listens()
    except (Refusal, OSError) as error:
        code = _cannot(str(error))
    except Exception as error:
        code = _explained(error)
    sys.exit(code or CLEAN)


def _run() -> int | None:
    """Read the words of the command line and run the command."""
    completing = "_ARGCOMPLETE" in os.environ
    parser = parser_of(COMMANDS, None if completing else _first_word())
    if completing:
        import argcomplete

        argcomplete.autocomplete(parser)
    words = vars(parser.parse_args())
    del words["command"]
    choose_colour(words.pop("color"))
    code: int | None = words.pop("run")(**words)
    if sys.stdout is not None:
        sys.stdout.flush()
    return code


def _first_word() -> str:
    """Return the first word given: all options of the program itself stand alone."""
    return next(iter(sys.argv[1:]), "")


def _nobody_listens() -> int:
    """Whoever read the output (`| head`) has left: say nothing, also when Python flushes."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return COULD_NOT


def _cannot(message: str) -> int:
    say(f"harness: {' '.join(message.split())}", to_error=True)
    return COULD_NOT


def _explained(error: Exception) -> int:
    """Tell a plan that is not understood; anything else is a fault of the program."""
    from harness.reading.problems import PlanError

    if isinstance(error, PlanError):
        from harness.cli.frames import problem_lines

        say("\n".join(problem_lines(error)), to_error=True)
        return COULD_NOT
    raise error


if __name__ == "__main__":
    main()
