"""A word on standard error when something takes longer than a second."""

from __future__ import annotations

import sys
import threading
from types import TracebackType

AFTER = 1.0
"""Seconds of silence before the first word."""


class Progress:
    """Says which step is under way, once a second, after the first second.

    On a terminal the line is rewritten and wiped at the end; elsewhere each step is a line.
    """

    def __init__(self, what: str) -> None:
        self.step_name = what
        self._shown = ""
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._speak, daemon=True)

    def step(self, name: str) -> None:
        """Name the step that starts now."""
        self.step_name = name

    def _speak(self) -> None:
        while not self._stop.wait(AFTER):
            if self.step_name != self._shown:
                self._shown = self.step_name
                line = f"... {self.step_name}"
                wide = f"{line:<70}\r" if sys.stderr.isatty() else f"{line}\n"
                print(wide, end="", file=sys.stderr, flush=True)

    def __enter__(self) -> Progress:
        self._thread.start()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._stop.set()
        if self._shown and sys.stderr.isatty():
            print(" " * 70, end="\r", file=sys.stderr)
