"""What each kind of part is made of: its ports, and the links inside it.

One function a kind, registered by class. A part states its inside once, here; rules, sums and
pictures all read the same links.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

from harness.base.units import WireSize
from harness.catalogue import Catalogue
from harness.parts.contacts import (
    POLE_PINS,
    Contact,
    Form,
    Link,
    LinkKind,
    Port,
    Role,
    Wire,
)
from harness.parts.part import PINS, Part

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

    def link(
        self,
        a: Contact,
        b: Contact,
        kind: LinkKind = LinkKind.INSIDE,
        **more: Any,
    ) -> None:
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
        wire: Wire | None = None,
        **more: Any,
    ) -> Port:
        """Add a 3-pin port with its insulation colours."""
        return self.port(
            name,
            Form.THREE_PIN,
            plug=plug,
            wire=wire or Wire(),
            colours=insulation(self.catalogue, colours),
            **more,
        )


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


Builder = Callable[[Any, Shape], None]
BUILDERS: dict[type[Part], Builder] = {}


def shapes(cls: type[PartT]) -> Callable[[Callable[[PartT, Shape], None]], Builder]:
    """Register the builder of one kind of part."""

    def register(builder: Callable[[PartT, Shape], None]) -> Builder:
        BUILDERS[cls] = builder
        return builder

    return register


def shape_of(part: Part, catalogue: Catalogue) -> Shape:
    """Return the ports and links of one part."""
    shape = Shape(part, catalogue)
    BUILDERS[type(part)](part, shape)
    return shape
