"""Low-ESR capacitors soldered across a part's battery wires."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass, replace
from harness.base.span import Span
from harness.base.units import CAPACITANCE, VOLTAGE
from harness.drawing import look
from harness.parts.contacts import POLE_PINS, Shape
from harness.parts.figure import short
from harness.parts.join import POLES
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount
from harness.reading.kinds import Name, Whole
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacitor(Part):
    """Low-ESR capacitors soldered across a part's battery wires."""

    word: ClassVar[str] = "capacitor"
    group: ClassVar[str] = "capacitors"
    rank: ClassVar[int] = 170
    footprint: ClassVar[tuple[float, float, str]] = (5.0, 5.0, look.SHADE)
    battery_side: ClassVar[bool] = True
    fed_backwards: ClassVar[str] = "burst"
    across: str = key(Name(), "the ESC they sit at", must=True)
    value: float = key(Amount(CAPACITANCE), "capacitance of one", must=True)
    count: int = key(Whole(1, 50), "how many side by side", default=1)
    volts: float | None = key(Amount(VOLTAGE, least="1 V"), "rated volts")
    poles: str = key(POLES, "how they are soldered", default="")

    def others(self) -> tuple[tuple[str, Span], ...]:
        """What it is soldered to."""
        return ((self.across, self.at("across")),)

    def caption(self) -> tuple[str, ...]:
        """How many, and of what value."""
        return (f"{self.count} × {short(self.value * 1e6)} µF",)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Soldered on: nothing to try."""
        return ()

    def picture(self, sitting: Sitting) -> Glyph:
        """Two plates: no lead of its own."""
        from harness.drawing import glyphs_power as g

        return replace(g.capacitor(sitting.tag), places={})

    def inside(self, shape: Shape) -> None:
        """Soldered on, without a port."""
        shape.terminal("plates", POLE_PINS)
        shape.draws("plates")
