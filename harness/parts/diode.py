"""A diode or isolator in the positive of a 3-pin supply lead, with one in each of its ways."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, WireSize
from harness.parts.contacts import Conductor, LinkKind, Shape
from harness.parts.join import JOIN, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, Whole
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Diode(Part):
    """A diode or isolator in the positive of a 3-pin supply lead."""

    word: ClassVar[str] = "diode"
    own_lead: ClassVar[str] = word
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
    plug: Join | None = key(JOIN, "the socket its plug goes into")
    towards: str = key(
        Choice({"plug": "from its sockets to its plug", "socket": "from its plug to its sockets"}),
        "the end that current passes to",
        default="plug",
    )
    ways: int = key(
        Whole(1, 4),
        "how many sockets, each with a diode of its own: 2 of a dual isolator",
        default=1,
    )
    rated: float | None = key(Amount(CURRENT, least="10 mA"), "what it carries continuously")
    wire: WireSize | None = key(WireGauge(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    @property
    def row(self) -> tuple[str, str]:
        """Its kind."""
        return "diodes", self.kind

    def kit_class(self) -> str:
        """Its kind."""
        return self.kind

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter it."""
        way = "from its plug to" if self.towards == "socket" else "to its plug from"
        each = "its socket" if self.ways == 1 else "each of its sockets"
        return f"Meter {self.named()}: it conducts {way} {each}, and not the other way", ""

    def picture(self, sitting: Sitting) -> Glyph:
        """It points the way it conducts: its plug at the left, its sockets at the right."""
        from harness.drawing import glyphs_power as g

        return g.diodes(sitting.tag, self.outlets, left=self.towards == "plug")

    @property
    def outlets(self) -> tuple[str, ...]:
        """The names of its sockets."""
        return tuple(str(n + 1) for n in range(self.ways))

    def inside(self, shape: Shape) -> None:
        """The positive passes one way only."""
        wire, turned = Conductor(self.wire, self.length), self.towards == "socket"
        shape.in_line(LinkKind.DIODE, wire, self.outlets, turned=turned)
