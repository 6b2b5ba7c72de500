"""Contacts, links, ports, and the shape of a part made of them: the words of the wiring graph."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from enum import Enum
from typing import Any, NamedTuple, TypeVar

from harness.base.data import dataclass, field
from harness.base.units import WireSize
from harness.catalogue import Catalogue
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
    SATELLITE = "satellite"


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
CARRIES = frozenset({LinkKind.WIRE, LinkKind.RELAY, LinkKind.DIODE})
"""What a lead found dead from end to end does no more."""


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
    lie: str = ""
    """twisted, flat"""


@dataclass(frozen=True, slots=True)
class Port:
    """A plug or a socket of a part.

    `order` is the order of the pins in the housing, `forms` what it mates with, `passes` the port
    of the same part through which its signal and supply come (for leads and boxes in line),
    `colours` the insulation by pin as IEC 60757 letters, `channel` what it gives out: the number
    of a receiver's channel, the name of an autopilot's output, or "". `data`: it carries telemetry.
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
    channel: str = ""
    data: bool = False

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


BATTERY = {"positive": "RD", "negative": "BK"}


def supply_names(count: int, name: str = "batt") -> tuple[str, ...]:
    """Return batt, or batt-1, batt-2 and so on."""
    return (name,) if count == 1 else tuple(f"{name}-{n + 1}" for n in range(count))


PartT = TypeVar("PartT", bound=Part)


@dataclass
class Shape:
    """Collects the ports and links of one part."""

    part: Part
    catalogue: Catalogue
    ports: list[Port] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    roles: dict[Contact, Role] = field(default_factory=dict)

    def port(self, name: str, *forms: Form, plug: bool, **more: Any) -> Port:
        """Add a port."""
        if forms[0] is not Form.THREE_PIN and "order" not in more:
            more["order"] = ("a", "b", "c") if forms[0] is Form.MOTOR else POLE_PINS
        port = Port(self.part, name, forms, plug, **more)
        self.ports.append(port)
        return port

    def inner(self, port: str, pin: str) -> Contact:
        """Return a contact inside the part."""
        return Contact(self.part.id, port, pin)

    def link(self, a: Contact, b: Contact, kind: LinkKind = LinkKind.INSIDE, **more: Any) -> None:
        """Join two contacts."""
        self.links.append(Link(a, b, kind, self.part.id, **more))

    def lead_in(self, port: Port, inside: str, pins: tuple[str, ...] = PINS) -> None:
        """Run the wires of a part's own lead from a port to contacts inside of the same pins."""
        for pin in pins:
            colour = (port.colours or {}).get(pin, "")
            end = self.inner(inside, pin)
            self.link(port.pin(pin), end, LinkKind.WIRE, wire=port.wire, colour=colour)

    def terminal(self, inside: str, pins: tuple[str, ...] = PINS) -> None:
        """State what the part's own terminals are for."""
        for pin in pins:
            self.roles[self.inner(inside, pin)] = Role(pin)

    def draws(self, inside: str) -> None:
        """Put a load between the poles of an inside."""
        self.link(self.inner(inside, "positive"), self.inner(inside, "negative"), LinkKind.LOAD)

    def three(
        self,
        name: str,
        *,
        plug: bool,
        colours: str = "",
        wire: Conductor | None = None,
        **more: Any,
    ) -> Port:
        """Add a 3-pin port with its insulation colours."""
        return self.port(
            name,
            Form.THREE_PIN,
            plug=plug,
            wire=wire or Conductor(),
            colours=insulation(self.catalogue, colours),
            **more,
        )

    def poles(
        self, name: str, *, plug: bool, connector: str = "", wire: Conductor | None = None
    ) -> Port:
        """Add a two-pole battery port."""
        return self.port(
            name,
            Form.POWER,
            plug=plug,
            connector=connector,
            wire=wire or Conductor(),
            colours=BATTERY,
        )

    def source(self, inside: str, volts: float) -> None:
        """Put volts between the poles of an inside."""
        low, high = self.inner(inside, "negative"), self.inner(inside, "positive")
        self.link(low, high, LinkKind.SOURCE, volts=volts)

    def on_rail(
        self,
        names: Mapping[str, str],
        rail: str,
        order: tuple[str, ...],
        keyed: bool,
        data: Collection[str] = (),
    ) -> None:
        """Add sockets whose poles hang on a rail, with the channel that each gives out, or "".

        `data`: which of them carry telemetry.
        """
        for name, channel in names.items():
            port = self.three(
                name, plug=False, order=order, keyed=keyed, channel=channel, data=name in data
            )
            self.roles[port.pin("signal")] = Role.SIGNAL
            for pin in POLE_PINS:
                self.link(port.pin(pin), self.inner(rail if pin == "positive" else "rail", pin))

    def pole_wire(self, port: Port, pin: str, node: str) -> None:
        """Run a battery wire from a pin to a node inside."""
        end = self.inner("node", node)
        self.link(port.pin(pin), end, LinkKind.WIRE, wire=port.wire, colour=BATTERY[pin])

    def in_line(
        self,
        positive: LinkKind,
        wire: Conductor,
        outlets: tuple[str, ...] = ("1",),
        *,
        turned: bool = False,
    ) -> None:
        """A box in a supply lead: its sockets take supplies, the plug goes on to the rail.

        `turned`: what passes the positive one way only does so from the plug to the sockets.
        """
        entry = self.three("plug", plug=True, wire=wire)
        colours = insulation(self.catalogue, "")
        for outlet in [self.three(name, plug=False, passes="plug") for name in outlets]:
            for pin in PINS:
                kind = positive if pin == "positive" else LinkKind.WIRE
                ends = (outlet.pin(pin), entry.pin(pin))
                a, b = ends[::-1] if turned and pin == "positive" else ends
                self.link(a, b, kind, wire=wire, colour=colours[pin])


def insulation(catalogue: Catalogue, scheme: str) -> dict[str, str]:
    """Return the IEC 60757 letters by pin of a named scheme; the usual one by default."""
    name = scheme or "white-red-black"
    return {pin: catalogue.require("leads", name, pin).text for pin in PINS}


def size_of(catalogue: Catalogue, table: str, row: str, key: str) -> WireSize | None:
    """Return a wire size from the catalogue, or None."""
    from harness.base.units import UnitError, parse_wire

    value = catalogue.value(table, row, key) if row else None
    try:
        return parse_wire(f"{value.text} {value.unit}".strip()) if value else None
    except UnitError:
        return parse_wire(value.text) if value else None
