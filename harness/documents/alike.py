"""Texts that differ in nothing but names, told once with all their names."""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Sequence

from harness.base.near import spoken

NAME = re.compile(r'"?[\w.-]*\w"?')
ORIGIN = re.compile(r" \([^()]*(?:catalogue|plan line)[^()]*\)")


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


def without_origins(details: Iterable[str]) -> Iterator[str]:
    """Yield details without the brackets that say where their figures come from."""
    for detail in details:
        if not detail.startswith("catalogue "):
            yield ORIGIN.sub("", detail)
