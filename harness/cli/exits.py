"""Exit codes of the command line, and the error that leads to the last of them."""

from __future__ import annotations

from harness.base.refusal import Refusal

CLEAN = 0
"""No danger and no error (with --strict: no warning either)."""
FINDINGS = 1
"""Some."""
COULD_NOT = 2
"""The job could not be done: a plan not understood, a file not readable, a wrong option."""


class CannotRun(Refusal):
    """A wish of the command line that cannot be met; exit code 2."""
