"""The command that compares two plans."""

from __future__ import annotations

from harness.faces.exits import CannotRun


def compare(old: str, new: str, to: str, page: str, out: str | None) -> int | None:
    """Say what changed between two plans, in a builder's terms."""
    raise CannotRun("compare is not there yet")
