"""What is said while something takes long: on a terminal alone, and nothing that steers it."""

from __future__ import annotations

import io
import sys
from threading import Event

import pytest

from harness.cli import say
from harness.cli.say import Progress


class Stream(io.StringIO):
    """Standard error that tells when something has been written to it."""

    def __init__(self, *, terminal: bool) -> None:
        super().__init__()
        self.terminal, self.spoken = terminal, Event()

    def isatty(self) -> bool:
        return self.terminal

    def write(self, text: str) -> int:
        self.spoken.set()
        return super().write(text)


def test_a_terminal_is_told_the_step_and_wiped(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Stream(terminal=True)
    monkeypatch.setattr(say, "AFTER", 0.0)
    monkeypatch.setattr(sys, "stderr", stream)
    with Progress("checking \x1b[31mx\r\n.yaml"):
        assert stream.spoken.wait(30)
    line, wiped, rest = stream.getvalue().split("\r")
    assert line.rstrip() == "... checking .[31mx  .yaml"
    assert (wiped, rest) == (" " * len(line), "")


def test_nothing_is_said_where_nobody_watches(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Stream(terminal=False)
    monkeypatch.setattr(say, "AFTER", 0.0)
    monkeypatch.setattr(sys, "stderr", stream)
    with Progress("checking") as progress:
        progress.step("judging")
        assert progress._ends is None
    assert stream.getvalue() == ""


@pytest.mark.parametrize("terminal", [True, False])
def test_a_short_step_says_nothing(monkeypatch: pytest.MonkeyPatch, terminal: bool) -> None:
    stream = Stream(terminal=terminal)
    monkeypatch.setattr(say, "AFTER", 3600.0)
    monkeypatch.setattr(sys, "stderr", stream)
    with Progress("checking"):
        pass
    assert stream.getvalue() == ""
