"""Contacts, links between them, ports and mated pairs: the words of the wiring graph."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from harness.base.units import WireSize
from harness.parts.join import PINS
from harness.parts.part import Part

POLE_PINS = ("positive", "negative")
PHASES = ("a", "b", "c")


class Contact(NamedTuple):
    """One pin: of a part's port, or of its inside ("body", "battery", "rail", ...)."""

    part: str
    port: str
    pin: str


class Form(Enum):
    """What shape of plug or socket a port has; only like forms mate."""

    THREE_PIN = "3-pin"
    POWER = "battery"
    MOTOR = "motor"
    TWO_WIRE = "two-wire"
    BALANCE = "balance"
    BUS = "receiver bus"


class LinkKind(Enum):
    """What joins two contacts."""

    WIRE = "wire"
    MATE = "mated contacts"
    INSIDE = "inside a part"
    RELAY = "passed on as a signal, no copper"
    DIODE = "one way only"
    SOURCE = "volts from a to b"
    LOAD = "draws current"


COPPER = frozenset({LinkKind.WIRE, LinkKind.MATE, LinkKind.INSIDE})


class Role(Enum):
    """What a device's own terminal is for."""

    SIGNAL = "signal"
    POSITIVE = "positive"
    NEGATIVE = "negative"


@dataclass(frozen=True, slots=True)
class Conductor:
    """What a run of wire is made of; None where nobody said."""

    size: WireSize | None = None
    length: float | None = None
    """mm"""


@dataclass(frozen=True, slots=True)
class Port:
    """A plug or a socket of a part.

    `order` is the order of the pins in the housing, `forms` what it mates with, `passes` the port
    of the same part through which its signal and supply come (for leads and boxes in line),
    `colours` the insulation by pin as IEC 60757 letters.
    """

    part: Part
    name: str
    forms: tuple[Form, ...]
    is_plug: bool
    order: tuple[str, ...] = PINS
    connector: str = ""
    keyed: bool = False
    passes: str = ""
    wire: Conductor = Conductor()
    colours: Mapping[str, str] | None = None

    @property
    def id(self) -> tuple[str, str]:
        """(part id, port name)."""
        return (self.part.id, self.name)

    @property
    def form(self) -> Form:
        """The first of its forms."""
        return self.forms[0]

    @property
    def short(self) -> str:
        """How the plan writes it: part.port, or the part alone for its own plug."""
        own = {"plug", "supply", "main", "motor", "in-1"}
        return self.part.id if self.name in own else f"{self.part.id}.{self.name}"

    def pin(self, name: str) -> Contact:
        """Return the contact of one pin."""
        return Contact(self.part.id, self.name, name)


@dataclass(frozen=True, slots=True)
class Link:
    """Two contacts joined inside a part, by its wire, or by a mated pair.

    `volts` belongs to a SOURCE: b lies that much above a.
    """

    a: Contact
    b: Contact
    kind: LinkKind
    owner: str
    wire: Conductor | None = None
    colour: str = ""
    volts: float = 0.0
