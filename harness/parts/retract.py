"""A retract leg."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from harness.base.units import CURRENT, LENGTH, TIME, VOLTAGE, WireSize
from harness.parts.contacts import POLE_PINS, Conductor, Form
from harness.parts.part import COLOURS, JOIN, Join, Part
from harness.parts.shape import Shape
from harness.reading.kinds import Amount, Choice, ClassName, Name, Truth, Wire
from harness.reading.records import key


@dataclass(frozen=True, slots=True, kw_only=True)
class Retract(Part):
    """A retract leg."""

    word: ClassVar[str] = "retract leg"
    group: ClassVar[str] = "retracts"
    rank: ClassVar[int] = 50
    kind: str = key(
        Choice(
            {
                "self-contained": "3-pin plug, finds its own ends",
                "bare-motor": "two wires from a controller that reverses them",
            }
        ),
        "which of the two kinds of leg it is",
        must=True,
    )
    moves: str = key(Name(), "the function it moves", default="gear")
    plug: Join | None = key(JOIN, "the socket its plug goes into")
    class_: str = key(ClassName(), "size class in the catalogue", word="class", default="")
    travel: float | None = key(Amount(TIME), "time from end to end")
    slow: float | None = key(Amount(TIME), "travel time when slow: cold or at low volts")
    running: float | None = key(Amount(CURRENT), "current while running")
    stop: float | None = key(Amount(CURRENT), "current at the stop")
    steered_by: str = key(Name(), "the servo that steers this leg", default="")
    steering_lock: bool = key(
        Truth(), "steering is centred or cut off while it is up", default=False
    )
    length: float | None = key(Amount(LENGTH), "length of its own lead")
    wire: WireSize | None = key(Wire(), "wire of its own lead")
    colours: str = key(COLOURS, "insulation of its own lead", default="")
    volts_max: float | None = key(Amount(VOLTAGE), "highest supply it bears")

    def inside(self, shape: Shape) -> None:
        """A bare motor has two wires and no signal."""
        wire = Conductor(self.wire, self.length)
        if self.kind == "bare-motor":
            bare = shape.port("plug", Form.TWO_WIRE, plug=True, wire=wire)
            shape.lead_in(bare, "body", POLE_PINS)
            return
        port = shape.three("plug", plug=True, colours=self.colours, wire=wire)
        shape.lead_in(port, "body")
        shape.terminal("body")
        shape.draws("body")
