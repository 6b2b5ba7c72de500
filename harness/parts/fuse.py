"""A fuse in one wire of the battery side."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, WireSize
from harness.catalogue import Catalogue
from harness.parts.breaker import ONE_POLE, Breaker
from harness.parts.contacts import POLE_PINS, Conductor, Link, Shape
from harness.parts.figure import Figure, amps, rule_figure
from harness.parts.join import JOIN, Join
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, ClassName
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse(Breaker):
    """A fuse in one wire of the battery side."""

    word: ClassVar[str] = "fuse"
    own_lead: ClassVar[str] = word
    group: ClassVar[str] = "fuses"
    rank: ClassVar[int] = 160
    letters: ClassVar[str] = "FUS"
    when_open: ClassVar[str] = "blown"
    tested_with: ClassVar[str] = "leads"
    is_lead: ClassVar[bool] = True
    in_line: ClassVar[bool] = True
    battery_side: ClassVar[bool] = True
    rated: float = key(Amount(CURRENT, least="10 mA"), "its rating", must=True)
    pole: str = key(Choice(ONE_POLE), "the wire it sits in", default="positive")
    supply: Join | None = key(JOIN, "the pack or power lead it is fed from")
    connector: str = key(ClassName(), "class of its connectors", default="")
    wire: WireSize | None = key(WireGauge(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its source end."""
        return (("in-1", self.supply),) if self.supply else ()

    def caption(self) -> tuple[str, ...]:
        """Its rating."""
        return (amps(self.rated), *self.pole_words())

    def resists(self, catalogue: Catalogue, link: Link) -> Figure | None:
        """In the wire it opens: its drop at its rated current."""
        if {link.a.pin, link.b.pin}.isdisjoint(self.breaks) or self.rated <= 0:
            return None
        return rule_figure(catalogue, "fuse", "drop") * (1 / self.rated)

    def picture(self, sitting: Sitting) -> Glyph:
        """The symbol of IEC 60617."""
        from harness.drawing import glyphs_power as g
        from harness.drawing.sitting import renamed

        return renamed(g.fuse(sitting.tag, self.pole), left="in-1", right="1")

    def inside(self, shape: Shape) -> None:
        """Straight through."""
        wire = Conductor(self.wire, self.length)
        names = [name for name, _ in self.joins()]
        ports = [shape.poles(n, plug=True, connector=self.connector, wire=wire) for n in names]
        ports.append(shape.poles("1", plug=False, connector=self.connector, wire=wire))
        for port in ports:
            for pin in POLE_PINS:
                shape.pole_wire(port, pin, pin)
