"""The curves of cells, diodes and derating: rising or falling, and at the published points."""

from __future__ import annotations

import itertools
import math

import pytest

from harness.catalogue import load

CATALOGUE = load()
number = CATALOGUE.number

PACKS = CATALOGUE.rows("packs")
STEPS = range(0, 101, 10)

# Open-circuit volts of one cell from 0 to 100 % of its charge, between the voltage limits of the
# parameter set. source: PyBaMM 26.10 (PyPI, BSD), parameter sets Ai2020 (LiCoO2 pouch cell),
# Chen2020 (NMC 21700) and Prada2013 (LFP): U_positive(y) - U_negative(x) at 298.15 K
PYBAMM = {
    "lipo": (3.000, 3.640, 3.695, 3.733, 3.762, 3.793, 3.836, 3.909, 3.994, 4.088, 4.200),
    "liion": (2.500, 3.296, 3.485, 3.581, 3.667, 3.751, 3.841, 3.948, 4.042, 4.097, 4.200),
    "life": (2.000, 2.978, 3.168, 3.206, 3.252, 3.266, 3.269, 3.274, 3.310, 3.314, 3.600),
}


def curve(row: str) -> list[float]:
    """Return the open-circuit volts of a cell from empty to full."""
    return [number("packs", row, f"ocv-{step}") for step in STEPS]


@pytest.mark.parametrize("row", PYBAMM)
def test_open_circuit_volts_are_the_computed_ones(row: str) -> None:
    assert curve(row) == pytest.approx(PYBAMM[row], abs=1e-12)
    assert {CATALOGUE.require("packs", row, f"ocv-{step}").status for step in STEPS} == {"computed"}


def nmc(charge: float) -> float:
    """Open-circuit volts of an LG M50 cell. Chen et al. 2020, J. Electrochem. Soc. 167 080534.

    The two potentials are the paper's fits; the lithium in each electrode at 2.5 V and 4.2 V
    is what PyBaMM finds for its parameter set of that cell.
    """
    x = 0.026346 + charge * (0.910618 - 0.026346)
    y = 0.853975 - charge * (0.853975 - 0.263845)
    positive = (
        4.4875 - 0.8090 * y - 0.0428 * math.tanh(18.5138 * (y - 0.5542))
        - 17.7326 * math.tanh(15.7890 * (y - 0.3117)) + 17.5842 * math.tanh(15.9308 * (y - 0.3120))
    )  # fmt: skip
    negative = (
        0.2482 + 1.9793 * math.exp(-39.3631 * x) - 0.0909 * math.tanh(29.8538 * (x - 0.1234))
        - 0.04478 * math.tanh(14.9159 * (x - 0.2769)) - 0.0205 * math.tanh(30.4444 * (x - 0.6103))
    )  # fmt: skip
    return positive - negative


def test_nmc_is_the_curve_of_its_paper() -> None:
    assert curve("liion") == pytest.approx([nmc(step / 100) for step in STEPS], abs=1e-3)


def test_lihv_is_the_lipo_curve_stretched() -> None:
    # our own: from 3.0 to 4.35 V instead of from 3.0 to 4.2 V
    stretch = (4.35 - 3.0) / (4.2 - 3.0)
    assert curve("lihv") == pytest.approx([3 + stretch * (v - 3) for v in curve("lipo")], abs=6e-4)


@pytest.mark.parametrize("row", PACKS)
def test_open_circuit_volts_rise_with_charge(row: str) -> None:
    volts = curve(row)
    assert all(low < high for low, high in itertools.pairwise(volts))
    assert volts[-1] == pytest.approx(number("packs", row, "full"))
    assert number("packs", row, "damage") <= volts[0]
    # the nominal volts of a chemistry are those of its middle; common practice, no source
    assert volts[0] < number("packs", row, "nominal") < volts[8]


@pytest.mark.parametrize("row", PACKS)
def test_what_goes_with_the_cell_resistance(row: str) -> None:
    assert number("packs", row, "cell-resistance-capacity") == (2 if row == "nimh" else 5)
    for key in ("cell-resistance", "drop-at-rate"):
        assert 0 < number("packs", row, f"{key}-low") < number("packs", row, key)
    assert number("packs", row, "cold-factor") > 1
    assert 0 < number("packs", row, "resistance-spread") < 1
    # common practice, no source: 80 % of a pack is used
    both = number("packs", row, "reserve") + number("packs", row, "usable")
    assert both == pytest.approx(1)


@pytest.mark.parametrize("row", CATALOGUE.rows("diodes"))
def test_two_points_of_a_diode_fit_the_diode_equation(row: str) -> None:
    """V = (n k T/q) ln(I / Is) + I R through both points must leave R at nothing or more."""
    high, low = (number("diodes", row, f"drop-{end}current") for end in ("", "low-"))
    rise = number("diodes", row, "drop") - number("diodes", row, "drop-low")
    assert 0 < low < high
    assert number("diodes", row, "slope") * math.log(high / low) <= rise


@pytest.mark.parametrize("row", ["silicon", "schottky"])
def test_a_real_diode_has_an_ideality_from_one_to_two(row: str) -> None:
    # physics: k T/q at 20 degC is 25.26 mV (CODATA k and e); junctions lie between n = 1 and 2
    thermal = 1.380649e-23 * 293.15 / 1.602176634e-19
    assert 1 <= number("diodes", row, "slope") / thermal <= 2


# source: FAA AC 43.13-1B chapter 11, worked example 2: size 14 carries 47 A in free air;
# in a bundle of 8 wires, 60 % loaded, at 20,000 ft: 47 A x 0.91 x 0.6 = 26 A
def test_derating_of_the_worked_example() -> None:
    bundle, altitude = number("derating", "bundle", "8"), number("derating", "altitude", "20000")
    assert (bundle, altitude) == (0.6, 0.91)
    assert round(47 * altitude * bundle) == 26
    for at in (("bundle", "8"), ("altitude", "20000")):
        assert CATALOGUE.require("derating", *at).status == "published"


@pytest.mark.parametrize("row", CATALOGUE.rows("derating"))
def test_more_wires_and_thinner_air_carry_less(row: str) -> None:
    keys = CATALOGUE.keys("derating", row)
    assert [int(key) for key in keys] == sorted({int(key) for key in keys})
    factors = [number("derating", row, key) for key in keys]
    assert factors[0] == 1
    assert factors[-1] > 0
    assert factors == sorted(set(factors), reverse=True)


def test_insulation_bears_80_degrees_and_silicone_200() -> None:
    # servo leads 80 degC: common practice, no source; silicone: memory
    for row in CATALOGUE.rows("wires"):
        assert number("wires", row, "rated-temperature") == 80
        silicone = CATALOGUE.value("wires", row, "silicone-temperature")
        assert (silicone is None) == (CATALOGUE.value("wires", row, "silicone") is None)
        assert silicone is None or silicone.number == 200


@pytest.mark.parametrize("row", CATALOGUE.rows("regulators"))
def test_regulators_have_a_tolerance_and_a_current_of_their_own(row: str) -> None:
    assert number("regulators", row, "tolerance") == number("rules", "metered", "allowance")
    assert number("regulators", row, "quiescent") == pytest.approx(0.010)
    # physics: a linear regulator passes on the current it takes; it has no efficiency to state
    has = CATALOGUE.value("regulators", row, "efficiency") is not None
    assert has == (row == "switching")


def test_what_is_assumed_is_said_to_be() -> None:
    keys = CATALOGUE.keys("rules", "assumed")
    assert {CATALOGUE.require("rules", "assumed", key).status for key in keys} == {"invented"}
    assert {CATALOGUE.require("rules", "cases", key).status for key in ("cold", "hot")} == {
        "invented"
    }


def test_limits_and_laws_from_outside() -> None:
    # source: TSA, up to 100 Wh a battery without approval
    assert number("rules", "travel", "limit") == 100


@pytest.mark.parametrize("row", CATALOGUE.rows("motors"))
def test_a_motors_losses_lie_in_order_and_leave_most_of_its_power(row: str) -> None:
    """Winding and no-load shares: memory. A motor of usual size turns 75 to 95 % into power."""
    for key in ("resistance-share", "no-load-share"):
        low, usual, high = (number("motors", row, f"{key}{end}") for end in ("-low", "", "-high"))
        assert 0 < low < usual < high
    for end in ("-low", "", "-high"):
        copper, iron = (number("motors", row, f"{k}-share{end}") for k in ("resistance", "no-load"))
        assert 0.75 < (1 - copper) * (1 - iron) < 0.96


@pytest.mark.parametrize("row", CATALOGUE.rows("packs"))
def test_an_esc_cuts_before_the_cells_take_damage(row: str) -> None:
    damage, cut, full = (number("packs", row, key) for key in ("damage", "cut-off", "full"))
    assert damage < cut < full
    assert 0.5 < number("packs", row, "cold-capacity") < 1
