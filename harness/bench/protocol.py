"""Tests on the bench as data: what is done, what is expected and why, what to do when it fails."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass, field
from harness.base.near import spoken
from harness.base.units import CURRENT, LENGTH, TIME, VOLTAGE, Dimension
from harness.facts.motion import PROPELLERS, Turning
from harness.parts.motor import Motor

DECIMALS: Mapping[str, int] = {VOLTAGE.unit: 2, CURRENT.unit: 2, TIME.unit: 1, LENGTH.unit: 0}
"""To how many places an expected value is given: what a hand meter or a watch shows."""

YES = ("yes", "no")


@dataclass(frozen=True, slots=True)
class ExpectedRange:
    """A number is expected from `low` to `high`, in the unit of `dimension`; None: no limit there.

    `usual`: what the solved plan leads one to expect. A value within the limits and outside of it
    passes, with a remark; `usual_origin` says where that band comes from.
    """

    dimension: Dimension
    low: float | None = None
    high: float | None = None
    usual: tuple[float, float] | None = None
    usual_origin: str = ""

    @property
    def kind(self) -> str:
        """What the result is."""
        return "number"

    @property
    def text(self) -> str:
        """Return "5.82 to 6.18 V", "at least 4.80 V" or "at most 0.30 A"."""
        unit = self.dimension.unit
        if self.low is None or self.high is None:
            word, edge = ("at most", self.high) if self.low is None else ("at least", self.low)
            return f"{word} {shown(edge or 0.0, self.dimension)} {unit}"
        low, high = (shown(edge, self.dimension) for edge in (self.low, self.high))
        return f"{low} to {high} {unit}"

    @property
    def usual_text(self) -> str:
        """Return the usual band in words, or ""."""
        if self.usual is None:
            return ""
        low, high = (shown(edge, self.dimension) for edge in self.usual)
        return f"{low} to {high} {self.dimension.unit}"


@dataclass(frozen=True, slots=True)
class Word:
    """One of a few words is expected: yes, or a direction."""

    word: str = "yes"
    choices: tuple[str, ...] = YES

    @property
    def kind(self) -> str:
        """What the result is."""
        return "yes or no" if self.choices == YES else "word"

    @property
    def text(self) -> str:
        """Return the word."""
        return self.word

    @property
    def answers(self) -> str:
        """Return what can be answered, in words."""
        return spoken(self.choices, "or")


Expected = ExpectedRange | Word


def band(
    dimension: Dimension,
    low: float | None = None,
    high: float | None = None,
    usual: tuple[float, float] | None = None,
    usual_origin: str = "",
) -> ExpectedRange:
    """Return a band rounded to what is printed, so that what is read is what is judged by."""
    places = DECIMALS.get(dimension.unit, 2)
    least, most = (None if edge is None else round(edge, places) for edge in (low, high))
    pair = None if usual is None else (round(usual[0], places), round(usual[1], places))
    return ExpectedRange(dimension, least, most, pair, usual_origin)


def shown(number: float, dimension: Dimension) -> str:
    """Write a number as the protocol prints it, without its unit."""
    return f"{number:.{DECIMALS.get(dimension.unit, 2)}f}"


def percent(share: float) -> str:
    """Write a share as "3 %"."""
    return f"{100 * share:g} %"


@dataclass(frozen=True, slots=True)
class Edit:
    """What a measured value may change in the plan: `key` of a part, in `inside` of it.

    `beside`: what else stands in `inside`, as the plan would write it, so that the line is whole.
    """

    part: str
    key: str
    line: int
    inside: str = ""
    stated: float | None = None
    beside: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Turn:
    """What to turn round when a surface goes wrong, by what else goes wrong.

    `own`: all direction tests of its servo; `mates`: those of the servos with the same pulse.
    `whole`: what to do when all of them are wrong; `alone`: when all of its own are and the mates
    are right; `axis`: when some of its own are right.
    """

    own: tuple[str, ...]
    mates: tuple[str, ...]
    whole: str
    alone: str = ""
    axis: str = ""


@dataclass(frozen=True, slots=True)
class BenchTest:
    """One test.

    `id` is the same whatever else is in the plan. `title` says what to do; `how` adds to it;
    `origin`: where the expected value comes from; `mend`: what to do when it fails; `propellers`:
    off, on, or "" where nothing can turn; `codes`: label codes of the leads it is about; `edit`:
    what the measured value may change in the plan; `point`: a throttle, and amps or volts there;
    `turn`: of a direction, what its `mend` is drawn from when the other directions are known.
    """

    id: str
    title: str
    expected: Expected
    origin: str
    mend: str
    how: tuple[str, ...] = ()
    propellers: str = "off"
    parts: tuple[str, ...] = ()
    codes: tuple[str, ...] = ()
    edit: Edit | None = None
    point: tuple[float, str] | None = None
    turn: Turn | None = None


@dataclass(frozen=True, slots=True)
class Section:
    """Tests that are made together, in their order."""

    title: str
    tests: tuple[BenchTest, ...]
    about: str = ""


@dataclass(frozen=True, slots=True)
class Protocol:
    """Every test of a plan. `unknown`: what cannot be tested for want of data; `motors` by id."""

    aircraft: str
    revision: str
    sections: tuple[Section, ...]
    unknown: tuple[str, ...] = ()
    turning: Turning = PROPELLERS
    motors: Mapping[str, Motor] = field(default_factory=dict)

    @property
    def tests(self) -> dict[str, BenchTest]:
        """The tests by id, in their order."""
        return {test.id: test for section in self.sections for test in section.tests}
