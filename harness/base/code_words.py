"""How a label code spells a part: function, then where it sits, then its number.

`AIL-L` is the left aileron, `MOT-FL2` the second motor front left. The three letters of the
flight functions are common practice, without a source; the scheme is our own. Letters and
digits only, so that every label font has them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping

FUNCTIONS: Mapping[str, str] = {
    "aileron": "AIL",
    "elevator": "ELE",
    "rudder": "RUD",
    "throttle": "THR",
    "flap": "FLAP",
    "gear": "LEG",
    "gear-door": "DOOR",
    "door": "DOOR",
    "spoiler": "SPL",
    "steering": "STR",
    "v-tail": "VTL",
    "elevon": "EVN",
    "flaperon": "FPN",
    "brake": "BRK",
    "camera": "CAM",
}
"""Function words and their letters; any other word is cut down to four."""

POSITIONS: Mapping[str, str] = {
    "left": "L",
    "port": "L",
    "right": "R",
    "starboard": "R",
    "front": "F",
    "rear": "B",
    "back": "B",
    "aft": "B",
    "nose": "N",
    "tail": "T",
    "inner": "IN",
    "outer": "OUT",
    "upper": "U",
    "lower": "D",
    "centre": "C",
    "center": "C",
}
"""Words at the end of an id that say where the part sits, and their letters."""

_SIDE_LETTERS = {"left": "L", "right": "R"}
_LEAD_WORDS = frozenset({"y", "ext", "extension", "lead", "reverser", "cable", "way", "n"})
_LETTERS, _MOST_POSITIONS = 4, 2


def words_of(name: str) -> list[str]:
    """Split an id into its words: `motor-FrontLeft2` stays one word but for its number."""
    return [word for word in re.split(r"[-_/ ]+|(?<=\D)(?=\d)", name.lower()) if word]


def stem_and_mark(name: str, side: str = "") -> tuple[str, str]:
    """Split an id into its stem and its mark: `flap-inner-left-2` is (flap, INL2).

    The mark's number has at most two digits. `side`, left or right, is added when the id does
    not say it.
    """
    words, number = words_of(name), ""
    if len(words) > 1 and re.fullmatch(r"0*[1-9][0-9]?", words[-1], re.ASCII):
        number = str(int(words.pop()))
    letters: list[str] = []
    while len(words) > 1 and words[-1] in POSITIONS and len(letters) < _MOST_POSITIONS:
        if "-".join(words) in FUNCTIONS:
            break
        letters.insert(0, POSITIONS[words.pop()])
    own = _SIDE_LETTERS.get(side, "")
    if own and not {"L", "R"} & set(letters):
        letters.append(own)
    return "-".join(words), "".join(letters) + number


def lead_stem(name: str) -> str:
    """Return what a lead's id says besides its kind and number: `aileron-y2` is aileron."""
    words = [word for word in words_of(name) if not word.isdecimal()]
    return "-".join(word for word in words if word not in _LEAD_WORDS) or name


def abbreviate(word: str, otherwise: str = "LEAD") -> str:
    """Return two to four capitals for a function or a builder's own word."""
    if word.lower() in FUNCTIONS:
        return FUNCTIONS[word.lower()]
    plain = unicodedata.normalize("NFKD", word).upper()
    letters = re.sub(r"[^A-Z0-9]", "", plain)
    if len(letters) <= _LETTERS:
        return letters if len(letters) > 1 else otherwise
    return (letters[0] + re.sub(r"[AEIOU]", "", letters[1:]))[:_LETTERS]


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
