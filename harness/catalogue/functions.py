"""The functions of an aeroplane in builders' words, as the table `functions` has them.

What a word means is data: a row of the catalogue, or of a plan's own `functions`. A word is read
without its side, number, plural and hyphens: `ailerons-l1` is the left aileron.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher
from functools import cache, lru_cache

from harness.base.code_words import words_of
from harness.base.data import dataclass
from harness.catalogue.tables import Catalogue, load

TABLE = "functions"
SIDES = ("left", "right")
PAIRS: Mapping[str, str] = {
    "same": "both turn the same way about the aeroplane's axis: flaps",
    "opposite": "left and right turn opposite ways: ailerons",
    "mirrored": "left and right turn opposite ways so that both open: doors",
    "own": "each surface needs a channel of its own: it moves for two sticks",
    "channel": "what those on whose channel it hangs must do: nozzles",
    "seen": "geometry does not tell; what was measured must be the same word",
    "any": "nothing to judge",
}
"""What two things of one function must do on one pulse."""
BESIDE: Mapping[str, str] = {
    "same": "it turns the way they do: nozzles with the elevator",
    "opposite": "it turns against them: a canard and the elevator",
    "seen": "geometry does not tell; what was measured must be the same word",
}
"""What a thing must do on one pulse with those on whose channel it may hang."""

_SPLIT = re.compile(r"[-_/. ]+")
_LETTERS, _MOST_POSITIONS, _NEAR = 4, 2, 4


@dataclass(frozen=True, slots=True)
class Function:
    """What one function does.

    `pair`: one of `PAIRS`; `mixes`: the functions it moves for; `on`: whose channel it may hang
    on, and there one of `BESIDE`; `shares`: with what it may share a pulse; `stands`: how its
    surface lies in the air; `ahead`: before the centre of gravity. `failsafe`: what is proposed
    for its channel, and why (`because`; `settle`: builders differ); `rank`: 1 is needed to fly,
    4 can be missed; `switch`: what works it, where no stick does.
    """

    name: str
    many: str
    pair: str = ""
    mixes: tuple[str, ...] = ()
    on: tuple[str, ...] = ()
    shares: tuple[str, ...] = ()
    stick: str = ""
    group: str = ""
    stands: str = ""
    tail: bool = False
    ahead: bool = False
    beside: str = ""
    letters: str = ""
    failsafe: str = ""
    because: str = ""
    settle: bool = False
    rank: int = 4
    switch: str = ""

    @property
    def flown(self) -> bool:
        """Say whether a stick or the gear switch moves it: what every builder knows."""
        return bool(self.stick or self.group)


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a word of a plan says: without side, number and plural; its side; its function."""

    plain: str
    side: str
    function: Function | None
    exact: bool = False


class Vocabulary:
    """The words of a catalogue, a plan's own among them."""

    def __init__(self, catalogue: Catalogue) -> None:
        self.functions: dict[str, Function] = {}
        self._means: dict[str, str] = {}
        self.sides: dict[str, str] = {}
        self.places: dict[str, str] = {}
        for row in catalogue.rows(TABLE):
            said = {
                key: value.text
                for key in catalogue.keys(TABLE, row)
                if (value := catalogue.value(TABLE, row, key))
            }
            if said.get("means"):
                self._means[row.lower()] = said["means"].lower()
            elif said.get("side"):
                self.sides[row.lower()] = said["side"]
            elif "where" in said:
                self.places[row.lower()] = said["where"].strip("-")
            else:
                self.functions[row.lower()] = _function(row.lower(), said)
        self._index = {name.replace("-", ""): name for name in self.functions}
        for word in self._means:
            self._index.setdefault(_SPLIT.sub("", word), word)
        self._read: dict[str, Meaning] = {}

    def read(self, text: str) -> Meaning:
        """Return what a word says; one that is not known keeps its own spelling."""
        if text not in self._read:
            self._read[text] = self._meaning(text, [])
        return self._read[text]

    def _meaning(self, text: str, seen: list[str]) -> Meaning:
        words = [word for word in _SPLIT.split(text.lower()) if word]
        whole = "-".join(words)
        if whole in self._means and whole not in seen:
            return self._meaning(self._means[whole], [*seen, whole])
        ends = (0, len(words) - 1)
        sided = [
            w
            for n, w in enumerate(words)
            if w in self.sides and (len(w) > 1 or (n in ends and len(words) > 1))
        ]
        sides = {self.sides[word] for word in sided}
        side = sides.pop() if len(sides) == 1 else ""
        rest = [word for word in words if word not in sided]
        while len(rest) > 1 and rest[-1].isdigit():
            rest.pop()
        rest[-1:] = [re.sub(r"[0-9]+$", "", word) or word for word in rest[-1:]]
        if not rest:
            return Meaning(text.lower(), side, None)
        function, left, exact = self._found(rest, seen)
        if function is None:
            return Meaning(_singular("-".join(rest)), side, None)
        return Meaning("-".join((function.name, *left)), side, function, exact)

    def _found(self, words: list[str], seen: list[str]) -> tuple[Function | None, list[str], bool]:
        """Return the function of some words, what is left, and whether that only says where.

        The core without words of place; else the longest beginning, if no other function follows.
        """
        core = [word for word in words if word not in self.places]
        for part in (words, core):
            if part and (function := self._named(part, seen)):
                return function, [w for w in words if w not in part], True
        for many in range(len(words) - 1, 0, -1):
            function, left = self._named(words[:many], seen), words[many:]
            if function is not None:
                rest = self._named(left, seen)
                return (None if rest else function), left, False
        return None, [], False

    def _named(self, words: Sequence[str], seen: list[str]) -> Function | None:
        """Return the function of just these words, hyphens and plural aside."""
        whole = "".join(words)
        name = self._index.get(whole) or self._index.get(_singular(whole), "")
        if name in self._means and name not in seen:
            return self._meaning(self._means[name], [*seen, name]).function
        return self.functions.get(name)

    def plain(self, text: str) -> str:
        """Return a function without side, number and plural: ailerons-left is aileron."""
        return self.read(text).plain

    def side(self, text: str) -> str:
        """Return the side a word names: left, right or ""."""
        return self.read(text).side

    def find(self, text: str) -> Function | None:
        """Return the function that a word names, None when it is not known."""
        return self.read(text).function

    def base(self, text: str) -> str:
        """Return the function's own name, without the place in it; a word not known as it is."""
        meaning = self.read(text)
        return meaning.function.name if meaning.function else meaning.plain

    def pair(self, text: str) -> str:
        """Return what two of a function must do on one pulse, "" where nobody said."""
        function = self.find(text)
        return function.pair if function else ""

    def sticks(self, text: str) -> tuple[str, ...]:
        """Return the sticks that move a function; a mixed one answers to those of its halves."""
        function = self.find(text)
        if function is None:
            return ()
        halves = [self.functions[name] for name in function.mixes if name in self.functions]
        own = [one.stick for one in (function, *halves)]
        return tuple(dict.fromkeys(stick for stick in own if stick))

    def is_flown(self, text: str) -> bool:
        """Say whether a word is a function that a stick or the gear switch moves."""
        function = self.find(text)
        return function is not None and function.flown

    def mixed(self, *of: str) -> tuple[str, ...]:
        """Return the functions whose surfaces need a channel each; those that are `of` first."""
        return tuple(
            f.name
            for f in self.functions.values()
            if f.pair == "own" and (not of or f.mixes[:1] == of)
        )

    def agree(self, moves: str, channel: str) -> bool:
        """Say whether a part that moves one function belongs on a channel of another name.

        Either way round: aileron on flaperon, flap-inner on flap, steering on rudder.
        """
        mine, other = self.read(moves), self.read(channel)
        if mine.side and other.side and mine.side != other.side:
            return False
        one, two = mine.plain, other.plain
        near = one == two or one.startswith(f"{two}-") or two.startswith(f"{one}-")
        return near or _carried(mine.function, other.function)

    def nearest(self, text: str) -> tuple[str, ...]:
        """Return a few of the functions it knows, the most like a word first."""
        like: dict[str, float] = {}
        for word in (*self.functions, *self._means):
            close = SequenceMatcher(None, text.lower(), word).ratio()
            name = self.base(word)
            like[name] = max(close, like.get(name, 0.0))
        order = sorted(
            (f for f in self.functions.values() if f.pair != "any"),
            key=lambda f: (-like[f.name], not f.flown),
        )
        return tuple(function.name for function in order[:_NEAR])

    def spellings(self) -> dict[str, tuple[str, ...]]:
        """Return the other words of each function, by its name, in the order of the table."""
        found: dict[str, list[str]] = {name: [] for name in self.functions}
        for word in self._means:
            found.setdefault(self.base(word), []).append(word)
        return {name: tuple(words) for name, words in found.items()}

    def stem_and_mark(self, name: str, side: str = "") -> tuple[str, str]:
        """Split an id into its stem and its mark: `flap-inner-left-2` is (flap, INL2).

        The mark's number has at most two digits. `side`, left or right, is added when the id does
        not say it.
        """
        words, number = words_of(name), ""
        if len(words) > 1 and re.fullmatch(r"0*[1-9][0-9]?", words[-1], re.ASCII):
            number = str(int(words.pop()))
        letters: list[str] = []
        while len(words) > 1 and len(letters) < _MOST_POSITIONS:
            letter = self.sides.get(words[-1], "")[:1].upper() or self.places.get(words[-1], "")
            if not letter or "".join(words) in self._index:
                break
            words.pop()
            letters.insert(0, letter)
        own = side[:1].upper()
        if own and not {"L", "R"} & set(letters):
            letters.append(own)
        return "-".join(words), "".join(letters) + number

    def abbreviate(self, word: str, otherwise: str = "LEAD") -> str:
        """Return two to four capitals for a function or a builder's own word."""
        meaning = self.read(word)
        if meaning.exact and meaning.function and meaning.function.letters:
            return meaning.function.letters
        plain = unicodedata.normalize("NFKD", word).upper()
        letters = re.sub(r"[^A-Z0-9]", "", plain)
        if len(letters) <= _LETTERS:
            return letters if len(letters) > 1 else otherwise
        return (letters[0] + re.sub(r"[AEIOU]", "", letters[1:]))[:_LETTERS]


def _function(name: str, said: Mapping[str, str]) -> Function:
    mixes, on, shares = (_names(said, key) for key in ("mixes", "on", "shares"))
    stick, group, stands, letters, beside = (
        said.get(k, "") for k in ("stick", "group", "stands", "letters", "beside")
    )
    safe, because, switch = (said.get(k, "") for k in ("failsafe", "because", "switch"))
    pair = said.get("pair") or ("own" if mixes else "")
    many = said.get("many", f"{name}s")
    tail, ahead = said.get("tail") == "yes", said.get("ahead") == "yes"
    return Function(
        name,
        many,
        pair,
        mixes,
        on,
        shares,
        stick,
        group,
        stands,
        tail,
        ahead,
        beside,
        letters,
        safe,
        because,
        said.get("settle") == "yes",
        int(said.get("rank", 4)),
        switch,
    )


def _names(said: Mapping[str, str], key: str) -> tuple[str, ...]:
    return tuple(said.get(key, "").lower().split())


def _singular(word: str) -> str:
    return word[:-1] if word.endswith("s") and not word.endswith("ss") else word


def _carried(one: Function | None, other: Function | None) -> bool:
    """Say whether one of two functions may hang on a channel named after the other."""
    if one is None or other is None:
        return False
    return bool({one.name} & {*other.mixes, *other.on} or {other.name} & {*one.mixes, *one.on})


@lru_cache(maxsize=32)
def vocabulary_of(catalogue: Catalogue) -> Vocabulary:
    """Return the words of a catalogue."""
    return Vocabulary(catalogue)


@cache
def vocabulary() -> Vocabulary:
    """Return the words that come with the program."""
    return vocabulary_of(load())
