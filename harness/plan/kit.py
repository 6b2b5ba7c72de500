"""The kit: what came in the box, and what lies in the drawer."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import LENGTH, WireSize
from harness.parts.join import LIE, SPLIT
from harness.reading.amounts import Amount, WireGauge
from harness.reading.kinds import Choice, ClassName, FreeText, Name, Truth, Whole
from harness.reading.records import key

LEAD_KINDS: Mapping[str, str] = {
    "extension": "a 3-pin lead with one plug and one socket",
    "y": "a 3-pin lead with one plug and two sockets",
    "n-way": "a 3-pin lead with one plug and as many sockets as `ways` says",
    "reverser": "an in-line box that turns the signal round",
}
PART_KINDS: Mapping[str, str] = {
    "two-plug": "a 3-pin lead with a plug at either end",
    "receiver": "a receiver",
    "satellite": "a satellite receiver",
    "autopilot": "a flight computer",
    "stabiliser": "a gyro box",
    "servo": "a servo, by its class",
    "retract": "a retract leg",
    "sequencer": "a sequencer box",
    "esc": "a speed controller",
    "motor": "a motor",
    "pack": "a pack",
    "regulator": "a regulator",
    "parallel": "a power lead that joins packs or loads side by side",
    "series": "a power lead that joins packs one after the other",
    "power-extension": "a longer battery lead",
    "adapter": "a power lead with unlike connectors",
    "balance-adapter": "an adapter from a balance plug to a battery connector",
    "jumper": "a plug that bridges both contacts of a socket",
    "arming": "a plug that closes the main positive",
    "fuse": "a fuse",
    "switch": "a switch",
    "diode": "a diode",
    "capacitor": "a capacitor",
    "sensor": "a telemetry sensor",
    "in-line-sensor": "a sensor with the battery line through it",
    "wing-plug": "a multi-pin plug with its leads",
    "connector": "a loose connector",
    "wire": "wire by length",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPiece:
    """One line of the kit: `count` pieces that are all alike. Lengths in mm."""

    kind: str = key(Choice({**LEAD_KINDS, **PART_KINDS}), "what it is", must=True)
    count: int = key(Whole(1, 999), "how many of them", default=1)
    found: str = key(
        Choice({"box": "it came with the kit", "drawer": "it was there before"}),
        "where it came from (box)",
        word="from",
        default="box",
    )
    class_: str = key(ClassName(), "its class in the catalogue", word="class", default="")
    connector: str = key(ClassName(), "the class of its connector", default="")
    ways: int | None = key(Whole(1, 12), "how many sockets (n-way, parallel)")
    length: float | None = key(Amount(LENGTH), "its length")
    wire: WireSize | None = key(WireGauge(), "its wire")
    wires: str = key(LIE, "how its wires lie", default="")
    split: str = key(SPLIT, "y, n-way, custom, parallel: where its wires part", default="")
    meant_for: str = key(Name(), "the part of the plan it is", word="for", default="")
    spare: bool = key(Truth(), "it is expected to be left over", default=False)
    about: str = key(FreeText(), "a remark", default="")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)
