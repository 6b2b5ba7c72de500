"""A satellite receiver: a small remote one without sockets, that its main receiver listens to."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, WireSize
from harness.parts.contacts import POLE_PINS, Conductor, Form, Shape, insulation
from harness.parts.join import JOIN, PINS, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Satellite(Part):
    """A satellite receiver: its aerials lie elsewhere than those of its main receiver."""

    word: ClassVar[str] = "satellite receiver"
    own_lead: ClassVar[str] = "satellite lead"
    kit_word: ClassVar[str | None] = "satellite"
    draws_in: ClassVar[str] = "body"
    group: ClassVar[str] = "satellites"
    rank: ClassVar[int] = 15
    letters: ClassVar[str] = "SAT"
    tested_with: ClassVar[str] = "boxes"
    plug: Join | None = key(JOIN, "the satellite socket of its main receiver")
    current: float | None = key(Amount(CURRENT), "what it draws")
    length: float | None = key(Amount(LENGTH), "length of its lead")
    wire: WireSize | None = key(WireGauge(), "wire of its lead")

    @property
    def row(self) -> tuple[str, str]:
        """Its class."""
        return "receivers", "satellite"

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Bind it together with its main receiver."""
        return f"Bind {self.named()} plugged into its main receiver: both lamps are on", ""

    def picture(self, sitting: Sitting) -> Glyph:
        """A small case with two aerials."""
        from harness.drawing import glyphs_control as g

        return sitting.shared_place(g.satellite(sitting.tag, where=sitting.beside("right")))

    def inside(self, shape: Shape) -> None:
        """All three wires from its main receiver, which makes its volts."""
        wire, colours = Conductor(self.wire, self.length), insulation(shape.catalogue, "")
        port = shape.port("plug", Form.SATELLITE, plug=True, order=PINS, wire=wire, colours=colours)
        shape.lead_in(port, "body")
        shape.terminal("body", POLE_PINS)
        shape.draws("body")
