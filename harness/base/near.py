"""The words of messages: nearest right names, lists and counts as one says them, alike texts."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Sequence
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


NAME = re.compile(r'"?[\w.-]*\w"?')


def masked(text: str, names: Container[str]) -> str:
    """Return a text without the names in it: what alike texts have in common."""
    return NAME.sub(lambda m: "*" if m[0].strip('"') in names else m[0], text)


def told_once(texts: Sequence[str], names: Container[str]) -> str:
    """Return one text for alike ones: "Centre servo "a" and "b" on a tester"."""
    rows = ([m[0] for m in NAME.finditer(t) if m[0].strip('"') in names] for t in texts)
    places = iter([spoken(dict.fromkeys(place)) for place in zip(*rows, strict=True)])
    return NAME.sub(lambda m: next(places) if m[0].strip('"') in names else m[0], texts[0])


def numbers(found: Iterable[int]) -> str:
    """Say numbers: "1 to 4, 7, 8"."""
    runs: list[list[int]] = []
    for number in found:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{r[0]} to {r[-1]}" if len(r) > 2 else ", ".join(map(str, r)) for r in runs)
