"""From the paths a user gives to the plans that are meant."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from harness.cli.exits import CannotRun
from harness.plan.plan import Plan
from harness.plan.results import NOT_PLANS

ENDINGS = (".yaml", ".yml")


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
