"""A lead with one plug and one or more sockets, named 1 to `ways`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.span import Span
from harness.base.units import LENGTH, WireSize
from harness.catalogue import Catalogue
from harness.parts.contacts import Conductor, LinkKind, Shape
from harness.parts.join import COLOURS, JOIN, LIE, PIN_ORDER, PINS, ROLES, SPLIT, Join, split_words
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, Colour, ListOf, MapOf, Name, Truth, Whole
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


LEAD_WORDS = {"extension": "extension", "y": "Y-lead", "n-way": "n-way lead",
              "reverser": "in-line reverser", "custom": "custom lead",
              "two-plug": "two-plug lead"}  # fmt: skip
"""What each kind of lead is called, wherever one is spoken of."""
SECOND = "second-plug"
"""The port at the other end of a two-plug lead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead(Part):
    """A lead with one plug and one or more sockets, named 1 to `ways`."""

    word: ClassVar[str] = "lead"
    group: ClassVar[str] = "leads"
    rank: ClassVar[int] = 70
    tested_with: ClassVar[str] = "leads"
    is_lead: ClassVar[bool] = True
    in_line: ClassVar[bool] = True
    carries_signal: ClassVar[bool] = True
    kind: str = key(
        Choice(
            {
                "extension": "one plug, one socket",
                "y": "one plug, two sockets",
                "n-way": "one plug, as many sockets as `ways` says",
                "reverser": "an in-line box that turns the signal round",
                "custom": "wired to order; with `map` or `ends`",
                "two-plug": "a plug at either end and no socket: it joins two sockets",
            }
        ),
        "what the lead does",
        must=True,
    )
    plug: Join | None = key(JOIN, "the socket its plug goes into")
    second_plug: Join | None = key(JOIN, "two-plug: the socket the plug at its other end goes into")
    ways: int | None = key(Whole(1, 12), "how many sockets (n-way and custom)")
    length: float | None = key(Amount(LENGTH), "its length")
    wire: WireSize | None = key(WireGauge(), "its wire")
    wires: str = key(LIE, "how its wires lie", default="")
    split: str = key(SPLIT, "y, n-way and custom: where its wires part; `plug` unsaid", default="")
    colours: str = key(COLOURS, "its insulation", default="")
    map: Mapping[str, str] = key(
        MapOf(ROLES, ROLES),
        "custom: from each pin of the plug to the pin of its sockets",
        default={},
    )
    ends: Mapping[str, tuple[str, ...]] = key(
        MapOf(Name(), ListOf(Colour(), least=3, most=3)),
        "custom: wire colours in pin order at `plug` and at each socket",
        default={},
    )
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its plug", default=())
    socket_pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its sockets", default=())
    keyed: bool = key(Truth(), "its sockets refuse a turned plug", default=False)
    tested: bool = key(Truth(), "metered end to end before fitting", default=False)

    @property
    def outlets(self) -> tuple[str, ...]:
        """The names of its sockets."""
        count = 0 if self.two_plugs else self.ways or {"y": 2}.get(self.kind, 1)
        return tuple(str(n + 1) for n in range(count))

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """One socket leaves nothing to part; a plug that hangs loose bares its pins."""
        if self.two_plugs and not (self.plug and self.second_plug):
            right = "say where both go (`plug`, `second-plug`): a loose one has live, bare pins"
            yield f"{self.named()} has a plug that goes nowhere", self.span, right
        elif self.second_plug and not self.two_plugs:
            right = "`second-plug` is of a lead of `kind: two-plug`"
            yield f"{self.named()} has one plug", self.at("second-plug"), right
        if self.split and len(self.outlets) < 2:
            yield f"{self.named()} has one socket: its wires part nowhere", self.at("split"), ""

    @property
    def two_plugs(self) -> bool:
        """Whether it has a plug at either end."""
        return self.kind == "two-plug"

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its plug, and the one at its other end."""
        both = ((SECOND, self.second_plug),) if self.second_plug and self.two_plugs else ()
        return (*Part.joins(self), *both)

    @property
    def split_words(self) -> str:
        """As the plan says."""
        return split_words(self.split, 1, len(self.outlets))

    @property
    def turns_signal(self) -> bool:
        """A reverser does."""
        return self.kind == "reverser"

    @property
    def two_wired(self) -> bool:
        """Any but the box of a reverser."""
        return not self.turns_signal

    def lead_word(self, port: str = "plug") -> str:
        """Y-lead, 4-way lead, extension."""
        if self.kind == "n-way":
            return f"{len(self.outlets)}-way lead"
        return LEAD_WORDS[self.kind]

    def kit_kind(self) -> str:
        """An n-way lead of two sockets is a Y-lead."""
        return "y" if self.kind == "n-way" and len(self.outlets) == 2 else self.kind

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter it end to end."""
        count = len(self.outlets)
        each = {0: "to its other plug", 1: "to its socket", 2: "to both sockets"}.get(
            count, f"to all {count} sockets"
        )
        known = (
            "the plan says it was tested" if self.tested else "then write `tested: yes` in the plan"
        )
        turn = ("a servo on it turns the other way",) if self.turns_signal else ()
        name = f'{self.lead_word()} {at.code} ("{self.id}")'
        return (
            f"Meter {name}: each wire from its plug {each}, and none to another wire",
            known,
            *([f"it is {self.split_words}"] if self.split else []),
            *turn,
        )

    def picture(self, sitting: Sitting) -> Glyph:
        """A joint, its ways, or the box of a reverser."""
        from harness.drawing import glyphs_control as g
        from harness.drawing.sitting import renamed

        if self.turns_signal:
            return renamed(g.reverser(sitting.tag), left="plug", right="1")
        if self.two_plugs:
            return g.two_plugs(sitting.tag, sitting.ribbon(), ("plug", SECOND))
        lanes = [self._lanes(name) for name in self.outlets]
        free = {int(name) for name in self.outlets if name not in sitting.used}
        where = sitting.beside("none")
        if len(lanes) == 1 and lanes[0] == (0, 1, 2):
            return renamed(
                g.joint(sitting.tag, free=bool(free), noted=bool(sitting.noted), where=where),
                left="plug",
                right="1",
            )
        wires = sitting.ribbon()
        return g.junction(
            sitting.tag,
            ways=len(lanes),
            wires=wires,
            lanes=lanes,
            free=free,
            where=where,
            noted={int(name) for name in sitting.noted},
            split=self.split,
        )

    def _lanes(self, outlet: str) -> tuple[int | None, ...]:
        """Return at which pin of a socket each wire ends, in the order of the plug."""
        ways, theirs = pin_map(self, outlet), self.socket_pins or PINS
        return tuple(theirs.index(ways[pin]) if pin in ways else None for pin in self.pins or PINS)

    def inside(self, shape: Shape) -> None:
        """Wires from the plug to each socket; a reverser passes the signal on without copper."""
        wire = Conductor(self.wire, self.length, self.wires)
        entry = shape.three(
            "plug", plug=True, colours=self.colours, wire=wire, order=self.pins or PINS
        )
        if self.two_plugs:
            far = shape.three(SECOND, plug=True, colours=self.colours, wire=wire, order=entry.order)
            for pin in PINS:
                colour = (entry.colours or {})[pin]
                shape.link(entry.pin(pin), far.pin(pin), LinkKind.WIRE, wire=wire, colour=colour)
        for name in self.outlets:
            order = self.socket_pins or PINS
            outlet = shape.three(
                name, plug=False, colours=self.colours, order=order, keyed=self.keyed, passes="plug"
            )
            for pin, other in pin_map(self, name).items():
                relay = self.kind == "reverser" and pin == other == "signal"
                kind = LinkKind.RELAY if relay else LinkKind.WIRE
                colour = (entry.colours or {})[pin]
                shape.link(entry.pin(pin), outlet.pin(other), kind, wire=wire, colour=colour)


def pin_map(part: Lead, outlet: str) -> dict[str, str]:
    """Return which pin of a lead's plug each pin of one of its sockets is wired to.

    From `map`; or from the wire colours at both ends: a wire keeps its colour; or straight.
    """
    if part.map:
        return {pin: part.map.get(pin, pin) for pin in PINS}
    near, far = part.ends.get("plug"), part.ends.get(outlet)
    if not near or not far:
        return {pin: pin for pin in PINS}
    ours, theirs = part.pins or PINS, part.socket_pins or PINS
    return {pin: theirs[far.index(c)] for pin, c in zip(ours, near, strict=True) if c in far}
