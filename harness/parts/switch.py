"""A switch in a 3-pin supply lead."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, WireSize
from harness.catalogue import Catalogue
from harness.parts.breaker import Breaker
from harness.parts.contacts import Conductor, Link, LinkKind, Shape
from harness.parts.figure import Figure
from harness.parts.join import JOIN, Join
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch(Breaker):
    """A switch in a 3-pin supply lead."""

    word: ClassVar[str] = "switch"
    own_lead: ClassVar[str] = word
    group: ClassVar[str] = "switches"
    rank: ClassVar[int] = 140
    letters: ClassVar[str] = "SW"
    when_open: ClassVar[str] = "off"
    tested_with: ClassVar[str] = "leads"
    is_lead: ClassVar[bool] = True
    in_line: ClassVar[bool] = True
    kind: str = key(
        Choice({"slide": "a sliding contact", "electronic": "a transistor, on when it fails"}),
        "what breaks the current",
        default="slide",
    )
    plug: Join | None = key(JOIN, "the socket its output lead goes into")
    rated: float | None = key(Amount(CURRENT, least="10 mA"), "what it carries continuously")
    wire: WireSize | None = key(WireGauge(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    @property
    def row(self) -> tuple[str, str]:
        """Its kind."""
        return "switches", {"slide": "mechanical"}.get(self.kind, self.kind)

    def kit_class(self) -> str:
        """Its kind, where the plan says it."""
        return self.row[1] if "kind" in self.spans else ""

    def caption(self) -> tuple[str, ...]:
        """Where it sits, when not in the red wire."""
        return self.pole_words()

    def resists(self, catalogue: Catalogue, link: Link) -> Figure | None:
        """In the wire it opens: its drop at its rated current, of a sliding contact when worn."""
        drop, usual = (self.known(catalogue, word) for word in ("drop", "continuous"))
        if {link.a.pin, link.b.pin}.isdisjoint(self.breaks) or not drop or not usual:
            return None
        return drop * (1 / (self.rated or usual.number))

    def picture(self, sitting: Sitting) -> Glyph:
        """A contact."""
        from harness.drawing import glyphs_power as g
        from harness.drawing.sitting import renamed

        return renamed(g.switch(sitting.tag, self.pole), left="plug", right="1")

    def inside(self, shape: Shape) -> None:
        """What it opens passes the contact."""
        shape.in_line(LinkKind.WIRE, Conductor(self.wire, self.length))
