"""Copper wire against ASTM B258, printed wire tables, the NEC, FAA AC 43.13-1B and physics."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from harness.base.units import WireSize, gauge_text, parse_wire
from harness.base.wire import at_temperature, ohm_per_metre, resistance

FOOT_MM = 304.8
CIRCULAR_MIL = math.pi / 4 * 0.0254**2
"""mm2: the circle whose diameter is a thousandth of an inch."""

# Solid copper at 20 degC, ohm per 1000 ft; source: published copper wire table (four figures)
SOLID = {
    8: 0.6282, 10: 0.9989, 12: 1.588, 14: 2.525, 16: 4.016, 18: 6.385,
    20: 10.15, 22: 16.14, 24: 25.67, 26: 40.81, 28: 64.90, 30: 103.2,
}  # fmt: skip

# Inches and circular mils; source: Kuphaldt, Lessons in Electric Circuits I, wire table
KUPHALDT = {
    10: (0.1019, 10380), 12: (0.08081, 6530), 14: (0.06408, 4107), 16: (0.05082, 2583),
    18: (0.04030, 1624), 20: (0.03196, 1022), 22: (0.02535, 642.5), 24: (0.02010, 404.0),
    26: (0.01594, 254.1), 28: (0.01264, 159.8), 30: (0.01003, 100.5),
}  # fmt: skip

# Uncoated solid copper at 75 degC, ohm per 1000 ft; source: NEC chapter 9 table 8
NEC_75C = {18: 7.77, 16: 4.89, 14: 3.07, 12: 1.93, 10: 1.21, 8: 0.764}

# Largest resistance of stranded tin-plated wire at 20 degC, ohm per 1000 ft, and circular mils;
# source: FAA AC 43.13-1B table 11-9
FAA_STRANDED = {
    24: (28.40, 475), 22: (16.20, 755), 20: (9.88, 1216), 18: (6.23, 1900), 16: (4.81, 2426),
    14: (3.06, 3831), 12: (2.02, 5874), 10: (1.26, 9354), 8: (0.70, 16983),
}  # fmt: skip


def gauge_size(gauge: int) -> WireSize:
    """The wire of an AWG number, 4/0 being -3."""
    return parse_wire(gauge_text(gauge))


def diameter_mm(size: WireSize) -> float:
    return math.sqrt(4 * size.area_mm2 / math.pi)


@pytest.mark.parametrize(("gauge", "ohms"), SOLID.items())
def test_solid_resistance(gauge: int, ohms: float) -> None:
    # four printed figures, and the tables' own resistivity differs from IEC 60028 by 0.01 %
    got = resistance(gauge_size(gauge), 1000 * FOOT_MM)
    assert got == pytest.approx(ohms, rel=8e-4)


@pytest.mark.parametrize(("gauge", "inches", "mils"), [(g, *row) for g, row in KUPHALDT.items()])
def test_diameter_and_circular_mils(gauge: int, inches: float, mils: float) -> None:
    size = gauge_size(gauge)
    assert diameter_mm(size) / 25.4 == pytest.approx(inches, rel=5e-4)
    assert size.area_mm2 / CIRCULAR_MIL == pytest.approx(mils, rel=6e-4)


@pytest.mark.parametrize(("text", "inches"), [("4/0 AWG", 0.46), ("36 AWG", 0.005)])
def test_the_two_exact_gauges(text: str, inches: float) -> None:
    # source: ASTM B258, the two diameters the series is defined by
    assert diameter_mm(parse_wire(text)) == pytest.approx(inches * 25.4, rel=1e-12)


@pytest.mark.parametrize(("gauge", "ohms"), NEC_75C.items())
def test_at_75_degrees(gauge: int, ohms: float) -> None:
    # three printed figures; the NEC column divided by 1 + 0.00393 * 55 agrees within 0.4 %
    got = resistance(gauge_size(gauge), 1000 * FOOT_MM, temp_c=75)
    assert got == pytest.approx(ohms, rel=4.5e-3)


@pytest.mark.parametrize(("gauge", "ohms", "mils"), [(g, *r) for g, r in FAA_STRANDED.items()])
def test_stranded_wire_is_at_most_the_faa_limit(gauge: int, ohms: float, mils: float) -> None:
    # the table gives maxima for tinned strands: plain copper of the same mils must be below
    copper = WireSize(mils * CIRCULAR_MIL, f"{mils} mils")
    assert resistance(copper, 1000 * FOOT_MM) <= ohms
    assert gauge_size(gauge + 1) < copper < gauge_size(gauge - 2)


@pytest.mark.parametrize(
    ("ohm_per_foot", "feet", "volts"),
    [
        # source: FAA AC 43.13-1B tables 11-7 and 11-8, all at 20 A; the two misprints left out
        (0.00044, 107, 0.942),
        (0.00028, 90, 0.504),
        (0.00306, 100, 6.12),
        (0.00126, 39, 0.98),
        (0.00126, 156, 3.93),
        (0.00126, 273, 6.88),
    ],
)
def test_voltage_drop_lines(ohm_per_foot: float, feet: float, volts: float) -> None:
    # a wire with exactly the printed ohms a foot, run through our length arithmetic
    wire = WireSize(FOOT_MM / 1000 / 58 / ohm_per_foot, "as printed")
    assert resistance(wire, feet * FOOT_MM) * 20 == pytest.approx(volts, abs=0.006)


def test_the_faa_size_14_and_10_lines_from_the_gauge_alone() -> None:
    # source: the same tables; stranded maxima are above solid copper, by at most 27 %
    for gauge, feet, volts in ((14, 100, 6.12), (10, 39, 0.98), (10, 156, 3.93)):
        assert volts / 1.27 < resistance(gauge_size(gauge), feet * FOOT_MM) * 20 < volts


def test_inferred_zero_of_copper() -> None:
    # source: copper tables, FAA AC 43.13-1B: resistance vanishes at -234.5 degC
    assert at_temperature(1.0, -234.5) == pytest.approx(0, abs=1e-3)


def test_resistivity_is_iec_60028() -> None:
    # source: IEC 60028, 1.724138e-8 ohm m at 20 degC
    assert ohm_per_metre(parse_wire("1 mm2")) == pytest.approx(1.724138e-2, rel=1e-6)


@given(st.integers(-3, 39))
def test_thinner_wire_has_more_ohms(gauge: int) -> None:
    # physics, and ASTM B258: diameters fall in a constant ratio of 92 ** (1/39)
    thick, thin = gauge_size(gauge), gauge_size(gauge + 1)
    assert ohm_per_metre(thin) > ohm_per_metre(thick)
    assert diameter_mm(thick) / diameter_mm(thin) == pytest.approx(1.122932, rel=1e-6)


@pytest.mark.parametrize(
    ("area", "gauge"),
    # source: common metric equivalents printed beside AWG by wire sellers; memory
    [(0.25, 23), (0.5, 20), (0.75, 18), (1.5, 15), (2.5, 13), (6.0, 9)],
)
def test_metric_sizes(area: float, gauge: int) -> None:
    assert gauge_size(gauge + 1) < parse_wire(f"{area} mm2") < gauge_size(gauge - 1)


@given(st.floats(1, 5000), st.floats(-40, 120), st.floats(1, 1.2))
def test_longer_warmer_and_stranded_is_more(length: float, temp: float, strands: float) -> None:
    size = parse_wire("22 AWG")
    assert resistance(size, length + 1) > resistance(size, length)
    assert resistance(size, length, temp + 1) > resistance(size, length, temp)
    assert resistance(size, length, temp, strands) >= resistance(size, length, temp)


def test_impossible_wires_are_refused() -> None:
    with pytest.raises(ValueError, match="strand factor"):
        resistance(parse_wire("22 AWG"), -1)
