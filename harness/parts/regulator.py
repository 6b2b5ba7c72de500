"""A stand-alone supply for the receiver, a retract box or a camera."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass, replace
from harness.base.units import CURRENT, LENGTH, VOLTAGE, WireSize
from harness.drawing import look
from harness.parts.bec import BEC_KIND, meter_words
from harness.parts.contacts import POLE_PINS, Conductor, Shape
from harness.parts.figure import amps, joined, short
from harness.parts.join import JOIN, JOINS, Join
from harness.parts.part import BenchFacts, Part
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import ClassName, Truth, Whole
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Regulator(Part):
    """A stand-alone supply for the receiver, a retract box or a camera."""

    word: ClassVar[str] = "regulator"
    group: ClassVar[str] = "regulators"
    rank: ClassVar[int] = 130
    regulates: ClassVar[bool] = True
    footprint: ClassVar[tuple[float, float, str]] = (9.0, 6.0, look.BOARD)
    letters: ClassVar[str] = "REG"
    tested_with: ClassVar[str] = "supplies"
    battery_side: ClassVar[bool] = True
    taps_battery: ClassVar[bool] = True
    kind: str = key(BEC_KIND, "how it makes its volts", default="")
    volts: float = key(Amount(VOLTAGE, least="1 V"), "its output", must=True)
    rated: float | None = key(Amount(CURRENT, least="10 mA"), "what it gives continuously")
    burst: float | None = key(Amount(CURRENT, least="10 mA"), "what it gives for seconds")
    metered: float | None = key(Amount(VOLTAGE), "its output as metered before use")
    supply: Join | None = key(JOIN, "the pack or power lead it is fed from")
    plug: tuple[Join, ...] = key(
        JOINS, "the socket or sockets its output leads go into", default=()
    )
    isolated: bool = key(Truth(), "no copper between input and output", default=False)
    length: float | None = key(Amount(LENGTH), "length of its leads, in and out")
    wire: WireSize | None = key(WireGauge(), "wire of its leads, in and out")
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

    @property
    def row(self) -> tuple[str, str]:
        """Its kind."""
        return "regulators", self.kind

    @property
    def makes(self) -> Regulator:
        """Itself."""
        return self

    def lead_word(self, port: str) -> str:
        """Its input, or one of its outputs."""
        return "regulator input lead" if port == "supply" else "regulator output lead"

    def wears_lead(self, port: str, *, used: bool) -> bool:
        """Its battery-type output is there where it is used."""
        return used

    def kit_class(self) -> str:
        """Its kind."""
        return self.kind

    def caption(self) -> tuple[str, ...]:
        """Volts and amperes."""
        return (joined(f"{short(self.volts)} V", amps(self.rated)),)

    def try_out(self, at: BenchFacts) -> tuple[str, ...]:
        """Meter the supply it makes."""
        return meter_words(self, at.catalogue)

    def picture(self, sitting: Sitting) -> Glyph:
        """A case, its input at the left; a battery-type output is shown where it is used."""
        from harness.drawing import glyphs_control as g

        outs = {n: n.replace("plug-", "out ").replace("plug", "out") for n in sitting.plugs}
        shown = [s for s in sitting.strip() if s.used or sitting.small]
        right = [*(replace(s, fixed=True) for s in shown), *sitting.exits(outs, far=True)]
        left = sitting.exits({**outs, "supply": "in"})
        return g.box(sitting.tag, "regulator", left=left, right=right)

    def inside(self, shape: Shape) -> None:
        """Volts of its own between the poles of its outputs."""
        wire = Conductor(self.wire, self.length)
        supply = shape.poles("supply", plug=True, connector=self.connector, wire=wire)
        shape.lead_in(supply, "battery", POLE_PINS)
        shape.terminal("battery", POLE_PINS)
        shape.draws("battery")
        if not self.isolated:
            shape.link(shape.inner("battery", "negative"), shape.inner("body", "negative"))
        shape.source("body", self.volts)
        shape.terminal("body", POLE_PINS)
        for name, _ in self.joins():
            if name != "supply":
                shape.lead_in(shape.three(name, plug=True, wire=wire), "body", POLE_PINS)
        out = shape.poles("out", plug=False, connector=self.connector_out, wire=wire)
        shape.lead_in(out, "body", POLE_PINS)
