"""How the aeroplane is operated: its surroundings, cases of load, the phases of a flight."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass, field
from harness.base.span import START, Span
from harness.base.units import LENGTH, TEMPERATURE, TIME
from harness.reading.amounts import Amount, Share
from harness.reading.kinds import Choice, FreeText, ListOf, Name
from harness.reading.records import key

BUILT_IN_CASES: Mapping[str, str] = {
    "joined": "the packs have just been joined and equalise",
    "radio-on": "the radio is on, nothing moves",
    "taxi": "rolling on the ground, little throttle",
    "cruise": "steady flight",
    "full-throttle": "every motor at full throttle",
    "hard-manoeuvre": "the flight surfaces move and a share of them is held fast",
    "gear-travelling": "the landing gear runs",
    "jammed": "one surface or leg is held fast",
    "low-packs": "the packs are nearly empty",
    "cold": "a cold day: packs with more resistance",
    "hot": "fresh packs, full throttle, a hot day: what ratings are judged by",
}
"""The cases of load that every plan has, and what each is about."""

GROUP_WORDS: Mapping[str, str] = {
    "all": "every servo and leg",
    "flight": "all flight surfaces",
    "gear": "the landing gear",
}
"""The words that stand for many servos or legs in `moving` and `stalled`."""

NAMES = ListOf(Name(), or_one=True)
AIR = Amount(TEMPERATURE, most="100 degC")
"""No aeroplane flies in hotter air."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """The air about the aeroplane. `temperature` in degC, `altitude` in mm."""

    temperature: float | None = key(AIR, "of the air")
    altitude: float | None = key(Amount(LENGTH, most="30000 m"), "of flight above the sea")
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A case of load; what is not given is as in the case it is `like`. Shares from 0 to 1.

    `span`: where its id stands; `spans`: where each key's value stands.
    """

    id: str = ""
    like: str = key(Name(), "the case it starts from: a built-in one or another here", default="")
    about: str = key(FreeText(), "a remark", default="")
    throttle: float | None = key(Share(), "throttle of every motor")
    moving: tuple[str, ...] | None = key(
        NAMES, "functions, servos or legs that move; or all, flight, gear"
    )
    stalled: tuple[str, ...] | None = key(
        NAMES, "functions, servos or legs that are held fast or at the stop; or all, flight, gear"
    )
    share: float | None = key(Share(), "the share of their stall current that the stalled draw")
    without: tuple[str, ...] | None = key(NAMES, "parts that draw nothing")
    charge: float | None = key(Share(), "how full the packs are")
    temperature: float | None = key(AIR, "of the air")
    lasts: str = key(
        Choice(
            {
                "continuous": "judged by what things carry continuously",
                "seconds": "judged by what they carry for seconds",
            }
        ),
        "how long it lasts",
        default="",
    )
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Phase:
    """One phase of a flight. `time` in s; `throttle` from 0 to 1."""

    phase: str = key(Name(), "its name, for example climb", must=True)
    time: float = key(Amount(TIME, least="1 ms"), "how long it lasts", must=True)
    throttle: float | None = key(Share(), "throttle of every motor")
    case: str = key(
        Name(),
        "the case whose surfaces and loads hold in it: a built-in one or one here",
        default="",
    )
    span: Span = START
    spans: Mapping[str, Span] = field(default_factory=dict)
