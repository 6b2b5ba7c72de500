"""A telemetry sensor: a data lead, and perhaps a tap on a pack, or the battery line through it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.span import Span
from harness.base.units import CURRENT, LENGTH, RESISTANCE, WireSize
from harness.catalogue import Catalogue
from harness.parts.contacts import POLE_PINS, Conductor, Form, Link, LinkKind, Port, Role, Shape
from harness.parts.figure import Figure, amps
from harness.parts.join import JOIN, PINS, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, ClassName, Truth
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting

IN_LINE = ("rated", "resistance", "pole", "out")
"""Keys that only a sensor with the line through it has a use for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor(Part):
    """A telemetry sensor: a data lead, and perhaps a tap on a pack, or the line through it."""

    word: ClassVar[str] = "sensor"
    draws_in: ClassVar[str] = "body"
    group: ClassVar[str] = "sensors"
    rank: ClassVar[int] = 180
    fed_inside: ClassVar[str] = "body"
    letters: ClassVar[str] = "SEN"
    tested_with: ClassVar[str] = "boxes"
    taps_battery: ClassVar[bool] = True
    plug: Join | None = key(JOIN, "the telemetry socket, or the sensor's, its data lead goes into")
    supply: Join | None = key(JOIN, "the pack, balance plug or power lead it measures")
    through: bool = key(
        Truth(), "the battery line goes through it: what it measures is fed from it", default=False
    )
    pole: str = key(
        Choice(
            {
                "positive": "in the positive",
                "negative": "in the negative, its data ground at the pack's side",
            }
        ),
        "through: the wire with its shunt; the other one goes straight through",
        default="positive",
    )
    resistance: float | None = key(Amount(RESISTANCE), "through: what its shunt resists")
    rated: float | None = key(
        Amount(CURRENT, least="10 mA"), "through: what it carries continuously"
    )
    out: Join | None = key(
        JOIN, "through, in a radio pack's lead: the socket its 3-pin output lead goes into"
    )
    passes_on: bool = key(
        Truth(), "it has a socket `next`: the data of one more sensor come in there", default=False
    )
    connector: str = key(ClassName(), "class of its battery connectors", default="")
    connector_in: str = key(ClassName(), "class at the pack's side, when another", default="")
    wire: WireSize | None = key(WireGauge(), "its battery wires")
    length: float | None = key(Amount(LENGTH), "length of its battery wires, plug to socket")
    lead_length: float | None = key(Amount(LENGTH), "length of its data lead")
    lead_wire: WireSize | None = key(WireGauge(), "wire of its data lead")
    current: float | None = key(Amount(CURRENT), "what it draws")
    isolated: bool = key(Truth(), "no copper between its two sides", default=False)

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its battery plug first where the line goes through it, as a power lead's."""
        tap = "in-1" if self.through else "supply"
        own = (("out", self.out), (tap, self.supply), ("plug", self.plug))
        every = own if self.through else own[:0:-1]
        return tuple((name, join) for name, join in every if join is not None)

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """What is said of the line through it, where none goes through."""
        for word in IN_LINE:
            if word in self.spans and not self.through:
                right = "add `through: yes`, or take it out"
                yield f"nothing goes through {self.named()}", self.at(word), right
        if self.out and self.supply:
            right = f"plug the radio pack into {self.id}.1 instead (`plug:` of the pack)"
            yield f"{self.named()} has one line through it", self.at("supply"), right

    @property
    def row(self) -> tuple[str, str]:
        """Its class."""
        return "receivers", "sensor"

    @property
    def battery_lead(self) -> bool:
        """With the line of a power lead through it."""
        return self.through and self.out is None

    def hands_on(self, port: str) -> bool:
        """The line through it."""
        return self.through and port in {"in-1", "out", "1"}

    def resists(self, catalogue: Catalogue, link: Link) -> Figure | None:
        """Its shunt."""
        shunt = link.kind is LinkKind.INSIDE and {link.a.port, link.b.port} == {"tap", "load"}
        return self.known(catalogue, "resistance") if shunt and link.a.pin == self.pole else None

    def lead_word(self, port: str) -> str:
        """Its tap, its battery wires, or its data lead."""
        words = {"supply": "sensor tap", "plug": "sensor data lead"}
        return words.get(port, "sensor in line")

    def kit_kind(self) -> str:
        """One in line is another thing than one that taps."""
        return "in-line-sensor" if self.through else self.word

    def caption(self) -> tuple[str, ...]:
        """What it carries."""
        return (amps(self.rated),)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter both its wires before it is fed."""
        words = Part.try_out(self, at)
        joins = "red to red, black to black, no bridge between"
        return (*words, f"meter its battery wires first: {joins}") if self.through else words

    def picture(self, sitting: Sitting) -> Glyph:
        """A small board; with the line through it, an ammeter in it."""
        from harness.drawing import glyphs_control as g
        from harness.drawing import glyphs_power as p
        from harness.drawing.sitting import renamed

        if self.through:
            left = "out" if self.out else "in-1"
            return renamed(p.in_line_sensor(sitting.tag), data="plug", left=left, right="1")
        return sitting.shared_place(g.sensor(sitting.tag, where=sitting.beside("right")))

    def inside(self, shape: Shape) -> None:
        """A sensor's data side is fed by the receiver; its ground is that of what it measures."""
        if self.plug or self.passes_on:
            self._data_side(shape)
        if self.through:
            self._line(shape)
        elif self.supply:
            more = {"connector": self.connector, "wire": Conductor(self.wire, self.length)}
            tap = shape.port("supply", Form.POWER, Form.BALANCE, plug=True, **more)
            shape.lead_in(tap, "tap", POLE_PINS)
            shape.roles[shape.inner("tap", "positive")] = Role.POSITIVE
        if self.supply or self.through:
            shape.draws("tap")
            if self.plug and not self.isolated:
                shape.link(shape.inner("tap", "negative"), shape.inner("body", "negative"))

    def _data_side(self, shape: Shape) -> None:
        if self.plug:
            wire = Conductor(self.lead_wire, self.lead_length)
            shape.lead_in(shape.three("plug", plug=True, data=True, wire=wire), "body")
        if self.passes_on:
            passes = "plug" if self.plug else ""
            port = shape.three("next", plug=False, data=True, passes=passes)
            for pin in PINS:
                shape.link(shape.inner("body", pin), port.pin(pin))
        shape.terminal("body")
        shape.draws("body")

    def _line(self, shape: Shape) -> None:
        """From the pack's side by the shunt to the side of the load."""
        shape.terminal("tap", POLE_PINS)
        near = self._end(shape)
        wire = near.wire
        if self.out:
            far = shape.three("1", plug=False, passes="out")
        else:
            far = shape.poles("1", plug=False, connector=self.connector, wire=wire)
        ends = ((near, "load"), (far, "tap")) if self.out else ((near, "tap"), (far, "load"))
        for pin in POLE_PINS:
            shape.link(shape.inner("tap", pin), shape.inner("load", pin))
            for port, side in ends:
                colour = (port.colours or {})[pin]
                kind = LinkKind.INSIDE if self.out and port is far else LinkKind.WIRE
                shape.link(port.pin(pin), shape.inner(side, pin), kind, wire=wire, colour=colour)

    def _end(self, shape: Shape) -> Port:
        """Return the plug at the end of its wires."""
        wire = Conductor(self.wire, self.length)
        if self.out:
            return shape.three("out", plug=True, wire=wire)
        connector = self.connector_in or self.connector
        return shape.poles("in-1", plug=True, connector=connector, wire=wire)
