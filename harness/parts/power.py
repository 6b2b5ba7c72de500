"""Parts on the power side: packs, ESCs, motors, regulators, power leads, fuses, capacitors."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from harness.base.units import (
    C_RATE,
    CAPACITANCE,
    CHARGE,
    CURRENT,
    LENGTH,
    RESISTANCE,
    VOLTAGE,
    WireSize,
)
from harness.parts.part import (
    BEC_KIND,
    COLOURS,
    JOIN,
    JOINS,
    PIN_ORDER,
    Bec,
    Join,
    Part,
    WordOr,
)
from harness.reading.kinds import Amount, Choice, ClassName, Name, Share, Truth, Whole, Wire
from harness.reading.records import RecordOf, key


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack(Part):
    """A battery: cells in series, a main connector `main`, perhaps a balance plug `balance`."""

    word: ClassVar[str] = "pack"
    chemistry: str = key(
        ClassName(), "lipo, lihv, liion, life, nimh or a class of the plan", must=True
    )
    cells: int = key(Whole(1, 60), "cells in series", must=True)
    capacity: float | None = key(Amount(CHARGE), "capacity")
    rate: float | None = key(Amount(C_RATE), "continuous rate on its label")
    connector: str = key(ClassName(), "class of its main connector", default="")
    volts: float | None = key(Amount(VOLTAGE), "volts at rest as metered, when packs are joined")
    charge: float | None = key(Share(), "how full it is when it is joined")
    cell_resistance: float | None = key(Amount(RESISTANCE), "resistance of one cell")
    plug: Join | None = key(JOIN, "the socket its own plug goes into (radio packs)")
    wire: WireSize | None = key(Wire(), "wire of its own lead")
    length: float | None = key(Amount(LENGTH), "length of its own lead")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its own plug, when it has one that goes into a socket."""
        return (("main", self.plug),) if self.plug else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Esc(Part):
    """A speed controller: battery wires, a 3-wire signal lead, three motor wires."""

    word: ClassVar[str] = "ESC"
    moves: str = key(Name(), "the function it answers to", default="throttle")
    plug: Join | None = key(JOIN, "the socket its signal lead goes into")
    supply: Join | None = key(JOIN, "the pack or power lead its battery wires go into")
    rated: float | None = key(Amount(CURRENT), "what it carries continuously")
    burst: float | None = key(Amount(CURRENT), "what it carries for seconds")
    cells_max: int | None = key(Whole(1, 60), "most cells it bears")
    bec: Bec | Literal["none"] | None = key(
        WordOr("none", RecordOf(Bec)), "its receiver supply, or none", default=None
    )
    isolated: bool = key(Truth(), "no copper between battery and signal side", default=False)
    fed: bool = key(Truth(), "its signal side needs 5 V from outside", default=False)
    connector: str = key(ClassName(), "class of its battery connector", default="")
    wire: WireSize | None = key(Wire(), "its battery wires")
    length: float | None = key(Amount(LENGTH), "length of its battery wires")
    lead_length: float | None = key(Amount(LENGTH), "length of its signal lead")
    lead_wire: WireSize | None = key(Wire(), "wire of its signal lead")
    colours: str = key(COLOURS, "insulation of its signal lead", default="")
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its plug", default=())

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its signal lead and its battery wires."""
        pairs = (("plug", self.plug), ("supply", self.supply))
        return tuple((port, join) for port, join in pairs if join)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Part):
    """A motor on an ESC."""

    word: ClassVar[str] = "motor"
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
    wire: WireSize | None = key(Wire(), "its wires")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its three wires."""
        return (("plug", self.plug),) if self.plug else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulator(Part):
    """A stand-alone supply for the receiver, a retract box or a camera."""

    word: ClassVar[str] = "regulator"
    kind: str = key(BEC_KIND, "how it makes its volts", default="")
    volts: float = key(Amount(VOLTAGE), "its output", must=True)
    rated: float | None = key(Amount(CURRENT), "what it gives continuously")
    burst: float | None = key(Amount(CURRENT), "what it gives for seconds")
    metered: float | None = key(Amount(VOLTAGE), "its output as metered before use")
    supply: Join | None = key(JOIN, "the pack or power lead it is fed from")
    plug: tuple[Join, ...] = key(
        JOINS, "the socket or sockets its output leads go into", default=()
    )
    isolated: bool = key(Truth(), "no copper between input and output", default=False)
    length: float | None = key(Amount(LENGTH), "length of its leads, in and out")
    wire: WireSize | None = key(Wire(), "wire of its leads, in and out")
    connector: str = key(ClassName(), "class of its input connector", default="")
    connector_out: str = key(
        ClassName(), "class of its battery-type output `out`, for boxes and lights", default=""
    )
    cells_max: int | None = key(Whole(1, 60), "most cells it bears")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its output leads and its input."""
        many = len(self.plug) > 1
        outs = tuple((f"plug-{n}" if many else "plug", j) for n, j in enumerate(self.plug, 1))
        return (*outs, ("supply", self.supply)) if self.supply else outs


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerLead(Part):
    """A lead of the battery side."""

    word: ClassVar[str] = "power lead"
    kind: str = key(
        Choice(
            {
                "parallel": "joins packs side by side, or shares one pack out",
                "series": "joins packs end to end; the first named is the lowest",
                "extension": "one in, one out",
                "adapter": "one in, one out, another connector or crossed poles",
                "jumper": "a plug that bridges both contacts of a socket",
                "arming": "a plug that closes the positive wire when fitted",
            }
        ),
        "what the lead does",
        must=True,
    )
    supply: tuple[Join, ...] = key(JOINS, "what its source ends go into, in order", default=())
    ways: int = key(Whole(1, 8), "how many load ends, named 1 to that number", default=1)
    connector: str = key(ClassName(), "class of its connectors", default="")
    connector_in: str = key(ClassName(), "class at the source ends, when another", default="")
    crossed: bool = key(Truth(), "an adapter that swaps the poles", default=False)
    fitted: bool = key(Truth(), "an arming plug: fitted in flight", default=True)
    rated: float | None = key(Amount(CURRENT), "what it carries continuously, when stated")
    wire: WireSize | None = key(Wire(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its source ends, named in-1, in-2 and so on."""
        return tuple((f"in-{n}", join) for n, join in enumerate(self.supply, 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse(Part):
    """A fuse in the positive wire."""

    word: ClassVar[str] = "fuse"
    rated: float = key(Amount(CURRENT), "its rating", must=True)
    supply: Join | None = key(JOIN, "the pack or power lead it is fed from")
    connector: str = key(ClassName(), "class of its connectors", default="")
    wire: WireSize | None = key(Wire(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its source end."""
        return (("in-1", self.supply),) if self.supply else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacitor(Part):
    """Low-ESR capacitors soldered across a part's battery wires."""

    word: ClassVar[str] = "capacitor"
    across: str = key(Name(), "the ESC they sit at", must=True)
    value: float = key(Amount(CAPACITANCE), "capacitance of one", must=True)
    count: int = key(Whole(1, 50), "how many side by side", default=1)
    volts: float | None = key(Amount(VOLTAGE), "rated volts")


@dataclass(frozen=True, slots=True, kw_only=True)
class Load(Part):
    """A light, a camera, a pump: anything that only draws current."""

    word: ClassVar[str] = "load"
    current: float | None = key(Amount(CURRENT), "what it draws")
    plug: Join | None = key(JOIN, "the 3-pin socket its plug goes into")
    supply: Join | None = key(JOIN, "or the pack, regulator or power lead it is fed from")
    connector: str = key(ClassName(), "class of its supply connector", default="")
    moves: str = key(Name(), "the function that switches it", default="")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE), "highest supply it bears")
    length: float | None = key(Amount(LENGTH), "length of its own lead")
    wire: WireSize | None = key(Wire(), "wire of its own lead")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its plug, or its supply wires."""
        pairs = (("plug", self.plug), ("supply", self.supply))
        return tuple((port, join) for port, join in pairs if join)


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch(Part):
    """A switch in a 3-pin supply lead."""

    word: ClassVar[str] = "switch"
    kind: str = key(
        Choice({"slide": "a sliding contact", "electronic": "a transistor, on when it fails"}),
        "what breaks the current",
        default="slide",
    )
    plug: Join | None = key(JOIN, "the socket its output lead goes into")
    rated: float | None = key(Amount(CURRENT), "what it carries continuously")
    wire: WireSize | None = key(Wire(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its output lead."""
        return (("plug", self.plug),) if self.plug else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Diode(Part):
    """A diode or isolator in the positive of a 3-pin supply lead."""

    word: ClassVar[str] = "diode"
    kind: str = key(
        Choice(
            {
                "silicon": "0.7 V",
                "schottky": "0.3 to 0.6 V",
                "ideal": "a transistor that acts as one, 20 to 50 mV",
            }
        ),
        "what blocks the way back",
        must=True,
    )
    plug: Join | None = key(JOIN, "the socket its output lead goes into")
    rated: float | None = key(Amount(CURRENT), "what it carries continuously")
    wire: WireSize | None = key(Wire(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its output lead."""
        return (("plug", self.plug),) if self.plug else ()
