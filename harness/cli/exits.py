"""Exit codes of the command line, and the error that says that a job could not be done."""

from __future__ import annotations

from harness.base.refusal import Refusal

CLEAN = 0
"""No danger and no error (with --strict: no warning either)."""
FINDINGS = 1
"""Some."""
COULD_NOT = 2
"""The job could not be done: a plan not understood, a file not readable, a wrong option."""
STOPPED = 128
"""And the number of the signal that stopped it, as shells have it: 130 for an interrupt."""


class CannotRun(Refusal):
    """A wish of the command line that cannot be met; exit code 2."""
