"""Texts as YAML scalars, keys and comments that every YAML reader takes as they are."""

from __future__ import annotations

import json
import textwrap

LONGEST_KEY = 900
"""Signs of a key that stands on one line with its value; YAML allows 1,024."""
WIDTH = 98


def quoted(text: str) -> str:
    """Return a text in double quotes: what JSON quotes, YAML 1.2 reads."""
    return json.dumps(text, ensure_ascii=False)


def key_lines(name: str, value: str, indent: str) -> list[str]:
    """Return a key and its value; a key longer than YAML allows on one line gets its own.

    Ids of tests begin with a letter and hold no sign of YAML's: they need no quotes.
    """
    if len(name) < LONGEST_KEY:
        return [f"{indent}{name}: {value}".rstrip()]
    return [f"{indent}? {name}", f"{indent}: {value}".rstrip()]


def commented(text: str, indent: str = "") -> list[str]:
    """Return a text as comment lines."""
    lead = f"{indent}# "
    plain = " ".join(text.split())
    return [f"{lead}{line}" for line in textwrap.wrap(
        plain, max(WIDTH - len(lead), 20), break_long_words=False, break_on_hyphens=False
    )]  # fmt: skip
