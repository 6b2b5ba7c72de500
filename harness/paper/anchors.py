"""Where links of a paper lead to, beyond the anchors that its chapters and headings state."""

from __future__ import annotations

import re


def row_anchor(chapter: str, first: str) -> str:
    """Return the anchor of a table's row: its chapter's anchor and the text of its first cell."""
    return f"{chapter}--{plain_id(first)}"


def plain_id(text: str) -> str:
    """Return letters, digits, `.` and `-` only; different texts give different ids."""
    return re.sub(r"[^A-Za-z0-9.-]", lambda found: f"_{ord(found[0]):x}_", text)
