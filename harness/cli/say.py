"""Text for people: on standard output and standard error, and while something takes long."""

from __future__ import annotations

import os
import re
import sys

from harness.base.refusal import Refusal, printable

TYPE_CHECKING = False  # typing itself takes long to import
if TYPE_CHECKING:
    from threading import Event, Thread

_CODES = {"red": 31, "yellow": 33, "magenta": 35, "cyan": 36}
_STYLED = re.compile(r"\x1b\[[0-9;]*m")
_wanted: list[str] = ["auto"]


def choose_colour(when: str) -> None:
    """Set when text is coloured: always, never, or auto (a terminal listens, NO_COLOR is unset)."""
    _wanted[0] = when


def style(text: str, tint: str = "", *, bold: bool = False, dim: bool = False) -> str:
    """Return a text with its style (ECMA-48, select graphic rendition); `say` may take it off."""
    codes = [str(_CODES[tint])] if tint else []
    codes += ["1"] * bold + ["2"] * dim
    return f"\x1b[{';'.join(codes)}m{text}\x1b[0m" if codes else text


def plain(text: str) -> str:
    """Return a text without its styles."""
    return _STYLED.sub("", text)


def say(text: str, *, to_error: bool = False, end: str = "\n") -> None:
    """Print a text, without its styles where nobody wants to see them.

    Whoever has left (`| head`) misses the rest of it, and the work goes on. Raises Refusal.
    """
    stream = sys.stderr if to_error else sys.stdout
    if stream is None:
        return
    when = _wanted[0]
    auto = not os.environ.get("NO_COLOR") and stream.isatty()
    coloured = when == "always" or (when == "auto" and auto)
    try:
        stream.write((text if coloured else plain(text)) + end)
        stream.flush()
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())  # Python flushes as it leaves
        if not to_error and not isinstance(error, BrokenPipeError):
            raise Refusal(f"standard output cannot be written: {error.strerror}") from None


AFTER = 1.0
"""Seconds of silence before the first word, and between two."""


class Progress:
    """Says on a terminal which step is under way, once a second, after the first second.

    The line is rewritten, and wiped at the end. Where standard error is no terminal, nothing is
    said: there it would stay.
    """

    def __init__(self, what: str) -> None:
        self._step, self._shown = what, ""
        self._ends: tuple[Event, Thread] | None = None

    def step(self, name: str) -> None:
        """Name the step that starts now."""
        self._step = name

    def __enter__(self) -> Progress:
        if sys.stderr is not None and sys.stderr.isatty():
            from threading import Event, Thread

            done = Event()
            speaking = Thread(target=self._speak, args=[done], daemon=True)
            speaking.start()
            self._ends = done, speaking
        return self

    def _speak(self, done: Event) -> None:
        while not done.wait(AFTER):
            if self._step != self._shown:
                self._shown = self._step
                say(f"{f'... {printable(self._shown)}':<70}", to_error=True, end="\r")

    def __exit__(self, *_: object) -> None:
        if self._ends is not None:
            done, speaking = self._ends
            done.set()
            speaking.join()
        if self._shown:
            say(" " * 70, to_error=True, end="\r")
