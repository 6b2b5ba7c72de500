"""A diode or isolator in the positive of a 3-pin supply lead."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, WireSize
from harness.parts.contacts import Conductor, LinkKind, Shape
from harness.parts.join import JOIN, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.kinds import Amount, Choice, WireGauge
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Diode(Part):
    """A diode or isolator in the positive of a 3-pin supply lead."""

    word: ClassVar[str] = "diode"
    group: ClassVar[str] = "diodes"
    rank: ClassVar[int] = 150
    letters: ClassVar[str] = "DIO"
    tested_with: ClassVar[str] = "leads"
    is_lead: ClassVar[bool] = True
    in_line: ClassVar[bool] = True
    kind: str = key(
        Choice(
            {
                "silicon": "0.7 V",
                "schottky": "0.3 to 0.6 V",
                "ideal": "a transistor that acts as one, 20 to 50 mV",
            }
        ),
        "what blocks the way back",
        must=True,
    )
    plug: Join | None = key(JOIN, "the socket its output lead goes into")
    rated: float | None = key(Amount(CURRENT), "what it carries continuously")
    wire: WireSize | None = key(WireGauge(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    @property
    def row(self) -> tuple[str, str]:
        """Its kind."""
        return "diodes", self.kind

    def kit_class(self) -> str:
        """Its kind."""
        return self.kind

    def lead_word(self, port: str) -> str:
        """Itself."""
        return self.word

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter it."""
        return self._metered()

    def picture(self, sitting: Sitting) -> Glyph:
        """Current passes from its socket, at the right, to its plug at the left."""
        from harness.drawing import glyphs_power as g
        from harness.drawing.glyph import flipped
        from harness.drawing.sitting import renamed

        return renamed(flipped(g.diode(sitting.tag)), right="plug", left="1")

    def inside(self, shape: Shape) -> None:
        """The positive passes one way only."""
        shape.in_line(LinkKind.DIODE, Conductor(self.wire, self.length))
