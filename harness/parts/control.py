"""Parts on the signal side: receivers, autopilots, servos, stabilisers, sensors, sequencers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from harness.base.span import START, Span
from harness.base.units import CURRENT, LENGTH, TIME, VOLTAGE, WireSize
from harness.parts.part import COLOURS, JOIN, PIN_ORDER, Join, Part
from harness.reading.kinds import (
    Amount,
    Choice,
    ClassName,
    ListOf,
    MapOf,
    Name,
    Text,
    Truth,
    Whole,
    Wire,
)
from harness.reading.records import RecordOf, key


class Sockets(Whole):
    """A count of sockets, or their names."""

    def read(self, node: object, at: object) -> object:
        """Return the names: "1" to the count, or the list as given."""
        from harness.reading.kinds import BAD
        from harness.reading.nodes import Items

        if isinstance(node, Items):
            return ListOf(Name(), least=1, most=64).read(node, at)  # type: ignore[arg-type]
        count = super().read(node, at)  # type: ignore[arg-type]
        return BAD if count is BAD else tuple(str(n + 1) for n in range(count))

    def schema(self) -> dict[str, object]:
        """Either form."""
        return {"anyOf": [super().schema(), ListOf(Name(), least=1, most=64).schema()]}


SOCKETS = Sockets(1, 64)


@dataclass(frozen=True, slots=True, kw_only=True)
class Receiver(Part):
    """A radio receiver; its sockets share one positive and one negative rail."""

    word: ClassVar[str] = "receiver"
    sockets: tuple[str, ...] = key(SOCKETS, "how many channel sockets, or their names", must=True)
    supply_sockets: int = key(Whole(0, 4), "sockets for the supply, named batt", default=1)
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its sockets", default=())
    keyed: bool = key(Truth(), "its sockets refuse a turned plug", default=False)
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="receiver")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE), "highest supply it bears")
    limit: float | None = key(Amount(CURRENT), "what its sockets and rail carry together")
    plug: Join | None = key(JOIN, "the socket of an autopilot that its bus lead goes into")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its bus lead, if it has one."""
        return (("plug", self.plug),) if self.plug else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Autopilot(Part):
    """A flight computer: output sockets, a socket `rc` for the receiver, `power` for its supply."""

    word: ClassVar[str] = "autopilot"
    sockets: tuple[str, ...] = key(SOCKETS, "how many output sockets, or their names", must=True)
    outputs: Mapping[str, str] = key(
        MapOf(Name(), Name()), "the function on each output socket", default={}
    )
    rail: str = key(
        Choice(
            {
                "separate": "the output rail is not joined to the autopilot's own supply",
                "logic": "the output rail hangs on the autopilot's own supply",
            }
        ),
        "where the positive of its output sockets comes from",
        default="separate",
    )
    rail_sockets: int = key(Whole(0, 4), "sockets that feed the output rail, named batt", default=1)
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its sockets", default=())
    keyed: bool = key(Truth(), "its sockets refuse a turned plug", default=False)
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="autopilot")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE), "highest supply it bears")
    limit: float | None = key(Amount(CURRENT), "what a rail on its own supply may draw")


@dataclass(frozen=True, slots=True, kw_only=True)
class Servo(Part):
    """A servo with its own 3-wire lead."""

    word: ClassVar[str] = "servo"
    moves: str = key(Name(), "the function it moves, as named in channels", default="")
    plug: Join | None = key(JOIN, "the socket its plug goes into")
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="")
    shaft: str = key(
        Choice(
            {
                "left": "the output shaft lies to the left as seen from behind",
                "right": "to the right",
                "up": "above",
                "down": "below",
            }
        ),
        "which way the end with the output shaft faces",
        default="",
    )
    arm: str = key(
        Choice({"up": "arm above", "down": "arm below"}), "where the arm points", default=""
    )
    horn: str = key(
        Choice({"top": "upper face", "bottom": "lower face"}), "the face with the horn", default=""
    )
    reversed: bool = key(Truth(), "turns the other way (built or programmed so)", default=False)
    programmable: bool = key(Truth(), "its direction can be programmed", default=False)
    fixed: bool = key(Truth(), "glued or built in: it cannot be turned over", default=False)
    measured: str = key(
        Choice(
            {
                "up": "a longer pulse raises the surface",
                "down": "a longer pulse lowers it",
                "left": "a longer pulse swings it left",
                "right": "a longer pulse swings it right",
                "open": "a longer pulse opens it",
                "closed": "a longer pulse closes it",
            }
        ),
        "what a longer pulse was seen to do; overrides shaft, arm, horn and reversed",
        default="",
    )
    signal: str = key(
        Choice({"analogue": "20 ms frames only", "digital": "faster frames too"}),
        "what frames it takes",
        default="",
    )
    idle: float | None = key(Amount(CURRENT), "current at rest")
    moving: float | None = key(Amount(CURRENT), "current while moving")
    stall: float | None = key(Amount(CURRENT), "current when held fast")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE), "highest supply it bears")
    length: float | None = key(Amount(LENGTH), "length of its own lead")
    wire: WireSize | None = key(Wire(), "wire of its own lead")
    colours: str = key(COLOURS, "insulation of its own lead", default="")
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its plug", default=())

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its own plug."""
        return (("plug", self.plug),) if self.plug else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stabiliser(Part):
    """A gyro box in line: each plug takes a channel, the outlet of that name passes it on."""

    word: ClassVar[str] = "stabiliser"
    plugs: Mapping[str, Join] = key(
        MapOf(Name(), JOIN), "for each outlet, the socket its input lead goes into", must=True
    )
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="stabiliser")
    volts_max: float | None = key(Amount(VOLTAGE), "highest supply it bears")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """One input lead an outlet."""
        return tuple((f"plug-{name}", self.plugs[name]) for name in sorted(self.plugs))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor(Part):
    """A telemetry sensor: a data lead, and perhaps a tap on a pack."""

    word: ClassVar[str] = "sensor"
    plug: Join | None = key(JOIN, "the socket its data lead goes into")
    supply: Join | None = key(JOIN, "the pack, balance plug or power lead it measures")
    current: float | None = key(Amount(CURRENT), "what it draws")
    isolated: bool = key(Truth(), "no copper between its two sides", default=False)

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its data lead and its tap."""
        pairs = (("plug", self.plug), ("supply", self.supply))
        return tuple((port, join) for port, join in pairs if join)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One movement of a sequencer."""

    outlet: str = key(Name(), "the outlet that moves", must=True)
    start: float = key(Amount(TIME), "when it starts, counted from the switch", must=True)
    end: float = key(Amount(TIME), "when it has arrived", must=True)
    to: str = key(Text(), "where it goes: open, closed, up, down, or a share", default="")
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
    volts_max: float | None = key(Amount(VOLTAGE), "highest supply it bears")
    limit: float | None = key(Amount(CURRENT), "what its outlets carry together")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its input lead and its own supply."""
        pairs = (("plug", self.plug), ("supply", self.supply))
        return tuple((port, join) for port, join in pairs if join)


@dataclass(frozen=True, slots=True, kw_only=True)
class Retract(Part):
    """A retract leg."""

    word: ClassVar[str] = "retract leg"
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

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its own plug."""
        return (("plug", self.plug),) if self.plug else ()
