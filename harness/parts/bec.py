"""A supply of a few volts made from the pack, and the word that says there is none."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import CURRENT, VOLTAGE, format_quantity
from harness.catalogue import Catalogue
from harness.parts.figure import Figure, from_catalogue, rule_figure
from harness.parts.part import Part
from harness.reading.amounts import Amount
from harness.reading.kinds import Choice, Kind, Schema, either
from harness.reading.nodes import Node, Scalar
from harness.reading.records import key

BEC_KIND = Choice(
    {
        "linear": "burns the surplus volts as heat",
        "switching": "converts; nearly independent of the pack's volts",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bec:
    """A supply of a few volts made from the pack: inside an ESC, or a regulator of its own."""

    kind: str = key(BEC_KIND, "how it makes its volts", default="")
    volts: float = key(Amount(VOLTAGE, least="1 V"), "its output", must=True)
    rated: float | None = key(Amount(CURRENT, least="10 mA"), "what it gives continuously")
    burst: float | None = key(Amount(CURRENT, least="10 mA"), "what it gives for seconds")
    metered: float | None = key(Amount(VOLTAGE), "its output as metered before use")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True)
class WordOr(Kind):
    """One word that means "there is none", or a value of another kind."""

    word: str
    kind: Kind

    called = '"{0.word}" or {0.kind.noun}'

    def convert(self, node: Node, key: Scalar | None = None) -> Any:
        """Return the word itself, or the other kind's value."""
        is_word = isinstance(node, Scalar) and node.text.lower() in self._words
        return self.word if is_word else self.kind.convert(node)

    def schema(self) -> Schema:
        """Either."""
        words = [w for y in self._words for w in dict.fromkeys((y, y.capitalize(), y.upper()))]
        nothing: Schema = {"enum": [*words, *([False] if len(self._words) > 1 else [])]}
        return either(nothing, True, self.kind.schema())

    @property
    def _words(self) -> tuple[str, ...]:
        """Its spellings: YAML knows more words for "there is none"."""
        return (self.word, "no", "false", "off") if self.word == "none" else (self.word,)

    def at(self, node: Node) -> Kind:
        """Return the other kind: the word itself is never refused."""
        return self.kind.at(node)


def supply_figure(part: Part, catalogue: Catalogue, key: str) -> Figure | None:
    """Return what the catalogue says of a supply like the one that a part makes.

    Where nobody said how it makes its volts it is taken to be a switching one.
    """
    kind = (part.makes.kind if part.makes else "") or "switching"
    return from_catalogue(catalogue, "regulators", kind, key)


def meter_words(part: Part, catalogue: Catalogue) -> tuple[str, ...]:
    """Return how the supply that a part makes is metered before use; nothing if it makes none."""
    bec = part.makes
    if bec is None:
        return ()
    off = rule_figure(catalogue, "metered", "allowance")
    ends = (format_quantity(bec.volts * (1 + way * off.number), VOLTAGE) for way in (-1, 1))
    seen = format_quantity(bec.metered, VOLTAGE) if bec.metered is not None else ""
    known = f"the plan says {seen} was metered" if seen else "then write `metered: ... V`"
    volts = format_quantity(bec.volts, VOLTAGE)
    return (
        f"Meter {part.maker} before anything is plugged into it: {volts}",
        f"{' to '.join(ends)} will do ({off.origin})",
        known,
    )
