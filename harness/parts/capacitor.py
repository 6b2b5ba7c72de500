"""Low-ESR capacitors soldered across a part's battery wires."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from harness.base.span import Span
from harness.base.units import CAPACITANCE, VOLTAGE
from harness.parts.caption import short
from harness.parts.part import BenchFacts, Part
from harness.parts.shape import Shape
from harness.reading.kinds import Amount, Name, Whole
from harness.reading.records import key


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacitor(Part):
    """Low-ESR capacitors soldered across a part's battery wires."""

    word: ClassVar[str] = "capacitor"
    group: ClassVar[str] = "capacitors"
    rank: ClassVar[int] = 170
    battery_side: ClassVar[bool] = True
    across: str = key(Name(), "the ESC they sit at", must=True)
    value: float = key(Amount(CAPACITANCE), "capacitance of one", must=True)
    count: int = key(Whole(1, 50), "how many side by side", default=1)
    volts: float | None = key(Amount(VOLTAGE), "rated volts")

    def others(self) -> tuple[tuple[str, Span], ...]:
        """What it is soldered to."""
        return ((self.across, self.at("across")),)

    def caption(self) -> tuple[str, ...]:
        """How many, and of what value."""
        return (f"{self.count} × {short(self.value * 1e6)} µF",)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Soldered on: nothing to try."""
        return ()

    def inside(self, shape: Shape) -> None:
        """Soldered on: no port, no copper path."""
