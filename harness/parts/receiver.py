"""A radio receiver; its sockets share one positive and one negative rail."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass, replace
from harness.base.span import Span
from harness.base.units import CURRENT, VOLTAGE
from harness.catalogue import Catalogue
from harness.drawing import look
from harness.parts.contacts import POLE_PINS, Form, LinkKind, Shape, supply_names
from harness.parts.join import CHANNEL_SOCKETS, JOIN, PIN_ORDER, PINS, Join, is_data
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount
from harness.reading.kinds import ClassName, ListOf, Name, Truth, Whole
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Receiver(Part):
    """A radio receiver; its sockets share one positive and one negative rail."""

    word: ClassVar[str] = "receiver"
    own_lead: ClassVar[str] = "receiver bus lead"
    table: ClassVar[str] = "receivers"
    draws_in: ClassVar[str] = "rail"
    group: ClassVar[str] = "receivers"
    rank: ClassVar[int] = 10
    is_radio: ClassVar[bool] = True
    fed_inside: ClassVar[str] = "rail"
    footprint: ClassVar[tuple[float, float, str]] = (13.0, 9.0, look.CASE)
    letters: ClassVar[str] = "RX"
    tested_with: ClassVar[str] = "boxes"
    has_channels: ClassVar[bool] = True
    rails: ClassVar[tuple[str, ...]] = ("rail",)
    sockets: Mapping[str, str] = key(
        CHANNEL_SOCKETS,
        "how many channel sockets; or their names in the order of the channels; or the channel of"
        " each name",
        must=True,
    )
    supply_sockets: int = key(Whole(0, 4), "sockets for the supply, named batt", default=1)
    telemetry: tuple[str, ...] = key(
        ListOf(Name(), or_one=True),
        "its sockets for telemetry: more sockets, or those of its channels that are set to it",
        default=(),
    )
    satellite_sockets: int = key(
        Whole(0, 4), "sockets for satellite receivers, named sat", default=0
    )
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its sockets", default=())
    keyed: bool = key(Truth(), "its sockets refuse a turned plug", default=False)
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="receiver")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE, least="1 V"), "highest supply it bears")
    limit: float | None = key(
        Amount(CURRENT, least="10 mA"), "what its sockets and rail carry together"
    )
    plug: Join | None = key(JOIN, "the socket of an autopilot that its bus lead goes into")

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Bind it, and set the failsafe."""
        words = f"Bind {self.named()} to its transmitter and set the failsafe"
        return words, f"failsafe: {at.failsafes}" if at.failsafes else ""

    @property
    def channels(self) -> Mapping[str, str]:
        """Its sockets, but for those that feed it, bind it or carry telemetry."""
        given = self.sockets.items()
        return {name: n for name, n in given if n and name not in self.telemetry}

    @property
    def data_sockets(self) -> tuple[str, ...]:
        """As stated, and as printed at it."""
        return (*self.telemetry, *(name for name in self.sockets if is_data(name)))

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """In a list of numbers and names, a name's place may be another's number."""
        for name in self.telemetry:
            if self.sockets.get(name, name) not in {name, ""}:
                yield (
                    f'socket "{name}" of {self.named()} carries telemetry, yet `sockets` gives it'
                    f" channel {self.sockets[name]}",
                    self.at("telemetry"),
                    f'take "{name}" out of `sockets`: it is one more socket',
                )
        for name, channel in self.channels.items():
            if name != channel and channel in self.sockets:
                yield (
                    f'socket "{name}" would give channel {channel}, as socket "{channel}" does',
                    self.at("sockets"),
                    f"write the channel of each: `sockets: {{{name}: ..., {channel}: {channel}}}`",
                )

    def channel_words(self, channels: Mapping[str, str]) -> Mapping[str, str]:
        """As the radio sends them."""
        return {name: channels[n] for name, n in self.channels.items() if n in channels}

    def picture(self, sitting: Sitting) -> Glyph:
        """A case with a strip; behind an autopilot, its own free sockets are nobody's channel."""
        used, words = sitting.used, sitting.functions
        known = {n: w for n, w in words.items() if not self.plug or n in used}
        return replace(sitting, functions=known).box("receiver", {"plug": "bus"})

    def inside(self, shape: Shape) -> None:
        """One rail behind every socket; a bus lead is fed from the same rail."""
        batts = tuple(n for n in supply_names(self.supply_sockets) if n not in self.sockets)
        order = self.pins or PINS
        every = dict.fromkeys((*self.sockets, *batts, *self.telemetry), "")
        names = {**every, **self.channels}
        shape.on_rail(names, "rail", order, self.keyed, self.data_sockets)
        for name in supply_names(self.satellite_sockets, "sat"):
            sat = shape.port(name, Form.SATELLITE, plug=False, order=PINS)
            for pin in POLE_PINS:
                shape.link(sat.pin(pin), shape.inner("rail", pin))
        shape.terminal("rail", POLE_PINS)
        shape.draws("rail")
        if self.plug:
            port = shape.three("plug", plug=True)
            for pin in POLE_PINS:
                shape.link(port.pin(pin), shape.inner("rail", pin), LinkKind.WIRE, wire=port.wire)
