"""The command about the kit."""

from __future__ import annotations

from harness.faces.exits import CannotRun


def kit(plan: str, to: str, page: str, out: str | None) -> None:
    """Say what of the kit is used where, what must be bought, and what is left over."""
    raise CannotRun("kit is not there yet")
