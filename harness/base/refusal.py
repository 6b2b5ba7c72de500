"""One clear line for people: the error that ends a job with it, and the signs it may hold."""

from __future__ import annotations


class Refusal(Exception):  # noqa: N818 - what it is
    """Something that cannot be done, said so that a builder knows why and what to do."""


def printable(text: str) -> str:
    """Return a text on one line, with a dot for every sign that could steer a terminal."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else " " if c.isspace() else "." for c in text)
