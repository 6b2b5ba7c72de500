"""A multi-pin plug at a joint: each circuit is a 3-pin lead through it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from operator import itemgetter
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass, field
from harness.base.near import hint
from harness.base.span import START, Span
from harness.base.units import LENGTH, WireSize
from harness.catalogue import Catalogue
from harness.parts.contacts import Conductor, Link, LinkKind, Shape
from harness.parts.figure import Figure, from_catalogue
from harness.parts.join import JOIN, PINS, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import ClassName, MapOf, Name, Whole
from harness.reading.records import RecordOf, key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class WingCircuit:
    """Which contacts of a multi-pin plug one 3-pin lead takes."""

    signal: int | None = key(Whole(1, 99), "the contact of its signal wire")
    positive: int | None = key(Whole(1, 99), "the contact of its positive wire")
    negative: int | None = key(Whole(1, 99), "the contact of its negative wire")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class WingPlug(Part):
    """A multi-pin plug at a joint: each circuit is a 3-pin lead through it."""

    word: ClassVar[str] = "wing plug"
    own_lead: ClassVar[str] = "wing plug circuit"
    kit_word: ClassVar[str | None] = "wing-plug"
    group: ClassVar[str] = "wing-plugs"
    rank: ClassVar[int] = 80
    letters: ClassVar[str] = "W"
    tested_with: ClassVar[str] = "leads"
    in_line: ClassVar[bool] = True
    contacts: int = key(Whole(2, 99), "how many contacts it has", must=True)
    circuits: Mapping[str, WingCircuit] = key(
        MapOf(Name(), RecordOf(WingCircuit)),
        "the pin table: for each circuit its contacts",
        must=True,
    )
    plugs: Mapping[str, Join] = key(
        MapOf(Name(), JOIN), "for each circuit, the socket its fuselage lead goes into", default={}
    )
    connector: str = key(ClassName(), "its class in the catalogue", default="")
    wire: WireSize | None = key(WireGauge(), "its wires")
    length: float | None = key(Amount(LENGTH), "length of its leads, both sides together")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """One lead a circuit."""
        return tuple((f"plug-{name}", self.plugs[name]) for name in sorted(self.plugs))

    def resists(self, catalogue: Catalogue, link: Link) -> Figure | None:
        """In each contact."""
        if link.a.port != "contact":
            return None
        rows = (self.connector, "multi-6pin")
        found = (from_catalogue(catalogue, "plugs", row, "contact-resistance") for row in rows)
        return next(filter(None, found))

    @property
    def two_wired(self) -> bool:
        """A circuit may leave out its signal."""
        return True

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """Its leads go by the circuits of its own pin table."""
        for name, join in self.plugs.items():
            if name not in self.circuits:
                yield f'there is no circuit "{name}"', join.span, hint(name, list(self.circuits))

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter it against its pin table."""
        rows = []
        for name, circuit in self.circuits.items():
            pins = [(word, getattr(circuit, word)) for word in PINS]
            rows.append(f"{name}: {', '.join(f'{word} {pin}' for word, pin in pins if pin)}")
        return f"Meter {self.named()} against its pin table, both halves together", *rows

    def picture(self, sitting: Sitting) -> Glyph:
        """A row for each circuit: its name and its contacts."""
        from harness.drawing.glyphs_power import root_plug

        seen = {*sitting.sockets, *(name.removeprefix("plug-") for name in sitting.plugs)}
        rows = [
            (name, " ".join(str(n or "–") for n in (c.signal, c.positive, c.negative)))
            for name, c in self.circuits.items()
            if name in seen
        ]
        return root_plug(sitting.tag, rows)

    def inside(self, shape: Shape) -> None:
        """Each circuit by the contacts its table gives."""
        wire = Conductor(self.wire, self.length)
        for name, circuit in sorted(self.circuits.items(), key=itemgetter(0)):
            entry = shape.three(f"plug-{name}", plug=True, wire=wire)
            outlet = shape.three(name, plug=False, passes=entry.name, wire=wire)
            for pin in PINS:
                number = getattr(circuit, pin)
                if number is None:
                    continue
                contact = shape.inner("contact", str(number))
                colour = (entry.colours or {})[pin]
                shape.link(entry.pin(pin), contact, LinkKind.WIRE, wire=wire, colour=colour)
                shape.link(contact, outlet.pin(pin))
