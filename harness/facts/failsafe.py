"""What the words of a failsafe mean."""

from __future__ import annotations

import re

_SHARE = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)\s*%?\Z")

OFF = frozenset({"off", "idle", "low", "cut", "closed", "none", "stop", "no pulse", "no pulses"})
STAYS = frozenset({"hold", "holds", "last", "keep"})
UP = frozenset({"up", "retract", "retracted", "in", "raised", "closed"})
DOWN = frozenset({"down", "extend", "extended", "out", "lowered", "open"})


def plain_words(text: str) -> str:
    """Return a failsafe as written, in lower case with single spaces."""
    return " ".join(text.lower().replace("-", " ").split()) if not share(text) else text.strip()


def share(text: str) -> bool:
    """Say whether a failsafe is a number or percentage."""
    return _SHARE.match(text.strip()) is not None


def is_zero(text: str) -> bool:
    """Say whether a failsafe is a share of nothing, or less than nothing."""
    found = _SHARE.match(text.strip())
    return found is not None and float(found[1]) <= 0
