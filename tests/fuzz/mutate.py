"""Plans spoiled by chance: bytes, lines, words, numbers, and the parts of their structure."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import yaml
from fuzz.numbers import ROOT, Walker, schema_of

WORD = re.compile(r"[\w.-]+|\s+|[^\w\s]")
NUMBER = re.compile(r"(?<![\w.-])\d+(?:\.\d+)?")
NUMBERS = (
    "0 0.0 00 1 1.5 -1 007 12 60 64 99 1000 999999999999 0.000000000001 1e300 1e-300 .nan .inf"
)
SIGNS = [b"\0", b"\t", b"\r", b"\n", b"\xff", b"\xc3", b"\xe2\x80\xae", b"\xef\xbb\xbf", b" ", b":"]
SIGNS += [
    b"#",
    b"-",
    b"'",
    b'"',
    b"{",
    b"}",
    b"[",
    b"]",
    b",",
    b"&a",
    b"*a",
    b"!",
    b"|",
    b">",
    b"?",
]
UNKNOWN = "zzword"
"""A key that no plan has."""


@dataclass(frozen=True)
class Mutant:
    """A spoiled plan. `how`: by which of the ways; `must`: whether it may not be accepted."""

    data: bytes
    how: str
    must: bool = False


@cache
def seeds() -> dict[str, str]:
    """Every plan of the project by its path, the small ones of this folder too."""
    paths = [*ROOT.glob("examples/*.yaml"), *ROOT.glob("examples/broken/*.yaml")]
    paths += [*ROOT.glob("tests/fuzz/plans/*.yaml"), ROOT / "tests/every_kind.yaml"]
    paths += ROOT.glob("harness/plan/starters/*.yaml")
    return {
        str(path.relative_to(ROOT)): path.read_text("utf-8")
        for path in sorted(paths)
        if "." not in path.stem
    }


@cache
def vocabulary() -> list[str]:
    """Every key and every word to choose from that the schema has, and all words of the plans."""
    found: set[str] = set()

    def gather(part: object) -> None:
        for inner in part if isinstance(part, list) else ():
            gather(inner)
        if isinstance(part, dict):
            found.update(part.get("properties", ()), map(str, part.get("enum", ())))
            for inner in part.values():
                gather(inner)

    gather(schema_of("plan"))
    for text in seeds().values():
        found.update(re.findall(r"[\w.-]+", re.sub(r"#.*", "", text)))
    return sorted(found)


def of_bytes(chance: random.Random, text: str) -> Mutant:
    data = bytearray(text.encode())
    for _ in range(chance.randint(1, 3)):
        at, more = chance.randrange(len(data) + 1), chance.randint(1, 40)
        cut = chance.choice([b"", chance.choice(SIGNS), bytes([chance.randrange(256)]),
                             bytes(data[at : at + more]) * 2])  # fmt: skip
        data[at : at + chance.choice([0, len(cut), more])] = cut
    return Mutant(bytes(data), "bytes")


def of_pieces(chance: random.Random, pieces: list[str], others: list[str]) -> list[str]:
    """Lose, double, swap, copy, move, or bring one from another plan."""
    for _ in range(chance.randint(1, 3)):
        if len(pieces) < 2:
            break
        one, other = chance.randrange(len(pieces)), chance.randrange(len(pieces))
        match chance.randrange(6):
            case 0:
                del pieces[one]
            case 1:
                pieces.insert(other, pieces[one])
            case 2:
                pieces[one], pieces[other] = pieces[other], pieces[one]
            case 3:
                pieces[one] = pieces[other]
            case 4:
                del pieces[one : one + chance.randint(1, 12)]
            case _:
                pieces[one] = chance.choice(others)
    return pieces


def of_lines(chance: random.Random, text: str) -> Mutant:
    others = chance.choice(list(seeds().values())).splitlines(keepends=True)
    return Mutant(
        "".join(of_pieces(chance, text.splitlines(keepends=True), others)).encode(), "lines"
    )


def of_words(chance: random.Random, text: str) -> Mutant:
    words = of_pieces(chance, WORD.findall(text), vocabulary())
    return Mutant("".join(words).encode(), "words")


def of_numbers(chance: random.Random, text: str) -> Mutant:
    found = [m.span() for m in NUMBER.finditer(text)]
    for start, end in sorted(chance.sample(found, min(len(found), chance.choice([1, 1, 1, 2, 5]))))[
        ::-1
    ]:
        text = text[:start] + chance.choice(NUMBERS.split()) + text[end:]
    return Mutant(text.encode(), "numbers")


Entry = tuple[yaml.Node, yaml.Node]


@cache
def entries(text: str) -> list[Entry]:
    """Every key and its value, as PyYAML's composer finds them."""
    found: list[Entry] = []

    def gather(node: yaml.Node) -> None:
        for part in node.value if isinstance(node, yaml.SequenceNode) else ():
            gather(part)
        for key, value in node.value if isinstance(node, yaml.MappingNode) else ():
            found.append((key, value))
            gather(value)

    gather(yaml.compose(text, Loader=yaml.SafeLoader))
    return found


def span(text: str, node: yaml.Node) -> tuple[int, int]:
    """Where a node stands, without the empty lines and remarks after it."""
    start, end = node.start_mark.index, node.end_mark.index
    return start, start + len(re.sub(r"(\s|#[^\n]*)*\Z", "", text[start:end]))


def of_structure(chance: random.Random, text: str) -> Mutant:
    """Spoil one key or one value: renamed, doubled, lost, wrapped, or another's put there."""
    found = entries(text)
    key, value = chance.choice(found)
    (k0, k1), (v0, v1) = span(text, key), span(text, value)
    said = text[v0:v1]
    flow = "\n" not in text[k0:v1]
    sort = chance.choice(
        ["unknown", "twice", "lost", "other", "word", "wrapped", "empty", "same", "same", "same"]
    )
    if sort == "unknown":
        return Mutant((text[:k0] + UNKNOWN + text[k1:]).encode(), sort, k0 in own_keys(text))
    if sort == "twice" and flow:
        gap = ", " if in_flow(text, k0) else "\n" + " " * (k0 - text.rfind("\n", 0, k0) - 1)
        return Mutant((text[:k0] + text[k0:v1] + gap + text[k0:]).encode(), sort, must=True)
    if sort == "lost":
        after = re.compile(r",\s*|\s*").match(text, v1)
        return Mutant((text[:k0] + text[after.end() if after else v1 :]).encode(), sort)
    alike = [v for k, v in found if k.value == key.value] if sort == "same" else []
    node = chance.choice(alike or [v for _, v in found])
    put = {"word": chance.choice(vocabulary()), "wrapped": chance.choice(["[{}]", "{{like: {}}}"]),
           "empty": ""}.get(sort) or text[slice(*span(text, node))]  # fmt: skip
    put = "" if sort == "empty" else put.format(said) if sort == "wrapped" else put
    return Mutant((text[:v0] + put + text[v1:]).encode(), sort)


def in_flow(text: str, at: int) -> bool:
    """Whether a place stands within braces."""
    before = re.sub(r"#.*|\"[^\"]*\"", "", text[:at])
    return before.count("{") + before.count("[") > before.count("}") + before.count("]")


@cache
def own_keys(text: str) -> frozenset[int]:
    """Where a key of the schema begins, and no name of a builder's own."""
    return frozenset(Walker(schema_of("plan")).known(text))


WAYS: tuple[Callable[[random.Random, str], Mutant], ...] = (
    of_bytes, of_lines, of_words, of_numbers, of_structure, of_structure,
)  # fmt: skip


def mutant(chance: random.Random, text: str) -> Mutant:
    """Spoil a plan in one of the ways; now and then what is spoiled already."""
    made = chance.choice(WAYS)(chance, text)
    if chance.randrange(4) == 0 and not made.must:
        with_more = made.data.decode("utf-8", "replace")
        try:
            return chance.choice(WAYS[:4])(chance, with_more)
        except (ValueError, IndexError):
            return made
    return made
