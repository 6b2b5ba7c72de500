"""A telemetry sensor: a data lead, and perhaps a tap on a pack."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT
from harness.catalogue import Catalogue
from harness.parts.contacts import POLE_PINS, Form, Role, Shape
from harness.parts.figure import Draw
from harness.parts.join import JOIN, Join
from harness.parts.part import Part
from harness.reading.kinds import Amount, Truth
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor(Part):
    """A telemetry sensor: a data lead, and perhaps a tap on a pack."""

    word: ClassVar[str] = "sensor"
    group: ClassVar[str] = "sensors"
    rank: ClassVar[int] = 180
    fed_inside: ClassVar[str] = "body"
    letters: ClassVar[str] = "SEN"
    tested_with: ClassVar[str] = "boxes"
    taps_battery: ClassVar[bool] = True
    plug: Join | None = key(JOIN, "the socket its data lead goes into")
    supply: Join | None = key(JOIN, "the pack, balance plug or power lead it measures")
    current: float | None = key(Amount(CURRENT), "what it draws")
    isolated: bool = key(Truth(), "no copper between its two sides", default=False)

    @property
    def row(self) -> tuple[str, str]:
        """Its class."""
        return "receivers", "sensor"

    def draw(self, catalogue: Catalogue) -> Draw | None:
        """What it draws at rest."""
        return self._always(catalogue, "body")

    def lead_word(self, port: str) -> str:
        """Its tap, or its data lead."""
        return "sensor tap" if port == "supply" else "sensor data lead"

    def picture(self, sitting: Sitting) -> Glyph:
        """A small board."""
        from harness.drawing import glyphs_control as g

        return sitting.shared_place(g.sensor(sitting.tag, where=sitting.beside("right")))

    def inside(self, shape: Shape) -> None:
        """A sensor's data side is fed by the receiver; its ground is that of what it measures."""
        if self.plug:
            shape.lead_in(shape.three("plug", plug=True), "body")
            shape.terminal("body")
            shape.draws("body")
        if self.supply:
            tap = shape.port("supply", Form.POWER, Form.BALANCE, plug=True)
            shape.lead_in(tap, "tap", POLE_PINS)
            shape.roles[shape.inner("tap", "positive")] = Role.POSITIVE
            shape.draws("tap")
            if self.plug and not self.isolated:
                shape.link(shape.inner("tap", "negative"), shape.inner("body", "negative"))
