"""The supplies made from a pack (BECs and regulators): what they give, and what they feed."""

from __future__ import annotations

from dataclasses import dataclass

from harness.base.span import Span
from harness.checks.loads import over
from harness.checks.memo import once
from harness.checks.rule import Desk
from harness.reader.parts.common import Bec
from harness.reader.parts.power import Esc, Regulator
from harness.wiring.figures import Figure
from harness.wiring.flows import Flow


@dataclass(frozen=True)
class Supply:
    """One BEC or regulator in use."""

    part: Esc | Regulator
    flow: Flow

    @property
    def _says(self) -> Bec | Regulator:
        bec = self.part.bec if isinstance(self.part, Esc) else self.part
        assert isinstance(bec, Bec | Regulator)
        return bec

    @property
    def name(self) -> str:
        """How a message names it."""
        inside = isinstance(self.part, Esc)
        return f"the BEC of {self.part.named()}" if inside else self.part.named()

    @property
    def key(self) -> str:
        """The key of the part that describes the supply."""
        return "bec" if isinstance(self.part, Esc) else ""

    def span(self, word: str) -> Span:
        """Return where the plan states a figure of the supply."""
        says = self._says
        return says.spans.get(word, says.span)

    def _stated(self, word: str) -> Figure | None:
        amount = getattr(self._says, word)
        if amount is None:
            return None
        return Figure(amount, f"plan line {self.span(word).line}")

    @property
    def rated(self) -> Figure | None:
        """What it gives for good."""
        return self._stated("rated")

    @property
    def peak_limit(self) -> Figure | None:
        """What it gives for seconds."""
        return self._stated("burst")

    @property
    def overloaded(self) -> bool:
        """Say whether more is asked than the plan says it gives."""
        pairs = ((self.flow.steady, self.rated), (self.flow.burst, self.peak_limit))
        return any(limit is not None and over(load, limit.number) for load, limit in pairs)


@once
def supplies_of(desk: Desk) -> tuple[Supply, ...]:
    """Return the BECs and regulators that feed something."""
    found = []
    for name, flow in desk.flows.by_source.items():
        part = desk.plan.parts[name]
        if isinstance(part, Esc | Regulator) and flow.shares:
            found.append(Supply(part, flow))
    return tuple(found)
