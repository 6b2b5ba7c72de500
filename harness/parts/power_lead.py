"""A lead of the battery side."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass
from harness.base.span import Span
from harness.base.units import CURRENT, LENGTH, WireSize
from harness.catalogue import Catalogue
from harness.parts.breaker import Breaker
from harness.parts.contacts import BATTERY, POLE_PINS, Conductor, Form, Port, Shape
from harness.parts.join import JOINS, SPLIT, Join, split_words
from harness.parts.part import BenchFacts
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, ClassName, Truth, Whole
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerLead(Breaker):
    """A lead of the battery side."""

    word: ClassVar[str] = "power lead"
    group: ClassVar[str] = "power-leads"
    rank: ClassVar[int] = 120
    tested_with: ClassVar[str] = "leads"
    when_open: ClassVar[str] = "out"
    is_lead: ClassVar[bool] = True
    in_line: ClassVar[bool] = True
    battery_side: ClassVar[bool] = True
    kind: str = key(
        Choice(
            {
                "parallel": "joins packs side by side, or shares one pack out",
                "series": "joins packs end to end; the first named is the lowest",
                "extension": "one in, one out",
                "adapter": "one in, one out, another connector or crossed poles",
                "balance-adapter": "from a pack's balance plug to a battery connector, all cells",
                "jumper": "a plug that bridges both contacts of a socket",
                "arming": "a plug that closes the positive wire, or `pole`, when fitted",
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
    fitted: bool = key(
        Truth(), "an arming plug: in, in flight; any other: by its maker", default=True
    )
    rated: float | None = key(
        Amount(CURRENT, least="10 mA"), "what it carries continuously, when stated"
    )
    wire: WireSize | None = key(WireGauge(), "its wire")
    length: float | None = key(Amount(LENGTH), "its length")
    split: str = key(SPLIT, "parallel: where its wires part; `plug` unsaid", default="")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its source ends, named in-1, in-2 and so on."""
        return tuple((f"in-{n}", join) for n, join in enumerate(self.supply, 1))

    @property
    def as_made(self) -> bool:
        """An arming plug comes and goes."""
        return self.fitted and not self.arms and "fitted" in self.spans

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """Only a lead with one end on one side and several on the other parts anywhere."""
        if self.split and (self.kind != "parallel" or len(self.supply) == self.ways):
            yield f"the wires of {self.named()} part nowhere", self.at("split"), ""
        if "pole" in self.spans and not self.arms:
            yield f"{self.named()} opens nothing", self.at("pole"), "`pole` is of an arming plug"

    @property
    def split_words(self) -> str:
        """As the plan says."""
        return split_words(self.split, len(self.supply), self.ways)

    @property
    def can_open(self) -> bool:
        """An arming plug does."""
        return self.arms

    @property
    def is_open(self) -> bool:
        """An arming plug that is out."""
        return self.arms and not self.fitted

    def caption(self) -> tuple[str, ...]:
        """Where it sits, when not in the red wire."""
        return self.pole_words()

    @property
    def arms(self) -> bool:
        """An arming plug does."""
        return self.kind == "arming"

    def lead_word(self, port: str) -> str:
        """Arming plug, parallel lead, adapter."""
        words = {
            "jumper": "jumper plug",
            "arming": "arming plug",
            "extension": "power extension",
            "adapter": "adapter",
            "balance-adapter": "balance adapter",
        }
        return words.get(self.kind, f"{self.kind} lead")

    def kit_kind(self) -> str:
        """Told apart from an extension of a servo lead."""
        return "power-extension" if self.kind == "extension" else self.kind

    def code_letters(self) -> str:
        """Power, jumper or arming."""
        return {"jumper": "JMP", "arming": "ARM"}.get(self.kind, "PWR")

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter which contacts it joins."""
        if self.kind in {"jumper", "arming"}:
            joins = "it bridges both contacts, and nothing else touches them"
        elif self.kind == "series":
            joins = "red of each end to black of the next, no other bridge"
        else:
            crossed = " (its poles are crossed on purpose)" if self.crossed else ""
            joins = f"red to red, black to black, no bridge between{crossed}"
        return f"Meter {self.named()}: {joins}", ""

    def picture(self, sitting: Sitting) -> Glyph:
        """By how many ends it has."""
        from harness.drawing import glyphs_power as g
        from harness.drawing.sitting import renamed

        entries = [name for name, _ in self.joins()]
        outlets = [str(n + 1) for n in range(self.ways)]
        if self.kind == "series":
            return g.series(sitting.tag, entries, outlets)
        if self.kind == "jumper":
            return g.jumper(sitting.tag, [*entries, *outlets])
        if sitting.under:
            return g.shared_down(sitting.tag, entries[0], outlets, sitting.down, sitting.rooms)
        if len(entries) > 1 or len(outlets) > 1:
            return g.shared(sitting.tag, entries, outlets, self.split)
        drawn = g.arming_plug(sitting.tag, self.pole) if self.arms else g.connector(sitting.tag)
        return renamed(drawn, left=entries[0] if entries else "", right=outlets[0])

    def inside(self, shape: Shape) -> None:
        """All on two nodes; end to end; or both poles bridged."""
        wire = Conductor(self.wire, self.length)
        entries = [
            shape.port(
                name, Form.BALANCE, plug=True, connector="balance", wire=wire, colours=BATTERY
            )
            if self.kind == "balance-adapter"
            else shape.poles(
                name, plug=True, connector=self.connector_in or self.connector, wire=wire
            )
            for name, _ in self.joins()
        ]
        outlets = [
            shape.poles(str(n + 1), plug=False, connector=self.connector, wire=wire)
            for n in range(self.ways)
        ]
        {"series": _series, "jumper": _bridged}.get(self.kind, _side_by_side)(
            self, shape, entries, outlets
        )


def _side_by_side(part: PowerLead, shape: Shape, entries: list[Port], outlets: list[Port]) -> None:
    """Every positive on one node, every negative on the other."""
    for port in entries:
        for pin in POLE_PINS:
            other = pin if not part.crossed else POLE_PINS[pin == "positive"]
            shape.pole_wire(port, pin, other)
    for port in outlets:
        for pin in POLE_PINS:
            shape.pole_wire(port, pin, pin)


def _series(_: PowerLead, shape: Shape, entries: list[Port], outlets: list[Port]) -> None:
    """The first pack is the lowest: its negative is the lead's negative."""
    last = len(entries)
    for n, port in enumerate(entries):
        shape.pole_wire(port, "negative", "negative" if n == 0 else f"level-{n}")
        shape.pole_wire(port, "positive", "positive" if n + 1 == last else f"level-{n + 1}")
    for port in outlets:
        for pin in POLE_PINS:
            shape.pole_wire(port, pin, pin)


def _bridged(_: PowerLead, shape: Shape, entries: list[Port], outlets: list[Port]) -> None:
    """A jumper plug: both contacts on one node."""
    for port in (*entries, *outlets):
        for pin in POLE_PINS:
            shape.pole_wire(port, pin, "bridge")
