"""The commands about the radio and the tests: transmitter sheet, protocol, record."""

from __future__ import annotations

from harness.faces.exits import CannotRun


def transmitter(plan: str, to: str, page: str, out: str | None) -> None:
    """Print the transmitter sheet: what to set up on each channel."""
    raise CannotRun("transmitter is not there yet")


def protocol(plan: str, to: str, page: str, out: str | None) -> None:
    """Print the bench protocol: numbered tests, what is expected, room for what was measured."""
    raise CannotRun("protocol is not there yet")


def record(plan: str, results: str, to: str) -> int | None:
    """Compare what was measured with what was expected, and keep it beside the plan."""
    raise CannotRun("record is not there yet")
