"""A box that turns one channel into timed movements of several outlets."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import CURRENT, LENGTH, TIME, VOLTAGE
from harness.drawing import look
from harness.parts.contacts import POLE_PINS, Conductor, Contact, Form, LinkKind, Role, Shape
from harness.parts.join import JOIN, SOCKETS, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount
from harness.reading.kinds import Choice, ClassName, FreeText, ListOf, Name
from harness.reading.records import RecordOf, key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One movement of a sequencer."""

    outlet: str = key(Name(), "the outlet that moves", must=True)
    start: float = key(Amount(TIME), "when it starts, counted from the switch", must=True)
    end: float = key(Amount(TIME), "when it has arrived", must=True)
    to: str = key(FreeText(), "where it goes: open, closed, up, down, or a share", default="")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Steps:
    """A sequencer's movements either way."""

    down: tuple[Step, ...] = key(ListOf(RecordOf(Step)), "lowering the gear", default=())
    up: tuple[Step, ...] = key(ListOf(RecordOf(Step)), "raising the gear", default=())
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Sequencer(Part):
    """A box that turns one channel into timed movements of several outlets."""

    word: ClassVar[str] = "sequencer"
    draws_in: ClassVar[str] = "rail"
    group: ClassVar[str] = "sequencers"
    rank: ClassVar[int] = 60
    fed_inside: ClassVar[str] = "rail"
    footprint: ClassVar[tuple[float, float, str]] = (12.0, 8.0, look.CASE)
    letters: ClassVar[str] = "SEQ"
    tested_with: ClassVar[str] = "boxes"
    sequences: ClassVar[bool] = True
    obeys: ClassVar[bool] = True
    taps_battery: ClassVar[bool] = True
    rails: ClassVar[tuple[str, ...]] = ("rail",)
    plug: Join | None = key(JOIN, "the socket its input lead goes into")
    outlets: tuple[str, ...] = key(SOCKETS, "how many outlets, or their names", must=True)
    motor_outlets: tuple[str, ...] = key(
        ListOf(Name(), or_one=True), "outlets that reverse a bare motor (two wires)", default=()
    )
    supply: Join | None = key(JOIN, "its own supply; without one it is fed by its input lead")
    connector: str = key(ClassName(), "class of its own supply's connector", default="")
    steps: Steps | None = key(RecordOf(Steps), "what moves when")
    power_up: str = key(
        Choice(
            {
                "holds": "moves nothing until the switch is moved",
                "follows": "runs at once to where the switch stands",
                "down": "always lowers the gear",
                "up": "always raises the gear",
            }
        ),
        "what it does when the supply comes on",
        default="",
    )
    length: float | None = key(Amount(LENGTH), "length of its input lead")
    volts_max: float | None = key(Amount(VOLTAGE, least="1 V"), "highest supply it bears")
    limit: float | None = key(Amount(CURRENT, least="10 mA"), "what its outlets carry together")

    @property
    def row(self) -> tuple[str, str]:
        """Its class."""
        return "receivers", "sequencer"

    def lead_word(self, port: str) -> str:
        """Its own supply, or its input lead."""
        return "sequencer supply lead" if port == "supply" else "sequencer input lead"

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Run it both ways."""
        state = {"holds": "it moves nothing when the supply comes on", "": ""}
        said = state.get(self.power_up, f"when the supply comes on: {self.power_up}")
        return f"Run {self.named()} through both ways, each outlet with a servo on it", said

    def picture(self, sitting: Sitting) -> Glyph:
        """A case."""
        return sitting.box("sequencer", {"plug": "in"})

    def inside(self, shape: Shape) -> None:
        """One rail: an own supply and the input lead's red wire meet on it."""
        entry = shape.three("plug", plug=True, wire=Conductor(None, self.length))
        shape.roles[entry.pin("signal")] = Role.SIGNAL
        for pin in POLE_PINS:
            shape.link(
                entry.pin(pin),
                shape.inner("rail", pin),
                LinkKind.WIRE,
                wire=entry.wire,
                colour=(entry.colours or {}).get(pin, ""),
            )
        if self.supply:
            forms = (Form.POWER, Form.THREE_PIN)
            own = shape.port("supply", *forms, plug=True, connector=self.connector)
            shape.lead_in(own, "rail", POLE_PINS)
        for name in self.outlets:
            _outlet(self, shape, name)
        shape.terminal("rail", POLE_PINS)
        shape.draws("rail")


def _outlet(part: Sequencer, shape: Shape, name: str) -> None:
    entry = Contact(part.id, "plug", "signal")
    if name in part.motor_outlets:
        port = shape.port(name, Form.TWO_WIRE, plug=False, passes="plug")
        shape.roles.update({port.pin(pin): Role(pin) for pin in POLE_PINS})
        shape.link(entry, port.pin("positive"), LinkKind.RELAY)
        return
    port = shape.three(name, plug=False, passes="plug")
    shape.roles[port.pin("signal")] = Role.SIGNAL
    shape.link(entry, port.pin("signal"), LinkKind.RELAY)
    for pin in POLE_PINS:
        shape.link(shape.inner("rail", pin), port.pin(pin))
