"""A ducted fan on an ESC."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import LENGTH
from harness.drawing import look
from harness.parts.figure import amps, joined
from harness.parts.motor import Motor
from harness.parts.part import BenchFacts
from harness.reading.amounts import Amount
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.scene import Item
    from harness.drawing.sitting import Sitting

BLADES = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class DuctedFan(Motor):
    """A motor with a fan in a duct: it stays in the model, and is made safe by its plug."""

    word: ClassVar[str] = "ducted fan"
    own_lead: ClassVar[str] = "fan wires"
    kit_word: ClassVar[str | None] = Motor.word
    group: ClassVar[str] = "ducted-fans"
    rank: ClassVar[int] = 105
    footprint: ClassVar[tuple[float, float, str]] = (12.0, 14.0, look.PAPER)
    letters: ClassVar[str] = "FAN"
    tested_with: ClassVar[str] = "fans"
    spins: ClassVar[str] = "fan"
    made_safe: ClassVar[str] = "unplugged"
    tried_bare: ClassVar[str] = (
        "fans stay in their ducts: intakes clear of hands, sleeves and loose things, nobody behind;"
        " a strip of paper at the outlet shows which way they blow"
    )
    duct: float | None = key(Amount(LENGTH, least="1 mm"), "inner diameter of its duct")

    def caption(self) -> tuple[str, ...]:
        """Its duct, its current, and which way it turns."""
        duct = f"{self.duct:.0f} mm duct" if self.duct else ""
        full = self.full()
        return (joined(duct, amps(full.number if full else None), self.rotation),)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """By hand, unplugged: under power it is tried in its place, with the protocol."""
        words = f"Turn {self.named()} by hand, unplugged: it runs free of its duct all round"
        return words, "no chip or crack in any blade, every screw of its mount tight"

    def picture(self, sitting: Sitting) -> Glyph:
        """Its duct from the side: intake lip at the right, the fan's disc, the motor."""
        from harness.drawing.glyph import GlyphPlace, outline, part, stroke
        from harness.drawing.scene import circle_path, rect_path, text

        wide, high, mid, disc = 46.0, 30.0, 15.0, 36.0
        items: list[Item] = [
            outline(rect_path(0, 3, wide, 24, 2)),
            stroke([(wide - 4, 3), (wide, 0)], 2.2, look.INK),
            stroke([(wide - 4, 27), (wide, high)], 2.2, look.INK),
            stroke([(disc, 4.5), (disc, 25.5)], 2.6, look.INK),
            *(
                stroke([(disc - 1.6, y), (disc + 1.6, y + 2.4)], 1.0, look.SHADE)
                for y in (6.0, 9.5, 18.0, 21.5)
            ),
            outline(circle_path(wide / 2, mid, 8.5), look.PAPER, 1.1),
            text(wide / 2, mid + 3.4, "M", 9.5, anchor="middle", weight="bold", fill=look.INK),
        ]
        place = {"plug": GlyphPlace(0, mid, "left")}
        return part(sitting.tag, "ducted-fan", items, place, sitting.beside("right"))

    def sign(self, x: float, y: float, *, backwards: bool) -> list[Item]:
        """Its duct as a ring, with its blades."""
        from harness.drawing.scene import Path, circle_path, line_path

        angles = [2 * math.pi * n / BLADES for n in range(BLADES)]
        ends = [(x + 4.6 * math.cos(a), y + 4.6 * math.sin(a)) for a in angles]
        return [
            Path(circle_path(x, y, 6.0), fill=look.PAPER, stroke=look.INK, width=1.2),
            *(Path(line_path([(x, y), end]), stroke=look.INK, width=0.9) for end in ends),
        ]
