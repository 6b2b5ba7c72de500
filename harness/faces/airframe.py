"""The command about lengths along the airframe."""

from __future__ import annotations

from harness.faces.exits import CannotRun


def lengths(plan: str, to: str, page: str, out: str | None) -> None:
    """Say how long each lead must be along its route, and what lies in each bundle."""
    raise CannotRun("lengths is not there yet")
