"""The command line. Each command loads what it needs and nothing else."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from harness import __version__
from harness.base.refusal import Refusal
from harness.faces.exits import CLEAN, COULD_NOT, FINDINGS, CannotRun

if TYPE_CHECKING:
    from harness.checks.run import Report
    from harness.faces.press import Format
    from harness.reader.problems import PlanError

Command = Callable[..., Any]
VIEWS = ("run", "airframe", "power", "control")
COMPLETION = """
Shell completion: bash  eval "$(_HARNESS_COMPLETE=bash_source harness)"
zsh  eval "$(_HARNESS_COMPLETE=zsh_source harness)"
fish  _HARNESS_COMPLETE=fish_source harness | source
"""


def _colour(context: click.Context, _: click.Parameter, value: str) -> None:
    """Honour --color, then NO_COLOR, then whether a terminal listens."""
    if value != "auto":
        context.color = value == "always"
    elif os.environ.get("NO_COLOR"):
        context.color = False


colour_option = click.option(
    "--color",
    type=click.Choice(["auto", "always", "never"]),
    default="auto",
    expose_value=False,
    callback=_colour,
    help="Colour the text; NO_COLOR is honoured.",
)
out_option = click.option(
    "--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for documents."
)
plan_argument = click.argument("plan", type=click.Path(allow_dash=True))


@click.group(epilog=COMPLETION, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="harness")
def cli() -> None:
    """Plan the wiring of an electric model aeroplane: check it, draw it, list and label its leads.

    PLAN is a YAML file; - reads standard input. `harness new` prints one to start from.
    """


@cli.command()
@click.argument("plans", nargs=-1, required=True, type=click.Path(allow_dash=True))
@click.option("--format", "style", type=click.Choice(["text", "json", "sarif"]), default="text")
@click.option("--strict", is_flag=True, help="Warnings count too.")
@colour_option
def check(plans: tuple[str, ...], style: str, strict: bool) -> int:
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


def _checked(plans: tuple[str, ...]) -> tuple[list[Report], list[PlanError]]:
    from harness.checks.run import check as run
    from harness.faces.plans import plan_paths
    from harness.faces.progress import Progress
    from harness.reader.load import load_plan
    from harness.reader.problems import PlanError

    reports: list[Report] = []
    errors: list[PlanError] = []
    paths = plan_paths(plans)
    with Progress("checking") as progress:
        for number, path in enumerate(paths, 1):
            progress.step(f"checking {path} ({number} of {len(paths)})")
            try:
                reports.append(run(load_plan(path)))
            except PlanError as error:
                errors.append(error)
    return reports, errors


def _print_reports(style: str, reports: list[Report], errors: list[PlanError]) -> None:
    if style != "text":
        from harness.faces.machine import to_json, to_sarif

        click.echo({"json": to_json, "sarif": to_sarif}[style](reports, errors))
        return
    from harness.faces.frames import problem_lines, report_lines

    for number, report in enumerate(reports):
        click.echo("\n".join(["", *report_lines(report)] if number else report_lines(report)))
    for error in errors:
        click.echo("\n".join(problem_lines(error)), err=True)


def _report(path: str) -> Report:
    """Load and check the one plan of a command that makes documents."""
    from harness.checks.run import check as run
    from harness.reader.load import load_plan

    return run(load_plan(path))


@cli.command()
@plan_argument
@click.option("--view", type=click.Choice(VIEWS), default="run", show_default=True)
@click.option("--place", help="Only what is in this place, and what it is joined to.")
@click.option("--function", help="Only what serves this function.")
@click.option("--lead", help="Only this lead, traced from end to end.")
@click.option("--to", type=click.Choice(["svg", "pdf", "png"]), default="svg", show_default=True)
@click.option("--page", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@out_option
def draw(plan: str, out: Path | None, to: Format, **wish: Any) -> None:
    """Draw the wiring: as a run from receiver to devices, or laid out as the aeroplane."""
    from harness.faces.press import draw_files

    _listed(draw_files(_report(plan), out or Path("out"), wish, (to,)))


@cli.command()
@plan_argument
@click.option(
    "--to",
    type=click.Choice(["table", "csv", "markdown", "html"]),
    default="table",
    show_default=True,
)
@out_option
def leads(plan: str, to: str, out: Path | None) -> None:
    """List every lead: one row a lead, both ends."""
    from harness.faces.press import leads_file, leads_text

    report = _report(plan)
    if out is None:
        click.echo(leads_text(report, to), nl=False)
    else:
        _listed(leads_file(report, out, to))


@cli.command()
@click.argument("plan", type=click.Path(allow_dash=True), required=False)
@click.option("--stock", help="Name of a label stock; without it the stocks are listed.")
@click.option("--skip", type=click.IntRange(min=0), default=0, help="Labels used up already.")
@click.option("--to", type=click.Choice(["pdf"]), default="pdf")
@click.option("--test-page", is_flag=True, help="A page with rulers instead, to try the printer.")
@out_option
def labels(plan: str | None, stock: str | None, out: Path | None, **wish: Any) -> None:
    """Print labels for both ends of every lead, to exact millimetres."""
    from harness.faces.press import label_files, stock_lines

    report = _report(plan) if plan else None
    if stock is None:
        click.echo("\n".join(stock_lines(report)))
        if plan:
            raise CannotRun("say which of these stocks the labels go on: --stock NAME")
        return
    if report is None:
        raise CannotRun("name the plan the labels are for")
    _listed(label_files(report, out or Path("out"), stock, wish["skip"], wish["test_page"]))


@cli.command()
@plan_argument
@click.argument("part")
def trace(plan: str, part: str) -> None:
    """Say how one part gets its signal and its supply, socket by socket."""
    from harness.documents.trace import trace_text

    try:
        click.echo(trace_text(_report(plan).wiring, part))
    except ValueError as error:
        raise CannotRun(str(error)) from None


@cli.command()
@plan_argument
@click.option("--page", type=click.Choice(["A4", "Letter"]), default="A4", show_default=True)
@out_option
def book(plan: str, page: str, out: Path | None) -> None:
    """Make every document of a plan, with an index."""
    from harness.faces.press import book_files

    _listed(book_files(_report(plan), out or Path("out"), page))


def _listed(files: Iterable[Path]) -> None:
    """Print the path of each document as soon as it is written."""
    for path in files:
        click.echo(str(path))


@cli.command()
@click.argument("name", required=False)
@colour_option
def rules(name: str | None) -> None:
    """List the rules, or print one rule's page."""
    from harness.faces.rulebook import rule_list, rule_page

    click.echo(rule_page(name) if name else rule_list())


@cli.command()
def new() -> None:
    """Print a commented plan to start from."""
    from importlib.resources import files

    click.echo(files("harness.reader").joinpath("starter.yaml").read_text("utf-8"), nl=False)


def main() -> None:
    """Run the command line and turn every expected failure into one clear line."""
    if sys.stdout is not None and hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(errors="backslashreplace")  # a terminal that knows no umlauts
    try:
        code = cli.main(standalone_mode=False)
        if sys.stdout is not None:
            sys.stdout.flush()
    except click.exceptions.Abort:
        code = COULD_NOT
    except (BrokenPipeError, SystemExit):  # click leaves with 1, which means findings here
        code = _nobody_listens()
    except click.ClickException as error:
        error.show()
        code = error.exit_code
    except (Refusal, OSError) as error:
        code = _cannot(str(error))
    except Exception as error:
        code = _explained(error)
    sys.exit(code or CLEAN)


def _nobody_listens() -> int:
    """Whoever read the output (`| head`) has left: say nothing, also when Python flushes."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return COULD_NOT


def _cannot(message: str) -> int:
    click.echo(f"harness: {' '.join(message.split())}", err=True)
    return COULD_NOT


def _explained(error: Exception) -> int:
    """Tell a plan that is not understood; anything else is a fault of the program."""
    from harness.reader.problems import PlanError

    if isinstance(error, PlanError):
        from harness.faces.frames import problem_lines

        click.echo("\n".join(problem_lines(error)), err=True)
        return COULD_NOT
    raise error


if __name__ == "__main__":
    main()
