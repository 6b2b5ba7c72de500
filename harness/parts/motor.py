"""A motor on an ESC."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from harness.base.units import CURRENT, LENGTH, VOLTAGE, WireSize
from harness.drawing import look
from harness.parts.contacts import PHASES, Conductor, Form, Shape
from harness.parts.figure import amps, joined
from harness.parts.join import JOIN, Join
from harness.parts.part import Part
from harness.reading.kinds import Amount, Choice, WireGauge
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.scene import Item
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Part):
    """A motor on an ESC."""

    word: ClassVar[str] = "motor"
    group: ClassVar[str] = "motors"
    rank: ClassVar[int] = 100
    footprint: ClassVar[tuple[float, float, str]] = (18.0, 12.0, look.PAPER)
    letters: ClassVar[str] = "MOT"
    battery_side: ClassVar[bool] = True
    spins: ClassVar[str] = "propeller"
    made_safe: ClassVar[str] = "off"
    tried_bare: ClassVar[str] = "propellers off; a strip of tape on the shaft shows"
    plug: Join | None = key(JOIN, "the ESC its wires go to")
    full_throttle: float | None = key(Amount(CURRENT), "battery current at full throttle")
    full_throttle_volts: float | None = key(
        Amount(VOLTAGE),
        "battery volts at which full-throttle was read; nominal volts of its pack if not given",
    )
    rotation: str = key(
        Choice({"clockwise": "as seen from behind", "anticlockwise": "as seen from behind"}),
        "which way it turns, seen from behind",
        default="",
    )
    length: float | None = key(Amount(LENGTH), "length of its wires")
    wire: WireSize | None = key(WireGauge(), "its wires")

    def lead_word(self, port: str) -> str:
        """Three of them."""
        return "motor wires"

    def caption(self) -> tuple[str, ...]:
        """Its current, and which way it turns."""
        return (joined(amps(self.full_throttle), self.rotation),)

    def picture(self, sitting: Sitting) -> Glyph:
        """M in a circle (IEC 60617), with its propeller."""
        from harness.drawing import glyphs_power as g
        from harness.drawing.sitting import renamed

        drawn = g.motor(sitting.tag, thrust=sitting.thrust, where=sitting.beside("right"))
        return renamed(drawn, lead="plug")

    def sign(self, x: float, y: float, *, backwards: bool) -> list[Item]:
        """A circle with its propeller before it, or behind it."""
        from harness.drawing.scene import Path, circle_path, line_path

        blade = y + (6.0 if backwards else -6.0)
        swept = line_path([(x - 9, blade), (x + 9, blade)])
        return [
            Path(swept, stroke=look.INK, width=2.0, cap="round"),
            Path(circle_path(x, y, 4.5), fill=look.PAPER, stroke=look.INK, width=1.0),
        ]

    def inside(self, shape: Shape) -> None:
        """Three wires."""
        port = shape.port("plug", Form.MOTOR, plug=True, wire=Conductor(self.wire, self.length))
        shape.lead_in(port, "body", PHASES)
