"""Quantities as people write them: `40 A`, `300 mm`, `5 Ah`, `22 AWG`.

Every number in a plan carries its unit. A value is converted once, here, to the canonical
unit of its dimension (mm, V, A, Ah, ohm, F, s, degC, g, W) and is a plain float from then on.
What is read is what the regular expression in the plan's JSON Schema accepts, so an editor and
the reader take the same texts.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType

from harness.base.data import dataclass, field

_DIGITS = r"(?:[0-9]{1,12}(?:\.[0-9]{1,12})?|\.[0-9]{1,12})"
_UP_TO_ONE = r"(?:0(?:\.[0-9]{1,12})?|1(?:\.0{1,12})?|\.[0-9]{1,12})"
_GAP = "[ \u00a0]{0,4}"
# Python's `$` also matches before a final newline, ECMA's does not: the lookahead makes them equal.
_END = r"$(?!\n)"
_COMMA = re.compile(r"(?P<head>[+-]?[0-9]+),(?P<tail>[0-9]+)(?P<rest>[^0-9,]*)")
_NUMBER_FIRST = re.compile(rf"(?P<number>[+-]?{_DIGITS}){_GAP}(?P<unit>.*)", re.DOTALL)


class UnitError(ValueError):
    """A text that is not the quantity asked for; the message says what would be right."""


@dataclass(frozen=True, slots=True, eq=False)
class Dimension:
    """A kind of quantity and the spellings of its units.

    `units` maps a spelling to its factor to the canonical `unit`; the first two are the ones
    offered in messages. `offsets` holds what is added after the factor (temperatures only).
    `shown` lists the units `format_quantity` may choose from, largest first. `sensible`: from where
    to where a plan may state it, unless its key says otherwise; our own, wider than what is sold.
    """

    name: str
    unit: str
    units: Mapping[str, float]
    example: str
    bare_ok: bool = False
    signed: bool = False
    shown: tuple[str, ...] = ()
    offsets: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    sensible: tuple[str, str] = ("", "")


def _with_omega(units: dict[str, float]) -> dict[str, float]:
    """Add the ohm sign (U+2126), the Greek omega (U+03A9) and `Ohm` beside every `ohm`."""
    spelled = dict(units)
    for unit, factor in units.items():
        for sign in ("Ω", "\u2126", "Ohm"):
            spelled[unit.replace("ohm", sign)] = factor
    return spelled


def _with_micro(units: dict[str, float]) -> dict[str, float]:
    """Add the micro sign (U+00B5) and the Greek mu (U+03BC) beside every leading `u`."""
    spelled = dict(units)
    for unit, factor in units.items():
        if unit.startswith("u"):
            spelled["µ" + unit[1:]] = factor
            spelled["\u03bc" + unit[1:]] = factor
    return spelled


_FOOT, _INCH, _OUNCE, _POUND = 304.8, 25.4, 28.349523125, 453.59237

LENGTH = Dimension(
    "length",
    "mm",
    {"mm": 1.0, "in": _INCH, "cm": 10.0, "m": 1000.0, "ft": _FOOT, '"': _INCH},
    "300 mm",
    shown=("mm",),
    sensible=("0 mm", "30 m"),
)
VOLTAGE = Dimension(
    "voltage", "V", {"V": 1.0, "mV": 1e-3}, "7.4 V", shown=("V", "mV"), sensible=("0 V", "200 V")
)
CURRENT = Dimension(
    "current", "A", {"A": 1.0, "mA": 1e-3}, "40 A", shown=("A", "mA"), sensible=("0 A", "1000 A")
)
CHARGE = Dimension(
    "charge",
    "Ah",
    {"Ah": 1.0, "mAh": 1e-3},
    "5 Ah",
    shown=("Ah", "mAh"),
    sensible=("0 Ah", "100000 Ah"),
)
RESISTANCE = Dimension(
    "resistance",
    "ohm",
    _with_micro(_with_omega({"ohm": 1.0, "mohm": 1e-3, "uohm": 1e-6, "kohm": 1e3})),
    "12 mohm",
    shown=("ohm", "mohm", "uohm"),
    sensible=("0 ohm", "100 kohm"),
)
CAPACITANCE = Dimension(
    "capacitance",
    "F",
    _with_micro({"uF": 1e-6, "mF": 1e-3, "F": 1.0}),
    "220 uF",
    shown=("F", "uF"),
    sensible=("0.001 uF", "10 F"),
)
TIME = Dimension(
    "time",
    "s",
    {"s": 1.0, "ms": 1e-3, "min": 60.0},
    "4 s",
    shown=("s", "ms"),
    sensible=("0 s", "1440 min"),
)
TEMPERATURE = Dimension(
    "temperature",
    "degC",
    {"degC": 1.0, "°C": 1.0, "C": 1.0, "degF": 5 / 9, "°F": 5 / 9, "F": 5 / 9, "K": 1.0},
    "20 degC",
    signed=True,
    shown=("degC",),
    offsets={"degF": -160 / 9, "°F": -160 / 9, "F": -160 / 9, "K": -273.15},
    sensible=("-60 degC", "150 degC"),
)
MASS = Dimension(
    "mass", "g", {"g": 1.0, "oz": _OUNCE, "kg": 1000.0, "lb": _POUND}, "450 g", shown=("g",)
)
POWER = Dimension("power", "W", {"W": 1.0, "kW": 1e3, "mW": 1e-3}, "600 W", shown=("W", "mW"))
C_RATE = Dimension("C rate", "C", {"C": 1.0}, "35 C", shown=("C",), sensible=("0.1 C", "500 C"))
PULSE = Dimension(
    "pulse width", "us", _with_micro({"us": 1.0, "ms": 1000.0}), "1500 us", shown=("us",)
)
FRACTION = Dimension(
    "fraction", "1", {"%": 0.01}, "30 %", bare_ok=True, shown=("%",), sensible=("0 %", "100 %")
)
SPEED = Dimension(
    "speed constant",
    "rpm/V",
    {"rpm/V": 1.0, "kv": 1.0, "KV": 1.0, "Kv": 1.0},
    "850 rpm/V",
    shown=("rpm/V",),
)

DIMENSIONS: tuple[Dimension, ...] = (
    LENGTH, VOLTAGE, CURRENT, CHARGE, RESISTANCE, CAPACITANCE, TIME,
    TEMPERATURE, MASS, POWER, C_RATE, PULSE, FRACTION, SPEED,
)  # fmt: skip


@cache
def pattern(dimension: Dimension) -> str:
    """Give the ECMA 262 regular expression of the texts `parse_quantity` accepts."""
    sign = "[+-]?" if dimension.signed else ""
    units = "|".join(sorted(dimension.units, key=lambda unit: (-len(unit), unit)))
    quantity = f"{sign}{_DIGITS}{_GAP}(?:{units})"
    return f"^(?:{quantity}|{_UP_TO_ONE}){_END}" if dimension.bare_ok else f"^{quantity}{_END}"


def parse_quantity(text: str | int | float, dimension: Dimension) -> float:
    """Read `text` as a quantity of `dimension`, in its canonical unit.

    A bare number is refused unless the dimension is a fraction between 0 and 1.
    Raises `UnitError` with a message that says how to write it.
    """
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise UnitError(f'"{text}" is not a {dimension.name}: write it like "{dimension.example}"')
    if not isinstance(text, str):
        return _bare(text, dimension)
    found = _NUMBER_FIRST.fullmatch(text)
    number, unit = (found["number"], found["unit"]) if found else ("", "")
    if not unit and dimension.bare_ok and re.fullmatch(_UP_TO_ONE, text):
        return float(text)
    if unit not in dimension.units or (number[0] in "+-" and not dimension.signed):
        raise UnitError(_complaint(text, dimension))
    value = float(number) * dimension.units[unit] + dimension.offsets.get(unit, 0.0)
    return float(f"{value:.15g}")  # 12 * 25.4 is 304.8, not 304.79999999999995


def _bare(number: float, dimension: Dimension) -> float:
    """Take a number that came without a unit, where that is allowed."""
    if dimension.bare_ok and math.isfinite(number) and 0 <= number <= 1:
        return float(number)
    raise UnitError(_complaint(f"{number}", dimension))


def _complaint(text: str, dimension: Dimension) -> str:
    """Say what is wrong with `text` and what would be right."""
    if comma := _COMMA.fullmatch(text.strip()):
        return _comma_complaint(text, comma)
    found = _NUMBER_FIRST.fullmatch(text.strip())
    if found is None:
        return f'"{text}" is not a {dimension.name}: write it like "{dimension.example}"'
    number, unit = found["number"], found["unit"].strip()
    if number[0] in "+-" and not dimension.signed:
        return f'"{text}" has a sign: a {dimension.name} is written like "{dimension.example}"'
    if not unit:
        return _bare_complaint(number, dimension)
    meant = _meant(unit, dimension)
    right = f"{number} {meant}" if meant else dimension.example
    return f'"{text}" is not a {dimension.name}: write it like "{right}"'


def _bare_complaint(number: str, dimension: Dimension) -> str:
    if dimension.bare_ok:
        return f'"{number}" is more than 1: write "{number} %", or a number from 0 to 1'
    example = parse_quantity(dimension.example, dimension)

    def unlikely(unit: str) -> float:
        """Return how far the number is from the example in this unit."""
        value = abs(float(number) * dimension.units[unit])
        return abs(math.log(value / example)) if value and example > 0 else 0.0

    units = sorted(list(dimension.units)[:2], key=unlikely)
    choices = " or ".join(f'"{number} {unit}"' for unit in units)
    return f'"{number}" has no unit: write {choices}'


def _comma_complaint(text: str, comma: re.Match[str]) -> str:
    point = f"{comma['head']}.{comma['tail']}{comma['rest']}"
    if len(comma["tail"]) != 3:
        return f'"{text}" has a decimal comma: write "{point}"'
    whole = f"{comma['head']}{comma['tail']}{comma['rest']}"
    return f'"{text}" has a comma: write "{whole}" for thousands or "{point}" for decimals'


def _meant(unit: str, dimension: Dimension) -> str | None:
    """Guess the unit meant by a spelling that differs in case, in a plural s or in its hours."""
    folded = unit.casefold().rstrip("s.")
    same = [known for known in dimension.units if known.casefold() in {folded, f"{folded}h"}]
    return same[0] if same else None


def format_quantity(value: float, dimension: Dimension, digits: int = 3) -> str:
    """Write a canonical `value` for people, in ASCII: `300 mm`, `5.2 A`, `12 mohm`.

    At least `digits` significant figures where they say something; digits before the point
    are never rounded away. Raises `UnitError` for a value that is not finite.
    """
    if not math.isfinite(value):
        raise UnitError(f"{value} is not a {dimension.name} that can be written")
    unit = _shown_unit(abs(value), dimension)
    return f"{_figures(value / dimension.units[unit], digits)} {unit}"


def _shown_unit(size: float, dimension: Dimension) -> str:
    """Choose the largest unit in which the number is at least 0.1."""
    for unit in dimension.shown:
        if size == 0 or size >= 0.1 * dimension.units[unit]:
            return unit
    return dimension.shown[-1]


def _figures(number: float, digits: int) -> str:
    if number == 0:
        return "0"
    leading = math.floor(math.log10(abs(number))) + 1
    text = f"{number:.{max(0, min(12, digits - leading))}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


@dataclass(frozen=True, slots=True, order=True)
class WireSize:
    """The copper of one wire: its area decides order and equality, `text` is for people."""

    area_mm2: float
    text: str = field(compare=False)


_AUGHTS = {"1/0": 0, "2/0": -1, "3/0": -2, "4/0": -3, "0": 0, "00": -1, "000": -2, "0000": -3}
_GAUGE = r"(?:[1-4]/0|0{1,4}|[1-9]|[1-3][0-9]|40)"
_WIRE = (
    rf"^(?:{_GAUGE}{_GAP}(?:AWG|awg)|(?:AWG|awg){_GAP}{_GAUGE}"
    rf"|(?=[0-9.]*[1-9]){_DIGITS}{_GAP}mm(?:2|²)){_END}"
)
_WIRE_RE = re.compile(_WIRE)


def wire_pattern() -> str:
    """Give the ECMA 262 regular expression of the texts `parse_wire` accepts."""
    return _WIRE


def gauge_diameter_mm(gauge: int) -> float:
    """Diameter of a solid AWG wire in mm (ASTM B258); 4/0 is gauge -3."""
    return 0.005 * _INCH * math.pow(92.0, (36 - gauge) / 39)


def gauge_text(gauge: int) -> str:
    """Write a gauge: `22 AWG`, and `4/0 AWG` for -3; 0 is `1/0 AWG`."""
    return f"{gauge} AWG" if gauge > 0 else f"{1 - gauge}/0 AWG"


@lru_cache(maxsize=256)
def parse_wire(text: str) -> WireSize:
    """Read a wire size: `22 AWG`, `AWG 22`, `4/0 AWG`, `0.5 mm2`. Raises `UnitError`."""
    if not isinstance(text, str) or not _WIRE_RE.search(text):
        raise UnitError(_wire_complaint(text))
    if "mm" in text:
        area = text.partition("mm")[0].strip(" \u00a0")
        return WireSize(float(area), f"{area} mm2")
    number = text.upper().replace("AWG", "").strip(" \u00a0")
    gauge = _AUGHTS[number] if number in _AUGHTS else int(number)
    return WireSize(math.pi / 4 * gauge_diameter_mm(gauge) ** 2, gauge_text(gauge))


def _wire_complaint(text: object) -> str:
    bare = str(text).strip()
    if re.fullmatch(_GAUGE, bare):
        return f'"{bare}" has no unit: write "{bare} AWG" or an area like "0.5 mm2"'
    if "," in bare:
        return f'"{bare}" has a decimal comma: write "{bare.replace(",", ".")}"'
    return f'"{bare}" is not a wire size: write it like "22 AWG" or "0.5 mm2"'
