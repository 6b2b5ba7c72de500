"""From what a user names to plans, wirings and reports, and to the folder of their documents."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from harness.base.refusal import MOST_PARTS
from harness.base.span import START, Source
from harness.cli.exits import CannotRun
from harness.plan.load import by_code, load_plan, parse_plan
from harness.plan.plan import Plan
from harness.reading.problems import MOST_HINTS, PlanError, Problem

if TYPE_CHECKING:
    from harness.documents.labels import Stock
    from harness.rules.run import Report
    from harness.wiring.build import Wiring

WRITE = 0o222
"""The bits of a file's mode that let anybody write."""
ENDINGS = (".yaml", ".yml")


def plan_of(path: str, command: str) -> Plan:
    """Load a plan of a command. Raises PlanError, also where it is more than the command takes."""
    plan, most = load_plan(path), MOST_PARTS.get(command, MOST_PARTS["check"])
    if len(plan.parts) > most:
        words = f"{len(plan.parts)} parts: `harness {command}` takes at most {most} at once"
        raise PlanError(plan.source, [Problem(words, START, "make a plan of each aeroplane")])
    return plan


def report_of(path: str, command: str) -> Report:
    """Load and check the one plan of a command that makes documents."""
    from harness.rules.run import check

    return check(plan_of(path, command))


def wiring_of(path: str, command: str) -> Wiring:
    """Load the one plan of a command that asks no rule."""
    from harness.wiring.build import build

    return build(plan_of(path, command))


def needs_file(path: str, write: bool) -> None:
    """Refuse to change a plan that has no file."""
    if write and path == "-":
        raise CannotRun("--write needs a file: a plan from standard input cannot be changed")
    if write and (Path(path).is_fifo() or Path(path).is_char_device()):
        raise CannotRun(f'--write needs a file, and "{path}" is a pipe or a device')


def write_file(path: str, text: str, before: Source | None) -> None:
    """Write a file whole where it really lies, were it a link; a write-protected one stays.

    `before`: what was read of it, where there was one: who has changed it since keeps his change.
    """
    from harness.base.files import write_whole

    refuse_protected(path)
    file = Path(path).resolve()  # a link stays a link
    mark = "\ufeff" if file.exists() and file.read_bytes()[:3] == b"\xef\xbb\xbf" else ""
    try:
        write_whole(file, mark + text, lambda: _refuse_changed(path, before))
    except OSError as error:
        raise CannotRun(f'"{path}" cannot be written: {error.strerror or error}') from None


def _refuse_changed(path: str, before: Source | None) -> None:
    from harness.reading.text import decode

    now = decode(path, Path(path).read_bytes()) if Path(path).exists() else None
    if now != (before.text if before else None):
        raise CannotRun(f'"{path}" has been changed meanwhile: nothing is written')


def refuse_protected(path: str) -> None:
    """Refuse a file that nobody may write, or not this user."""
    file = Path(path)
    if file.exists() and not (file.stat().st_mode & WRITE and os.access(file, os.W_OK)):
        raise CannotRun(f'"{path}" is write-protected, so nothing is written')


def by_label_codes(error: PlanError) -> PlanError:
    """Say which socket is meant where a plug is said to go into what is a label code.

    The codes are proposed for a wiring: what the plan says without those plugs.
    """
    from harness.wiring.build import build
    from harness.wiring.codes import codes_by_part

    missing = re.compile(r'there is no part "([^"]*[A-Z][^"]*)"')
    named = [(p, m[1]) for p in error.problems if (m := missing.match(p.message))]
    if not 0 < len(named) == len(error.problems) < MOST_HINTS:
        return error
    words = "|".join(re.escape(code) for _, code in named)
    text = re.sub(
        rf"\b(plug|supply):[ ]*(?:{words})(?:\.[\w-]+)?(?=[\s,}}])", "", error.source.text
    )
    try:
        wiring = build(parse_plan(Source(error.source.name, text)))
    except PlanError:
        return error
    parts, of = wiring.plan.parts, {c: p for p, all_ in codes_by_part(wiring).items() for c in all_}
    told = []
    for problem, code in named:
        line = error.source.line(problem.span.line)
        socket = re.match(rf".*?{re.escape(code)}\.([\w-]+)", line[problem.span.column - 1 :])
        help_ = (
            by_code(code, parts[of[code]], socket[1] if socket else "", parts)
            if code in of
            else problem.help
        )
        told.append(replace(problem, help=help_))
    return PlanError(error.source, told)


def own_stocks(plan: Plan) -> list[Stock]:
    """Return the label stocks a plan describes. Raises PlanError when one cannot be."""
    from harness.documents.labels import StockError, stock_from_mapping

    found, problems = [], []
    for name, stock in plan.stocks.items():
        try:
            found.append(stock_from_mapping(name, stock.dimensions()))
        except StockError as error:
            problems.append(Problem(str(error), stock.span))
    if problems:
        raise PlanError(plan.source, problems)
    return found


def plan_paths(given: Iterable[str]) -> list[str]:
    """Return the files meant: each path as given, a folder as the plans below it by name.

    Results (`x.results.yaml`) and records (`x.record.yaml`) lie beside plans and are none.
    """
    found: list[str] = []
    for path in given:
        if path not in {"-", ""} and Path(path).is_dir():
            found += _below(Path(path))
        else:
            found.append(path)
    return list(dict.fromkeys(found))


def _below(folder: Path) -> list[str]:
    from harness.plan.results import NOT_PLANS

    files = [
        file
        for file in sorted(folder.rglob("*"))
        if file.suffix in ENDINGS and not file.is_dir() and not _hidden(file.relative_to(folder))
        if not file.stem.endswith(NOT_PLANS)
    ]
    if not files:
        raise CannotRun(f'there is no plan (a file that ends in .yaml) in the folder "{folder}"')
    return [str(file) for file in files]


def _hidden(path: Path) -> bool:
    return any(step.startswith(".") for step in path.parts)


def folder_name(plan: Plan) -> str:
    """Return the name of the folder for a plan's documents: its file's, or its aircraft's."""
    name = plan.source.name
    stem = plan.aircraft if name.startswith("<") else Path(name).stem
    return re.sub(r"[^\w.-]+", "-", stem.lower()).strip("-.") or "plan"
