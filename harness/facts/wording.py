"""How messages name joins, pins and numbers."""

from __future__ import annotations

from collections.abc import Iterable, Sized

from harness.base.near import spoken
from harness.base.span import Span
from harness.base.units import CURRENT, VOLTAGE, format_quantity
from harness.parts.figure import Figure
from harness.parts.part import Part
from harness.wiring.build import Mate

INSULATION = {"signal": "pale", "positive": "red", "negative": "black"}
"""How builders call the wire of each pin."""


def volts(number: float) -> str:
    """Write volts: "16.8 V"."""
    return format_quantity(number, VOLTAGE)


def amps(number: float) -> str:
    """Write amperes: "2.4 A"."""
    return format_quantity(number, CURRENT, 2)


def by_line(number: float, part: Part, word: str) -> str:
    """Write a figure in volts that the plan states."""
    return in_plan(volts(number), part.at(word))


def with_origin(text: str, figure: Figure) -> str:
    """Write a figure and where it comes from."""
    return f"{text} ({figure.origin})"


def parts_named(parts: Iterable[Part], most: int = 4) -> str:
    """Name parts in a message; past `most` only how many more there are."""
    pool = list({part.id: part for part in parts}.values())
    named = [part.named() for part in pool[:most]]
    more = len(pool) - most
    return spoken([*named, f"{more} more"] if more > 0 else named)


def joined(mate: Mate) -> str:
    """Name a plug and its socket: esc-left into pack-y.1."""
    return f"{mate.plug.short} into {mate.into}"


def verb(some: Sized, one: str = "is", many: str = "are") -> str:
    """Choose a verb by how many there are."""
    return one if len(some) == 1 else many


def quoted(names: Iterable[str]) -> str:
    """Write ids: "a", "b" and "c", each in its quotes."""
    return spoken(f'"{name}"' for name in names)


def in_plan(text: str, span: Span) -> str:
    """Write a figure as the plan states it, with its line."""
    return f"{text} (plan line {span.line})"


def volts_line(label: str, figure: Figure) -> tuple[str, str]:
    """Return one line of a finding's figures: the volts and their origin."""
    return label, with_origin(volts(figure.number), figure)


def by_cells(label: str, number: float, table: str = "catalogue packs") -> tuple[str, str]:
    """Return one line of a finding's figures: volts counted by the cells of packs."""
    return label, f"{volts(number)} (cells times nominal volts, {table})"


def becomes(parts: list[Part]) -> str:
    """Say what becomes of devices whose two poles are the wrong way round."""
    if parts and all(part.reverses for part in parts):
        return (
            f"{parts_named(parts)} {verb(parts, 'goes', 'go')} up when the box says down: "
            f"in the air {verb(parts, 'it stays', 'they stay')} in and"
            f" {verb(parts, 'presses', 'press')} against the stop, on the ground the gear folds"
        )
    fates = spoken(sorted({part.fed_backwards for part in parts}), "or") or "burn"
    who = parts_named(parts) or "what hangs on it"
    return (
        f"{who} {verb(parts, 'gets its', 'get their')} supply the wrong way round and will {fates}"
    )


def harmless(parts: list[Part]) -> bool:
    """Say whether crossed poles burn none of some devices."""
    return bool(parts) and all(part.reverses for part in parts)
