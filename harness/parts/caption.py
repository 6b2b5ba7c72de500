"""How numbers are said under the name of a part."""

from __future__ import annotations


def short(value: float) -> str:
    """Return a number without trailing zeros."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def amps(value: float | None) -> str:
    """Return a current, or "" where nobody said it."""
    return "" if value is None else f"{short(value)} A"


def joined(*words: str) -> str:
    """Return what there is of some words, with commas."""
    return ", ".join(word for word in words if word)
