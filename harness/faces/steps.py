"""The command about the order of work."""

from __future__ import annotations

from harness.faces.exits import CannotRun


def steps(plan: str, field: bool, to: str, page: str, out: str | None) -> None:
    """Give the order of work, step by step, with boxes to tick."""
    raise CannotRun("steps is not there yet")
