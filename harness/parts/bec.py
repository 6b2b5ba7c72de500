"""A supply of a few volts made from the pack, and the word that says there is none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from harness.base.span import START, Span
from harness.base.units import CURRENT, VOLTAGE, format_quantity
from harness.catalogue import Catalogue
from harness.parts.figure import rule_figure
from harness.parts.part import Part
from harness.reading.kinds import Amount, Choice, Kind
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
    volts: float = key(Amount(VOLTAGE), "its output", must=True)
    rated: float | None = key(Amount(CURRENT), "what it gives continuously")
    burst: float | None = key(Amount(CURRENT), "what it gives for seconds")
    metered: float | None = key(Amount(VOLTAGE), "its output as metered before use")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True)
class WordOr(Kind):
    """One word that means "there is none", or a value of another kind."""

    word: str
    kind: Kind

    @property
    def noun(self) -> str:  # type: ignore[override]
        """Name both."""
        return f'"{self.word}" or {self.kind.noun}'

    def read(self, node: Any, at: Any) -> Any:
        """Return the word itself, or the other kind's value."""
        if getattr(node, "text", None) == self.word:
            return self.word
        return self.kind.read(node, at)

    def schema(self) -> dict[str, Any]:
        """Either."""
        return {"anyOf": [{"const": self.word}, self.kind.schema()]}


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
