"""The words of messages: the nearest right name, lists and counts as one says them."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

LONGEST = 60
"""A word with more letters is no mistyped name."""


def nearest(word: str, names: Iterable[str]) -> str | None:
    """Return the name most like `word`, or None when nothing is like it."""
    pool = sorted(set(names))
    if len(word) > LONGEST:
        return None
    folded = {name.lower(): name for name in reversed(pool)}
    found = get_close_matches(word.lower(), list(folded), n=1, cutoff=0.6)
    return folded[found[0]] if found else None


def hint(word: str, names: Iterable[str], *, most: int = 8) -> str:
    """Return `did you mean "x"?`, or the list of names when it is short enough to help."""
    pool = sorted(set(names))
    close = nearest(word, pool)
    if close is not None:
        return f'did you mean "{close}"?'
    if 0 < len(pool) <= most:
        return "it can be: " + ", ".join(pool)
    return ""


def spoken(words: Iterable[str], last: str = "and") -> str:
    """Return "a, b and c"."""
    pool = list(words)
    if len(pool) <= 1:
        return "".join(pool)
    return f"{', '.join(pool[:-1])} {last} {pool[-1]}"


def counted(many: int, word: str) -> str:
    """Return "1 joint" or "3 joints"; for words whose plural is theirs and an s."""
    return f"{many} {word}{'s' * (many != 1)}"


def capital(text: str) -> str:
    """Return a text with a large first letter, the others as they are."""
    return text[:1].upper() + text[1:]
