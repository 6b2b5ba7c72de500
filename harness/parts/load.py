"""A light, a camera, a pump: anything that only draws current."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, VOLTAGE, WireSize
from harness.parts.contacts import POLE_PINS, Conductor, Form, Shape
from harness.parts.figure import amps
from harness.parts.join import JOIN, Join
from harness.parts.part import Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, ClassName, Name
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Load(Part):
    """A light, a camera, a pump: anything that only draws current."""

    word: ClassVar[str] = "load"
    kit_word: ClassVar[str | None] = ""
    draws_in: ClassVar[str] = "body"
    group: ClassVar[str] = "loads"
    rank: ClassVar[int] = 190
    fed_inside: ClassVar[str] = "body"
    tested_with: ClassVar[str] = "boxes"
    fed_backwards: ClassVar[str] = "stay dark or burn"
    answers: ClassVar[bool] = True
    taps_battery: ClassVar[bool] = True
    kind: str = key(
        Choice({"light": "a lamp", "radio": "something that sends", "other": "a camera, a pump"}),
        "what it is, for the drawings",
        default="other",
    )
    current: float | None = key(Amount(CURRENT), "what it draws")
    plug: Join | None = key(JOIN, "the 3-pin socket its plug goes into")
    supply: Join | None = key(JOIN, "or the pack, regulator or power lead it is fed from")
    connector: str = key(ClassName(), "class of its supply connector", default="")
    moves: str = key(Name(), "the function that switches it", default="")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE, least="1 V"), "highest supply it bears")
    length: float | None = key(Amount(LENGTH), "length of its own lead")
    wire: WireSize | None = key(WireGauge(), "wire of its own lead")

    def caption(self) -> tuple[str, ...]:
        """What it draws."""
        return (amps(self.current),)

    def picture(self, sitting: Sitting) -> Glyph:
        """A lamp, a board with an aerial, or a plain case."""
        from harness.drawing import glyphs_control as g

        drawn = g.load(sitting.tag, self.kind, where=sitting.beside("right"))
        return sitting.shared_place(drawn)

    def inside(self, shape: Shape) -> None:
        """A body that draws, fed by either of its leads."""
        wire = Conductor(self.wire, self.length)
        if self.plug:
            shape.lead_in(shape.three("plug", plug=True, wire=wire), "body")
        if self.supply:
            forms = (Form.POWER, Form.THREE_PIN)
            port = shape.port("supply", *forms, plug=True, wire=wire, connector=self.connector)
            shape.lead_in(port, "body", POLE_PINS)
        shape.terminal("body", POLE_PINS)
        shape.draws("body")
