"""A motor on an ESC."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import CURRENT, LENGTH, RESISTANCE, VOLTAGE, WireSize
from harness.catalogue import Catalogue
from harness.drawing import look
from harness.parts.contacts import PHASES, Conductor, Form, Shape
from harness.parts.figure import Figure, amps, joined, short, stated
from harness.parts.join import JOIN, Join
from harness.parts.part import Part
from harness.reading.amounts import Amount, Share, WireGauge
from harness.reading.kinds import Choice, ClassName, ListOf
from harness.reading.records import RecordOf, key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.scene import Item
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class MotorReading:
    """One line of a table read with a wattmeter. `throttle` from 0 to 1, A and V of the battery."""

    throttle: float = key(Share(), "where the stick stood", must=True)
    current: float = key(Amount(CURRENT, least="1 mA"), "battery current", must=True)
    volts: float | None = key(
        Amount(VOLTAGE, least="1 V"),
        "battery volts meanwhile; full-throttle-volts, or the nominal volts, if not given",
    )
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Part):
    """A motor on an ESC."""

    word: ClassVar[str] = "motor"
    own_lead: ClassVar[str] = "motor wires"
    group: ClassVar[str] = "motors"
    rank: ClassVar[int] = 100
    footprint: ClassVar[tuple[float, float, str]] = (18.0, 12.0, look.PAPER)
    letters: ClassVar[str] = "MOT"
    battery_side: ClassVar[bool] = True
    spins: ClassVar[str] = "propeller"
    made_safe: ClassVar[str] = "off"
    tried_bare: ClassVar[str] = "propellers off; a strip of tape on the shaft shows"
    plug: Join | None = key(JOIN, "the ESC its wires go to")
    full_throttle: float | None = key(
        Amount(CURRENT, least="1 mA"), "battery current at full throttle"
    )
    full_throttle_volts: float | None = key(
        Amount(VOLTAGE),
        "battery volts at which full-throttle was read; nominal volts of its pack if not given",
    )
    resistance: float | None = key(
        Amount(RESISTANCE, least="1 uohm"), "winding resistance, between two of its wires"
    )
    no_load: float | None = key(Amount(CURRENT), "no-load current: nothing on its shaft")
    measured: tuple[MotorReading, ...] = key(
        ListOf(RecordOf(MotorReading)),
        "current by throttle as read with a wattmeter (`harness record --write` puts it here);"
        " overrides full-throttle at 100 %, and the duty of the ESC between. At other volts the law"
        " of motors goes on from there",
        default=(),
    )
    rotation: str = key(
        Choice({"clockwise": "as seen from behind", "anticlockwise": "as seen from behind"}),
        "which way it turns, seen from behind",
        default="",
    )
    length: float | None = key(Amount(LENGTH), "length of its wires")
    wire: WireSize | None = key(WireGauge(), "its wires")
    connector: str = key(ClassName(), "class of its connector: bullets or three poles", default="")

    @property
    def row(self) -> tuple[str, str]:
        """By what it turns."""
        return "motors", self.spins

    def full(self) -> Figure | None:
        """Return the battery current at full throttle, A: as measured, or as stated."""
        read = next((one for one in self.measured if one.throttle == 1), None)
        if read is not None:
            return Figure(read.current, f"measured, plan line {read.span.line}")
        return stated(self, "full-throttle", self.full_throttle)

    def full_at(self) -> Span:
        """Return where that stands in the plan."""
        read = (one.span for one in self.measured if one.throttle == 1)
        return next(read, None) or self.at("full-throttle")

    def full_volts(self) -> float | None:
        """Return the battery volts at which that was read."""
        read = (one.volts for one in self.measured if one.throttle == 1)
        return next(read, None) or self.full_throttle_volts

    def slips(self, catalogue: Catalogue) -> Iterator[tuple[str, Span, str]]:
        """A table rises to full throttle; nothing on the shaft takes less than a propeller."""
        full = self.full()
        for message, span in self.falls():
            yield message, span, "more throttle takes more current: read it again"
        if self.measured and full is None:
            advice = "add the line `{throttle: 100 %, current: ... A}`, or `full-throttle`"
            yield "a table without its end, full throttle", self.at("measured"), advice
        if full is not None and self.no_load is not None and self.no_load >= full.number:
            yield (
                f"{self.named()} takes {short(self.no_load)} A with nothing on its shaft, and"
                f" {short(full.number)} A at full throttle",
                self.at("no-load"),
                "the no-load current is the small one: 2 to 7 % of the other, mostly",
            )

    def falls(self) -> Iterator[tuple[str, Span]]:
        """Yield where its table, full throttle as its end, does not rise with the throttle."""
        full = self.full()
        lines = [(one.throttle, one.current, one.span) for one in self.measured]
        if full is not None and all(throttle < 1 for throttle, _, _ in lines):
            lines.append((1.0, full.number, self.at("full-throttle")))
        lines.sort(key=lambda line: line[:2])
        for low, high in pairwise(lines):
            if high[0] == low[0] or high[1] <= low[1]:
                yield (
                    f"{self.named()} takes {short(low[1])} A at {low[0]:.0%} throttle and"
                    f" {short(high[1])} A at {high[0]:.0%}",
                    high[2],
                )

    def caption(self) -> tuple[str, ...]:
        """Its current, and which way it turns."""
        full = self.full()
        return (joined(amps(full.number if full else None), self.rotation),)

    def picture(self, sitting: Sitting) -> Glyph:
        """M in a circle (IEC 60617), with its propeller."""
        from harness.drawing import glyphs_power as g
        from harness.drawing.sitting import renamed

        drawn = g.motor(sitting.tag, where=sitting.beside("right"))
        return renamed(drawn, lead="plug")

    def sign(self, x: float, y: float, *, backwards: bool) -> list[Item]:
        """A circle with its propeller before it, or behind it."""
        from harness.drawing.scene import Path, circle_path, line_path

        blade = y + (6.0 if backwards else -6.0)
        swept = line_path([(x - 9, blade), (x + 9, blade)])
        return [
            Path(swept, stroke=look.INK, width=2.0, cap="round"),
            Path(circle_path(x, y, 4.5), fill=look.PAPER, stroke=look.INK, width=1.0),
        ]

    def inside(self, shape: Shape) -> None:
        """Three wires."""
        port = shape.port(
            "plug",
            Form.MOTOR,
            plug=True,
            wire=Conductor(self.wire, self.length),
            connector=self.connector,
        )
        shape.lead_in(port, "body", PHASES)
