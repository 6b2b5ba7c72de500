"""Separate 3-pin leads and the multi-pin plugs of a wing root."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from harness.base.span import START, Span
from harness.base.units import LENGTH, WireSize
from harness.parts.part import COLOURS, JOIN, PIN_ORDER, ROLES, Join, Part
from harness.reading.kinds import (
    Amount,
    Choice,
    ClassName,
    Colour,
    ListOf,
    MapOf,
    Name,
    Truth,
    Whole,
    Wire,
)
from harness.reading.records import RecordOf, key


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead(Part):
    """A lead with one plug and one or more sockets, named 1 to `ways`."""

    word: ClassVar[str] = "lead"
    kind: str = key(
        Choice(
            {
                "extension": "one plug, one socket",
                "y": "one plug, two sockets",
                "n-way": "one plug, as many sockets as `ways` says",
                "reverser": "an in-line box that turns the signal round",
                "custom": "made up; with `map` or `ends`",
            }
        ),
        "what the lead does",
        must=True,
    )
    plug: Join | None = key(JOIN, "the socket its plug goes into")
    ways: int | None = key(Whole(1, 12), "how many sockets (n-way and custom)")
    length: float | None = key(Amount(LENGTH), "its length")
    wire: WireSize | None = key(Wire(), "its wire")
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

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """Its one plug."""
        return (("plug", self.plug),) if self.plug else ()

    @property
    def outlets(self) -> tuple[str, ...]:
        """The names of its sockets."""
        count = self.ways or {"y": 2}.get(self.kind, 1)
        return tuple(str(n + 1) for n in range(count))


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
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
    contacts: int = key(Whole(2, 99), "how many contacts it has", must=True)
    circuits: Mapping[str, Circuit] = key(
        MapOf(Name(), RecordOf(Circuit)), "the pin table: for each circuit its contacts", must=True
    )
    plugs: Mapping[str, Join] = key(
        MapOf(Name(), JOIN), "for each circuit, the socket its fuselage lead goes into", default={}
    )
    connector: str = key(ClassName(), "its class in the catalogue", default="")
    wire: WireSize | None = key(Wire(), "its wires")
    length: float | None = key(Amount(LENGTH), "length of its leads, both sides together")

    def joins(self) -> tuple[tuple[str, Join], ...]:
        """One lead a circuit."""
        return tuple((f"plug-{name}", self.plugs[name]) for name in sorted(self.plugs))
