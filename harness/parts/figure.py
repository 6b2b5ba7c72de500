"""Numbers of a part: with their origin, as what it draws, and as a caption says them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.catalogue import Catalogue, Value

if TYPE_CHECKING:
    from harness.parts.part import Part


@dataclass(frozen=True, slots=True)
class Figure:
    """One number in the canonical unit of its dimension, and where it comes from."""

    number: float
    origin: str

    def __mul__(self, factor: float) -> Figure:
        return Figure(self.number * factor, self.origin)


def stated(part: Part, word: str, number: float | None) -> Figure | None:
    """Return a number that the plan states for a part, with its line."""
    return None if number is None else Figure(number, f"plan line {part.at(word).line}")


def origin_of(value: Value) -> str:
    """Return how a document names a catalogue value: table, class, source and status."""
    told = value.status == "common-practice" or value.status in value.source
    told = told or (value.status == "invented" and "assumption" in value.source)
    status = "" if told else f", {value.status}"
    return f"catalogue {value.table}, {value.row}: {value.source}{status}"


def from_catalogue(catalogue: Catalogue, table: str, row: str, key: str) -> Figure | None:
    """Return a catalogue number, or None when the table has none."""
    value = catalogue.value(table, row, key) if row else None
    if value is None or value.number is None:
        return None
    return Figure(value.number, origin_of(value))


def known(
    catalogue: Catalogue,
    part: Part,
    word: str,
    number: float | None,
    table: str,
    row: str,
    key: str = "",
) -> Figure | None:
    """Return the plan's own number, or the catalogue's for the part's class, or None."""
    return stated(part, word, number) or from_catalogue(catalogue, table, row, key or word)


def rule_figure(catalogue: Catalogue, row: str, key: str) -> Figure:
    """Return a threshold of the rules. Raises UnknownClass when the table lacks it."""
    value = catalogue.require("rules", row, key)
    assert value.number is not None
    return Figure(value.number, origin_of(value))


@dataclass(frozen=True, slots=True, eq=False)
class Draw:
    """What one part draws, in A.

    `missing` says which fact nobody gave: the figures are zero then.
    """

    part: Part
    inside: str
    steady: float
    moving: float
    stall: float
    origin: str
    missing: str = ""
    idle: float = 0.0


def unknown_draw(part: Part, inside: str, missing: str) -> Draw:
    """Return a draw that nobody knows."""
    return Draw(part, inside, 0.0, 0.0, 0.0, "", missing)


def short(value: float) -> str:
    """Return a number without trailing zeros."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def amps(value: float | None) -> str:
    """Return a current, or "" where nobody said it."""
    return "" if value is None else f"{short(value)} A"


def joined(*words: str) -> str:
    """Return what there is of some words, with commas."""
    return ", ".join(word for word in words if word)
