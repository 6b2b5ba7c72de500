"""Lines of text for a terminal: how wide they are, how they break, which signs they have."""

from __future__ import annotations

import textwrap

WIDTH = 110
HARD = "\N{NO-BREAK SPACE}"
"""A space at which no line is broken."""
TYPED = str.maketrans({"→": "->", "°": "", HARD: " ", "–": "-"})
"""For a terminal, which may not know these signs."""


def wrapped(text: str, width: int, indent: str = "") -> list[str]:
    """Break a text into lines, never inside a word; further lines begin with `indent`."""
    return textwrap.wrap(
        text, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )
