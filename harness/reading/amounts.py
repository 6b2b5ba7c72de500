"""Kinds of value that are amounts: numbers with units, shares, wires; and how much is believed.

An amount outside its range is a slip of the pen, and what is reckoned with it would be nonsense.
"""

from __future__ import annotations

from typing import ClassVar

from harness.base.data import dataclass
from harness.base.units import (
    DIMENSIONS,
    FRACTION,
    Dimension,
    UnitError,
    WireSize,
    parse_quantity,
    parse_wire,
    pattern,
    wire_pattern,
)
from harness.reading.kinds import BEYOND, Kind, Schema
from harness.reading.nodes import Scalar
from harness.reading.problems import Reading

WITHIN = "within"
"""Our own word in a schema: from where to where an amount of a dimension is believed."""


class Ranged(Kind):
    """A value that is believed from one text to another."""

    def number(self, text: str) -> float:
        """Return by what it is compared."""
        raise NotImplementedError

    @property
    def within(self) -> dict[str, list[str]]:
        """What it is called, and from where to where it is believed."""
        raise NotImplementedError

    def refuse_text(self, node: Scalar, at: Reading, schema: Schema) -> None:
        """Say what hinders reading a text; or how much is believed."""
        ((name, (low, high)),) = self.within.items()
        help_ = f"wanted is a {name} from {low} to {high}"
        try:
            is_less = self.number(node.text) < self.number(low)
        except ValueError as error:
            at.wrong(str(error), node.span, help_ if BEYOND.search(node.text) else "")
        else:
            at.wrong(f'"{node.text}" is too {"little" if is_less else "much"}', node.span, help_)


@dataclass(frozen=True)
class Amount(Ranged):
    """A number with its unit, as a float in the dimension's own unit, from `least` to `most`."""

    dimension: Dimension
    least: str = ""
    most: str = ""

    called = 'a {0.dimension.name} such as "{0.dimension.example}"'

    @property
    def within(self) -> dict[str, list[str]]:
        """Its own limits, else those of its dimension."""
        least, most = self.dimension.sensible
        return {self.dimension.name: [self.least or least, self.most or most]}

    def read(self, text: str) -> float:
        """Return the amount."""
        return parse_quantity(text, self.dimension)

    number = read

    def schema(self) -> Schema:
        """A text of number and unit; a bare number where the dimension has no unit."""
        types = ["string", "number"] if self.dimension.bare_ok else "string"
        more = self.least and parse_quantity(self.least, self.dimension) > 0
        some = "(?=[0-9.]*[1-9])" if more else ""  # what an editor can know of it
        shape = {"type": types, "pattern": f"^{some}{pattern(self.dimension)[1:]}"}
        return {**shape, WITHIN: self.within}


_OVER_100 = r"0*(?:10[1-9]|1[1-9][0-9]|[2-9][0-9]{2}|[1-9][0-9]{3}|100\.0*[1-9])"


class Share(Kind):
    """A share of a whole, from 0 to 1: `30 %` or 0.3."""

    called = 'a share from 0 % to 100 %, such as "30 %"'
    shape: ClassVar = {
        "type": ["string", "number"],
        "pattern": f"^(?!{_OVER_100}){pattern(FRACTION)[1:]}",
        "minimum": 0,
        "maximum": 1,
    }
    refusal = '"{text}" is more than the whole'
    advice = "a share lies between 0 % and 100 %"

    def read(self, text: str) -> float:
        """Return the share."""
        return parse_quantity(text, FRACTION)


class WireGauge(Ranged):
    """A wire size: AWG or mm2."""

    called = 'a wire size such as "22 AWG" or "0.5 mm2"'
    within = {"wire size": ["0.005 mm2", "110 mm2"]}  # noqa: RUF012
    shape: ClassVar = {"type": "string", "pattern": wire_pattern(), WITHIN: within}

    def number(self, text: str) -> float:
        """Return its copper, mm2."""
        return parse_wire(text).area_mm2

    def read(self, text: str) -> WireSize:
        """Return the size."""
        return parse_wire(text)


class Within:
    """Judges by our own word in a schema; what cannot be read is refused by its pattern."""

    def __init__(self, parent: object, value: dict[str, list[str]], path: object) -> None:
        ((name, limits),) = value.items()
        amounts = (Amount(one) for one in DIMENSIONS if one.name == name)
        self.number = next(amounts, WireGauge()).number
        self.least, self.most = map(self.number, limits)

    def validate(self, instance: object) -> None:
        """Raise ValueError for what lies outside."""
        try:
            amount = self.number(str(instance))
        except UnitError:
            return
        if not self.least <= amount <= self.most:
            raise ValueError(f"{amount} lies outside")
