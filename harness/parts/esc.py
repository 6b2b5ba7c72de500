"""A speed controller: battery wires, a 3-wire signal lead, three motor wires."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Literal

from harness.base.data import dataclass
from harness.base.units import CURRENT, LENGTH, VOLTAGE, WireSize
from harness.drawing import look
from harness.parts.bec import Bec, WordOr, meter_words
from harness.parts.contacts import POLE_PINS, Conductor, Form, Shape
from harness.parts.figure import amps, joined, short
from harness.parts.join import COLOURS, JOIN, LIE, PIN_ORDER, PINS, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import ClassName, Name, Truth, Whole
from harness.reading.records import RecordOf, key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Esc(Part):
    """A speed controller: battery wires, a 3-wire signal lead, three motor wires."""

    word: ClassVar[str] = "ESC"
    kit_word: ClassVar[str | None] = "esc"
    group: ClassVar[str] = "escs"
    rank: ClassVar[int] = 90
    footprint: ClassVar[tuple[float, float, str]] = (9.0, 8.0, look.BOARD)
    letters: ClassVar[str] = "ESC"
    tested_with: ClassVar[str] = "supplies"
    answers: ClassVar[bool] = True
    obeys: ClassVar[bool] = True
    drives: ClassVar[bool] = True
    taps_battery: ClassVar[bool] = True
    moves: str = key(Name(), "the function it answers to", default="throttle")
    plug: Join | None = key(JOIN, "the socket its signal lead goes into")
    supply: Join | None = key(JOIN, "the pack or power lead its battery wires go into")
    telemetry: Join | None = key(JOIN, "the telemetry socket a data lead of its own goes into")
    telemetry_wires: int = key(
        Whole(1, 3), "wires of that lead: 1 its signal, 2 and its ground, 3 and its red", default=3
    )
    rated: float | None = key(Amount(CURRENT, least="10 mA"), "what it carries continuously")
    burst: float | None = key(Amount(CURRENT, least="10 mA"), "what it carries for seconds")
    cells_max: int | None = key(Whole(1, 60), "most cells it bears")
    cut_off: float | Literal["none"] | None = key(
        WordOr("none", Amount(VOLTAGE)),
        "volts a cell under load at which it cuts its motors, or none; the catalogue's for the"
        " chemistry if not given",
    )
    bec: Bec | Literal["none"] | None = key(
        WordOr("none", RecordOf(Bec)), "its receiver supply, or none", default=None
    )
    isolated: bool = key(Truth(), "no copper between battery and signal side", default=False)
    fed: bool = key(Truth(), "its signal side needs 5 V from outside", default=False)
    connector: str = key(ClassName(), "class of its battery connector", default="")
    motor_connector: str = key(ClassName(), "class of the connector to its motor", default="")
    wire: WireSize | None = key(WireGauge(), "its battery wires")
    length: float | None = key(Amount(LENGTH), "length of its battery wires")
    lead_length: float | None = key(Amount(LENGTH), "length of its signal and telemetry leads")
    lead_wire: WireSize | None = key(WireGauge(), "wire of its signal and telemetry leads")
    lead_wires: str = key(LIE, "how the wires of its signal lead lie", default="")
    colours: str = key(COLOURS, "insulation of its signal lead", default="")
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its plug", default=())

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its telemetry lead too."""
        own = (("telemetry", self.telemetry),) if self.telemetry else ()
        return (*Part.joins(self), *own)

    def lead_word(self, port: str) -> str:
        """Its battery wires, or its signal or telemetry lead."""
        if port == "supply":
            return "ESC battery wires"
        return "ESC signal lead" if port == "plug" else "ESC telemetry lead"

    def caption(self) -> tuple[str, ...]:
        """What it carries, and its BEC."""
        bec = f"BEC {short(self.bec.volts)} V" if isinstance(self.bec, Bec) else ""
        return (joined(amps(self.rated), bec),)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter its BEC, if it has one; nothing can turn meanwhile."""
        words = meter_words(self, at.catalogue)
        return (*words, at.dead) if words else ()

    def picture(self, sitting: Sitting) -> Glyph:
        """A board in its sleeve."""
        from harness.drawing import glyphs_power as g
        from harness.drawing.sitting import renamed

        drawn = g.esc(sitting.tag, data=self.telemetry is not None)
        return renamed(drawn, signal="plug", battery="supply")

    def inside(self, shape: Shape) -> None:
        """Three separate facts: it has a BEC or not, it is isolated or not, it is fed or not."""
        own = Conductor(self.lead_wire, self.lead_length, self.lead_wires)
        order = self.pins or PINS
        port = shape.three("plug", plug=True, colours=self.colours, wire=own, order=order)
        shape.lead_in(port, "body")
        shape.terminal("body")
        wire = Conductor(self.wire, self.length)
        battery = shape.poles("supply", plug=True, connector=self.connector, wire=wire)
        shape.lead_in(battery, "battery", POLE_PINS)
        shape.terminal("battery", POLE_PINS)
        shape.draws("battery")
        if not self.isolated:
            shape.link(shape.inner("battery", "negative"), shape.inner("body", "negative"))
        if self.bec is not None and self.bec != "none":
            shape.source("body", self.bec.volts)
        if self.telemetry:
            data = shape.three("telemetry", plug=True, colours=self.colours, wire=own, data=True)
            shape.lead_in(data, "data", ("signal",))
            shape.lead_in(data, "body", ("negative", "positive")[: self.telemetry_wires - 1])
        shape.port("motor", Form.MOTOR, plug=False, connector=self.motor_connector)
