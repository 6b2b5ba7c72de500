"""Loading the one plan of a command, and saying what was written."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from harness.cli.say import say

if TYPE_CHECKING:
    from pathlib import Path

    from harness.rules.run import Report
    from harness.wiring.build import Wiring


def report_of(path: str) -> Report:
    """Load and check the one plan of a command that makes documents."""
    from harness.plan.load import load_plan
    from harness.rules.run import check as run

    return run(load_plan(path))


def wiring_of(path: str) -> Wiring:
    """Load the one plan of a command that asks no rule."""
    from harness.plan.load import load_plan
    from harness.wiring.build import build

    return build(load_plan(path))


def listed(files: Iterable[Path]) -> None:
    """Print the path of each document as soon as it is written."""
    for path in files:
        say(str(path))
