"""A gyro box in line: each plug takes a channel, the outlet of that name passes it on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.near import hint
from harness.base.span import Span
from harness.base.units import VOLTAGE
from harness.catalogue import Catalogue
from harness.parts.contacts import POLE_PINS, LinkKind, Role, Shape
from harness.parts.join import JOIN, Join
from harness.parts.part import Part
from harness.reading.amounts import Amount
from harness.reading.kinds import ClassName, MapOf, Name
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Stabiliser(Part):
    """A gyro box in line: each plug takes a channel, the outlet of that name passes it on."""

    word: ClassVar[str] = "stabiliser"
    own_lead: ClassVar[str] = "stabiliser input lead"
    table: ClassVar[str] = "receivers"
    draws_in: ClassVar[str] = "rail"
    group: ClassVar[str] = "stabilisers"
    rank: ClassVar[int] = 30
    fed_inside: ClassVar[str] = "rail"
    letters: ClassVar[str] = "GYR"
    relays: ClassVar[bool] = True
    tested_with: ClassVar[str] = "boxes"
    plugs: Mapping[str, Join] = key(
        MapOf(Name(), JOIN), "for each outlet, the socket its input lead goes into", must=True
    )
    axes: Mapping[str, str] = key(
        MapOf(Name(), Name()),
        "the function each outlet is steadied for; an outlet called by a function needs none",
        default={},
    )
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="stabiliser")
    volts_max: float | None = key(Amount(VOLTAGE, least="1 V"), "highest supply it bears")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """One input lead an outlet."""
        return tuple((f"plug-{name}", self.plugs[name]) for name in sorted(self.plugs))

    def axis(self, outlet: str) -> str:
        """Return what is stated, else the outlet's own name where that is a function."""
        return self.axes.get(outlet) or (outlet if self.words.is_flown(outlet) else "")

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """Yield axes of outlets that it does not have."""
        for name in (name for name in self.axes if name not in self.plugs):
            right = hint(name, self.plugs)
            yield f'{self.named()} has no outlet "{name}"', self.at("axes"), right

    def picture(self, sitting: Sitting) -> Glyph:
        """A case; each input has the name of its outlet."""
        return sitting.box("stabiliser", {f"plug-{name}": name for name in self.plugs})

    def inside(self, shape: Shape) -> None:
        """One rail; each signal goes in by its plug and out by the outlet of its name."""
        for name in sorted(self.plugs):
            entry = shape.three(f"plug-{name}", plug=True)
            outlet = shape.three(name, plug=False, passes=entry.name)
            for pin in POLE_PINS:
                shape.link(entry.pin(pin), shape.inner("rail", pin), LinkKind.WIRE, wire=entry.wire)
                shape.link(shape.inner("rail", pin), outlet.pin(pin))
            shape.link(entry.pin("signal"), outlet.pin("signal"), LinkKind.RELAY)
            shape.roles[entry.pin("signal")] = Role.SIGNAL
            shape.roles[outlet.pin("signal")] = Role.SIGNAL
        shape.terminal("rail", POLE_PINS)
        shape.draws("rail")
