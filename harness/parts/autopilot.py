"""A flight computer: output sockets, a socket `rc` for the receiver, `power` for its supply."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, ClassVar

from harness.base.data import dataclass, replace
from harness.base.units import CURRENT, VOLTAGE
from harness.drawing import look
from harness.parts.contacts import LinkKind, Role, Shape, supply_names
from harness.parts.join import PIN_ORDER, PINS, SOCKETS
from harness.parts.part import Part
from harness.reading.amounts import Amount
from harness.reading.kinds import Choice, ClassName, ListOf, MapOf, Name, Truth, Whole
from harness.reading.records import key

if TYPE_CHECKING:
    from harness.drawing.glyph import Glyph
    from harness.drawing.sitting import Sitting


@dataclass(frozen=True, slots=True, kw_only=True)
class Autopilot(Part):
    """A flight computer: output sockets, a socket `rc` for the receiver, `power` for its supply."""

    word: ClassVar[str] = "autopilot"
    table: ClassVar[str] = "receivers"
    draws_in: ClassVar[str] = "logic"
    group: ClassVar[str] = "autopilots"
    rank: ClassVar[int] = 20
    sets_outputs: ClassVar[bool] = True
    fed_inside: ClassVar[str] = "logic"
    footprint: ClassVar[tuple[float, float, str]] = (13.0, 10.0, look.CASE)
    tested_with: ClassVar[str] = "boxes"
    has_channels: ClassVar[bool] = True
    rails: ClassVar[tuple[str, ...]] = ("rail", "logic")
    sockets: tuple[str, ...] = key(SOCKETS, "how many output sockets, or their names", must=True)
    outputs: Mapping[str, str] = key(
        MapOf(Name(), Name()), "the function on each output socket", default={}
    )
    rail: str = key(
        Choice(
            {
                "separate": "the output rail is not joined to the autopilot's own supply",
                "logic": "the output rail hangs on the autopilot's own supply",
            }
        ),
        "where the positive of its output sockets comes from",
        default="separate",
    )
    rail_sockets: int = key(Whole(0, 4), "sockets that feed the output rail, named batt", default=1)
    telemetry: tuple[str, ...] = key(
        ListOf(Name(), or_one=True),
        "its sockets for telemetry, beside its outputs",
        default=("telemetry",),
    )
    pins: tuple[str, ...] = key(PIN_ORDER, "pin order of its sockets", default=())
    keyed: bool = key(Truth(), "its sockets refuse a turned plug", default=False)
    class_: str = key(ClassName(), "class in the catalogue", word="class", default="autopilot")
    volts_min: float | None = key(Amount(VOLTAGE), "lowest supply it works on")
    volts_max: float | None = key(Amount(VOLTAGE, least="1 V"), "highest supply it bears")
    limit: float | None = key(
        Amount(CURRENT, least="10 mA"), "what a rail on its own supply may draw"
    )

    @property
    def channels(self) -> Mapping[str, str]:
        """Its sockets, each an output of its own name."""
        return {name: name for name in self.sockets if name not in self.telemetry}

    def channel_words(self, channels: Mapping[str, str]) -> Mapping[str, str]:
        """What its own outputs are set to."""
        return self.outputs

    def picture(self, sitting: Sitting) -> Glyph:
        """A case; the receiver comes in at the left."""
        receiver = () if sitting.small else ("rc",)
        return replace(sitting, far=sitting.far.union(receiver)).box("autopilot")

    def inside(self, shape: Shape) -> None:
        """Outputs hang on their own rail or on the logic; `power` and `rc` always on the logic."""
        order = self.pins or PINS
        feeds = "logic" if self.rail == "logic" else "rail"
        batts = () if self.rail == "logic" else supply_names(self.rail_sockets)
        batts = tuple(name for name in batts if name not in self.sockets)
        outputs = {**self.channels, **dict.fromkeys(batts, "")}
        shape.on_rail(outputs, feeds, order, self.keyed)
        own = dict.fromkeys(n for n in ("power", "rc", *self.telemetry) if n not in self.channels)
        shape.on_rail(dict.fromkeys(own, ""), "logic", order, self.keyed, self.telemetry)
        shape.roles[shape.inner("logic", "positive")] = Role.POSITIVE
        shape.roles[shape.inner("rail", "negative")] = Role.NEGATIVE
        shape.link(shape.inner("logic", "positive"), shape.inner("rail", "negative"), LinkKind.LOAD)
