"""How a label code is read: its words, and what it may be taken for.

`AIL-L` is the left aileron, `MOT-FL2` the second motor front left. The letters stand in the table
of functions; the scheme is our own. Letters and digits only, so that every label font has them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

_LEAD_WORDS = frozenset({"y", "ext", "extension", "lead", "reverser", "cable", "way", "n"})


def words_of(name: str) -> list[str]:
    """Split an id into its words: `motor-FrontLeft2` stays one word but for its number."""
    return [word for word in re.split(r"[-_/ ]+|(?<=\D)(?=\d)", name.lower()) if word]


def lead_stem(name: str) -> str:
    """Return what a lead's id says besides its kind and number: `aileron-y2` is aileron."""
    words = [word for word in words_of(name) if not word.isdecimal()]
    return "-".join(word for word in words if word not in _LEAD_WORDS) or name


OPPOSITE = (("left", "right"), ("port", "starboard"), ("l", "r"))
"""The words for the two sides."""


def opposite(text: str, swaps: Mapping[str, str]) -> str:
    """Return a text with the words for sides in it swapped; a large first letter stays one."""

    def other(found: re.Match[str]) -> str:
        word, there = found[0], swaps.get(found[0].lower(), "")
        return (there.title() if word.istitle() else there) or word

    return re.sub(r"[^-_.]+", other, text)


_ALIKE = str.maketrans({"O": "0", "I": "1", "L": "1", "S": "5", "B": "8", "Z": "2", "G": "6"})
_LOOKS = str.maketrans({"l": "1", "o": "0", "i": "1"})


def looks(code: str) -> frozenset[str]:
    """Return what a code may be taken for: two codes that share one of these look alike.

    0 and O, 1 and I and small l: RFC 4648 section 3.4 (from memory). 5 and S, 8 and B, 2 and Z,
    6 and G, capitals and small letters, and marks between letters: common practice, no source.
    """
    bare = re.sub(r"[\s\-_./+]+", "", unicodedata.normalize("NFKC", code))
    no_l = {k: v for k, v in _ALIKE.items() if k != ord("L")}
    capitals = bare.upper().translate(no_l)
    as_is = bare.translate(_LOOKS).upper().translate(no_l)
    return frozenset({capitals, as_is})
