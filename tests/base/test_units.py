"""Quantities against pint, the SI prefixes, and the ECMA rules for `$`."""

from __future__ import annotations

import math
import re

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness.base import units
from harness.base.units import (
    DIMENSIONS,
    UnitError,
    format_quantity,
    parse_quantity,
    parse_wire,
    pattern,
    wire_pattern,
)

REGISTRY = pint.UnitRegistry()

# pint's own names for the spellings it does not know; everything else is handed over as it is.
PINT_NAMES = {
    '"': "inch",
    "in": "inch",
    "C": "degC",
    "F": "degF",
    "K": "kelvin",
    "kv": "rpm/V",
    "KV": "rpm/V",
    "Kv": "rpm/V",
    "ft": "foot",
}
PLAIN = [dim for dim in DIMENSIONS if dim not in (units.TEMPERATURE, units.C_RATE, units.FRACTION)]
SPELLINGS = [(dim, unit) for dim in PLAIN for unit in dim.units]


def pint_unit(dim: units.Dimension, unit: str) -> str:
    if dim is units.CAPACITANCE and unit == "F":
        return "farad"
    return PINT_NAMES.get(unit, re.sub("\u2126|Ω|Ohm", "ohm", unit))


@pytest.mark.parametrize(("dim", "unit"), SPELLINGS)
def test_every_unit_agrees_with_pint(dim: units.Dimension, unit: str) -> None:
    # source: pint 0.24 or newer, its own unit definitions
    theirs = REGISTRY.Quantity(3.7, pint_unit(dim, unit)).to(pint_unit(dim, dim.unit)).magnitude
    assert parse_quantity(f"3.7 {unit}", dim) == pytest.approx(theirs, rel=1e-12)


@pytest.mark.parametrize("unit", list(units.TEMPERATURE.units))
@pytest.mark.parametrize("number", ["-40", "0", "20", "451"])
def test_temperatures_agree_with_pint(number: str, unit: str) -> None:
    name = PINT_NAMES.get(unit, unit.replace("°", "deg"))
    theirs = REGISTRY.Quantity(float(number), name).to("degC").magnitude
    assert parse_quantity(f"{number} {unit}", units.TEMPERATURE) == pytest.approx(theirs, abs=1e-9)


def test_percent_is_a_hundredth_and_the_c_rate_stays() -> None:
    # source: SI brochure 5.4.7, 1 % = 0.01; the C rate is per hour of the capacity by definition
    assert parse_quantity("30 %", units.FRACTION) == 0.3
    assert parse_quantity("0.3", units.FRACTION) == parse_quantity(0.3, units.FRACTION) == 0.3
    assert parse_quantity("35 C", units.C_RATE) == 35


@pytest.mark.parametrize("micro", ["\u00b5", "\u03bc", "u"])
def test_both_micro_signs(micro: str) -> None:
    # source: Unicode 15, U+00B5 MICRO SIGN and U+03BC GREEK SMALL LETTER MU
    assert parse_quantity(f"220 {micro}F", units.CAPACITANCE) == pytest.approx(220e-6, rel=1e-12)


@pytest.mark.parametrize("sign", ["\u2126", "\u03a9"])
def test_both_ohm_signs(sign: str) -> None:
    # source: Unicode 15, U+2126 OHM SIGN and U+03A9 GREEK CAPITAL LETTER OMEGA
    assert parse_quantity(f"12 m{sign}", units.RESISTANCE) == pytest.approx(0.012, rel=1e-12)


# Messages: the wording is this program's own; what is checked is that the right form is offered.
REFUSED = [
    ("40 X", units.CURRENT, '"40 X" is not a current: write it like "40 A"'),
    ("40", units.CURRENT, '"40" has no unit: write "40 A" or "40 mA"'),
    (40, units.CURRENT, '"40" has no unit: write "40 A" or "40 mA"'),
    ("0,5 A", units.CURRENT, '"0,5 A" has a decimal comma: write "0.5 A"'),
    ("5,000 mAh", units.CHARGE, 'write "5000 mAh" for thousands or "5.000 mAh"'),
    ("5 ah", units.CHARGE, 'write it like "5 Ah"'),
    ("12 inches", units.LENGTH, 'write it like "300 mm"'),
    ("-3 A", units.CURRENT, "has a sign"),
    ("30", units.FRACTION, 'write "30 %"'),
    ("nan A", units.CURRENT, "is not a current"),
    ("inf V", units.VOLTAGE, "is not a voltage"),
    (math.nan, units.FRACTION, "is not a fraction"),
    (math.inf, units.FRACTION, "is not a fraction"),
    (True, units.FRACTION, "is not a fraction"),
    ("1e3 mm", units.LENGTH, "is not a length"),
    ("", units.LENGTH, "is not a length"),
    ("40 A\n", units.CURRENT, "is not a current"),
    ("\u0664 A", units.CURRENT, "is not a current"),
    ("9" * 400 + " A", units.CURRENT, "is not a current"),
]


@pytest.mark.parametrize(("text", "dim", "part"), REFUSED)
def test_refusals_say_what_would_be_right(
    text: str | float, dim: units.Dimension, part: str
) -> None:
    with pytest.raises(UnitError) as fault:
        parse_quantity(text, dim)
    assert part in str(fault.value)


@given(st.text('0123456789.,+-eE mAVhFinCKW%µΩ"²/\n\u00a0x', max_size=12))
def test_the_schema_pattern_accepts_exactly_what_is_read(text: str) -> None:
    for dim in DIMENSIONS:
        accepted = re.search(pattern(dim), text) is not None
        if accepted:
            assert math.isfinite(parse_quantity(text, dim))
        else:
            with pytest.raises(UnitError):
                parse_quantity(text, dim)


@given(st.text("0123456789./ AWGawgm2²\n", max_size=10))
def test_the_wire_pattern_accepts_exactly_what_is_read(text: str) -> None:
    if re.search(wire_pattern(), text):
        assert parse_wire(text).area_mm2 > 0
    else:
        with pytest.raises(UnitError):
            parse_wire(text)


@pytest.mark.parametrize("dim", DIMENSIONS, ids=lambda dim: dim.name)
def test_patterns_are_ecma(dim: units.Dimension) -> None:
    # source: ECMA 262 has no (?P<>), (?i), \A, \Z, possessive or atomic groups; with the flag
    # "u" it refuses escapes of letters and marks that need none, so only \. is left
    for text in (pattern(dim), wire_pattern()):
        assert set(re.findall(r"\\.", text)) <= {r"\.", r"\n"}
        assert set(re.findall(r"\(\?.", text)) <= {"(?:", "(?=", "(?!"}
        assert not re.search(r"[*+?}]\+", text)


@pytest.mark.parametrize("dim", DIMENSIONS, ids=lambda dim: dim.name)
def test_the_example_is_accepted_and_comes_back(dim: units.Dimension) -> None:
    assert format_quantity(parse_quantity(dim.example, dim), dim) == dim.example


@given(st.sampled_from(DIMENSIONS), st.floats(1e-3, 1e5))
def test_a_written_quantity_reads_back_within_its_figures(
    dim: units.Dimension, value: float
) -> None:
    text = format_quantity(value, dim, digits=6)
    assert text.isascii()
    # six significant figures: half a unit in the sixth; the smallest unit shown may be coarser
    assert parse_quantity(text, dim) == pytest.approx(value, rel=5e-6, abs=1e-12)


@pytest.mark.parametrize(
    ("value", "dim", "text"),
    [
        # worked by hand from the rule "three figures, digits before the point are kept"
        (300.0, units.LENGTH, "300 mm"),
        (1234.0, units.LENGTH, "1234 mm"),
        (5.2, units.CURRENT, "5.2 A"),
        (0.03, units.CURRENT, "30 mA"),
        (0.012, units.RESISTANCE, "12 mohm"),
        (0.000047, units.RESISTANCE, "47 uohm"),
        (4700e-6, units.CAPACITANCE, "4700 uF"),
        (0.0, units.CURRENT, "0 A"),
        (-5.0, units.TEMPERATURE, "-5 degC"),
        (2 / 3, units.FRACTION, "66.7 %"),
    ],
)
def test_written_for_people(value: float, dim: units.Dimension, text: str) -> None:
    assert format_quantity(value, dim) == text


def test_only_finite_values_are_written() -> None:
    with pytest.raises(UnitError):
        format_quantity(math.inf, units.CURRENT)


@pytest.mark.parametrize(
    ("text", "same"),
    [
        ("AWG 22", "22 AWG"),
        ("22AWG", "22 AWG"),
        ("22 awg", "22 AWG"),
        ("0000 AWG", "4/0 AWG"),
        ("0 AWG", "1/0 AWG"),
        ("000 AWG", "3/0 AWG"),
        ("0.5 mm²", "0.5 mm2"),
    ],
)
def test_spellings_of_one_wire(text: str, same: str) -> None:
    assert parse_wire(text) == parse_wire(same)
    assert parse_wire(text).text == same


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("22", '"22 AWG"'),
        ("0,5 mm2", '"0.5 mm2"'),
        ("0 mm2", '"0.5 mm2"'),
        ("41 AWG", '"22 AWG"'),
        ("5/0 AWG", '"22 AWG"'),
        ("thin", '"22 AWG"'),
    ],
)
def test_refused_wires(text: str, part: str) -> None:
    with pytest.raises(UnitError) as fault:
        parse_wire(text)
    assert part in str(fault.value)
