"""What the radio is set up for: channels, mixes, the transmitter; and what is wished of a plan."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import TIME
from harness.catalogue.functions import BESIDE, PAIRS, SIDES
from harness.reading.amounts import Amount
from harness.reading.kinds import Choice, FreeText, ListOf, Name, Truth, Whole
from harness.reading.records import key


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """What one channel of the transmitter does."""

    function: str = key(Name(), "the function: aileron, throttle, gear or your own word", must=True)
    failsafe: str = key(
        FreeText(),
        "what it goes to without signal: off, neutral, hold, up, down or a share"
        " (`harness assign` proposes it)",
        default="",
    )
    direction: str = key(
        Choice({"normal": "as delivered", "reversed": "turned round in the transmitter"}),
        "servo direction as set in the transmitter",
        default="",
    )
    neutral: str = key(FreeText(), "the neutral as set: a share or a pulse in us", default="")
    ends: str = key(FreeText(), "the end points as set, low / high", default="")
    rates: str = key(FreeText(), "the rates as set, low / high", default="")
    switch: str = key(FreeText(), "the switch, stick or slider it is worked with", default="")
    delay: float | None = key(Amount(TIME), "how long the transmitter takes from end to end")
    about: str = key(FreeText(), "a remark", default="")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnWord:
    """A word for a function, or for a side, that the program does not know."""

    means: str = key(
        Name(), "the word it stands for (`harness keys functions` lists them)", default=""
    )
    pair: str = key(Choice(PAIRS), "what two of them must do on one pulse", default="")
    mixes: tuple[str, ...] = key(
        ListOf(Name(), or_one=True),
        "the functions it moves for: each surface then needs a channel",
        default=(),
    )
    on: tuple[str, ...] = key(
        ListOf(Name(), or_one=True), "functions whose channel it may hang on", default=()
    )
    beside: str = key(Choice(BESIDE), "what it must do on one pulse with those of `on`", default="")
    side: str = key(
        Choice({side: f"on the {side}" for side in SIDES}), "it is the word for a side", default=""
    )
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)

    def row(self) -> dict[str, str]:
        """Return what it says as a row of the table of functions; what it leaves out is empty."""
        return {
            "means": self.means,
            "pair": self.pair,
            "mixes": " ".join(self.mixes),
            "on": " ".join(self.on),
            "beside": self.beside,
            "side": self.side,
        }


MIXES: Mapping[str, tuple[str, ...]] = {
    "flaperon": ("aileron",),
    "differential": ("aileron",),
    "crow": ("aileron",),
    "v-tail": ("v-tail",),
    "elevon": ("elevon",),
    "taileron": ("taileron",),
    "spoileron": ("spoileron",),
    "differential-thrust": ("throttle",),
    "own-trim": (),
    "flap-to-elevator": (),
}
"""The mixes by their trade names, and the function whose sides each drives apart."""
ALIKE = frozenset({"crow", "flap-to-elevator"})
"""Mixes that move both sides of what takes part alike: ailerons need a channel each, flaps none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """One mix, and where it is made."""

    kind: str = key(
        Choice(
            {name: f"drives {', '.join(of) or 'what `of` names'}" for name, of in MIXES.items()}
        ),
        "which mix",
        must=True,
    )
    of: tuple[str, ...] = key(
        ListOf(Name(), or_one=True),
        "the functions that take part; their sides move apart, but for flaps in crow",
        default=(),
    )
    made_in: str = key(
        Choice({"transmitter": "mixed there", "autopilot": "mixed there", "both": "a fault"}),
        "where it is mixed",
        default="transmitter",
    )
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)

    @property
    def apart(self) -> tuple[str, ...]:
        """The functions whose left and right need a channel each."""
        return MIXES[self.kind] if self.kind in ALIKE else self.takes

    @property
    def takes(self) -> tuple[str, ...]:
        """The functions that take part."""
        return self.of or MIXES[self.kind]


WISHES: Mapping[str, str] = {
    "own-trim": "each device of the function has a channel of its own",
    "differential": "up and down by different amounts: the sides on channels of their own",
    "flaperon": "ailerons that droop as flaps: the sides on channels of their own",
    "crow": "ailerons up, flaps down: the ailerons' sides on channels of their own",
    "v-tail": "elevator and rudder mixed: the sides on channels of their own",
    "elevon": "aileron and elevator mixed: the sides on channels of their own",
    "differential-thrust": "the motors steer: the sides on channels of their own",
    "apart": "no channel is shared with the function in `from`",
    "two-plugs": "the left and the right side never hang on one plug",
}
"""What can be wished of a plan in which the plugs are not placed yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One wish for independence. Wishes stand in the order of their weight."""

    wish: str = key(Choice(WISHES), "what is wished", must=True)
    of: tuple[str, ...] = key(
        ListOf(Name(), or_one=True), "the functions it is wished of", default=()
    )
    away_from: tuple[str, ...] = key(
        ListOf(Name(), or_one=True),
        "apart: the functions to keep away from",
        word="from",
        default=(),
    )
    must: bool = key(Truth(), "no plan without it", default=False)
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Transmitter:
    """What the radio expects."""

    order: str = key(
        FreeText(), "the order of its first four channels by initials, for example AETR", default=""
    )
    channels: int | None = key(Whole(1, 32), "how many channels it sends")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)
