"""Text for people on standard output and standard error, in colour where that is wanted."""

from __future__ import annotations

import os
import re
import sys

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
    """Print a text, without its styles where nobody wants to see them."""
    stream = sys.stderr if to_error else sys.stdout
    if stream is None:
        return
    when = _wanted[0]
    auto = not os.environ.get("NO_COLOR") and stream.isatty()
    coloured = when == "always" or (when == "auto" and auto)
    stream.write((text if coloured else plain(text)) + end)
    stream.flush()
