"""What the house stands on at run time, and under which licence: a table for `LICENCES.md`.

`python tests/release/licences.py` prints it, from what the installed packages say of themselves.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).parents[2]
CLASSIFIER = "License :: OSI Approved :: "


def wanted() -> list[str]:
    """The names of what pyproject.toml asks for at run time."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    return [_name(text) for text in project["dependencies"]]


def _name(requirement: str) -> str:
    found = re.match(r"[A-Za-z0-9._-]+", requirement)
    assert found is not None
    return re.sub(r"[-_.]+", "-", found[0]).lower()


def closure(names: list[str]) -> Iterator[str]:
    """Yield them and all that they need in turn; what is for another Python is not installed."""
    seen, todo = set[str](), list(names)
    while todo:
        if (name := todo.pop()) in seen:
            continue
        seen.add(name)
        try:
            needs = distribution(name).requires or []
        except PackageNotFoundError:
            continue
        yield name
        todo += [_name(need) for need in needs if "extra ==" not in need]


def licence(name: str) -> str:
    """Return what a package says: an SPDX expression, a classifier, or the first line of a text."""
    told = distribution(name).metadata
    if expression := told.get("License-Expression"):
        return str(expression)
    kinds = [c for c in told.get_all("Classifier") or () if c.startswith("License :: ")]
    if kinds:
        return ", ".join(sorted(c.removeprefix(CLASSIFIER).split(" :: ")[-1] for c in kinds))
    first = str(told.get("License") or "").strip().partition("\n")[0]
    return first if len(first) < 60 else "not said in its metadata"


def table() -> str:
    """Return the table, with a line for each package."""
    rows = [f"| {name} | {licence(name)} |" for name in sorted(closure(wanted()))]
    return "\n".join(["| package | licence, as it says itself |", "|---|---|", *rows]) + "\n"


if __name__ == "__main__":
    print(table(), end="")
