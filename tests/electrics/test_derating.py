"""Derating and the estimate of a wire's warmth of FAA AC 43.13-1B, chapter 11."""

from __future__ import annotations

import math

import numpy as np
import pytest
from support import plan_of

from harness.electrics.derating import altitude_factor, bundle_factor, derating, faa_temperature

PLAN = """
surroundings: {altitude: 20000 ft}
places:
  fuselage: {bundle: 8}
  tail: {in: fuselage}
  nose: {in: fuselage, bundle: 33}
  wing: {joins: fuselage}
servos:
  rudder: {class: 13g-metal-gear, moves: rudder, place: tail}
  steering: {class: 17g-digital, moves: steering, place: nose}
  aileron: {class: 17g-digital, moves: aileron, place: wing}
  loose: {class: 17g-digital, moves: aileron}
"""


def test_worked_example_2_bundle_and_altitude() -> None:
    """FAA AC 43.13-1B ch. 11, worked example 2 (read): 47 A x 0.91 (20,000 ft) x 0.6 = 26 A."""
    plan = plan_of(PLAN)
    assert altitude_factor(plan).number == pytest.approx(0.91, rel=1e-12)
    assert bundle_factor(plan, "fuselage").number == pytest.approx(0.6, rel=1e-12)
    carries = 47 * derating(plan, plan.parts["rudder"]).number
    assert carries == pytest.approx(47 * 0.91 * 0.6, rel=1e-12)
    assert round(carries) == 26


def test_worked_example_2_temperature() -> None:
    """Example 2 continued (from memory, arithmetic checked): 50 + 150*sqrt(20/26) = 182 degC."""
    found = faa_temperature(20.0, 26.0, 50.0, 200.0)
    assert round(float(found)) == 182


def test_worked_example_1_chooses_size_8() -> None:
    """FAA AC 43.13-1B ch. 11, worked example 1 (read): 50 ft, 20 A, 28 V, continuous: No. 8.

    The limit is 1 V on a 28 V bus, resistance and amperes are those of table 11-9 (read).
    """
    plan = plan_of("")
    table, factor = plan.catalogue, altitude_factor(plan).number * bundle_factor(plan, "").number
    fits = []
    for size in (16, 14, 12, 10, 8):
        drop = table.number("wires", f"{size} AWG", "stranded-1000ft") / 1000 * 50 * 20
        bears = table.number("wires", f"{size} AWG", "aircraft-105c") * factor
        if drop <= table.number("rules", "drop", "bus-28v") and bears >= 20:
            fits.append(size)
    assert fits == [8]


@pytest.mark.parametrize(
    ("wires", "factor"),
    [
        (1, 1.0),  # FAA AC 43.13-1B: one wire in free air
        (8, 0.6),  # FAA AC 43.13-1B ch. 11, worked example 2
        (10, 0.6 - (0.6 - 0.53) * 2 / 4),  # straight between 8 and 12 wires (12: from memory)
        (33, 0.4),  # from memory
        (200, 0.4),  # flat beyond the last point
    ],
)
def test_bundle_is_straight_between_its_points_and_flat_beyond(wires: int, factor: float) -> None:
    plan = plan_of(f"places: {{bay: {{bundle: {wires}}}}}\n")
    assert bundle_factor(plan, "bay").number == pytest.approx(factor, rel=1e-12)


@pytest.mark.parametrize(
    ("feet", "factor"),
    [
        (0, 1.0),  # our own reference: currents at sea level
        (20_000, 0.91),  # FAA AC 43.13-1B ch. 11, worked example 2
        (15_000, (0.96 + 0.91) / 2),  # straight between 10,000 (from memory) and 20,000 ft
        (90_000, 0.7),  # flat beyond 60,000 ft (from memory)
    ],
)
def test_altitude_is_straight_between_its_points_and_flat_beyond(feet: int, factor: float) -> None:
    plan = plan_of(f"surroundings: {{altitude: {feet} ft}}\n")
    assert altitude_factor(plan).number == pytest.approx(factor, rel=1e-12)


def test_altitude_may_be_metric() -> None:
    """1 ft = 0.3048 m exactly (the international foot): 6096 m are 20,000 ft."""
    plan = plan_of("surroundings: {altitude: 6096 m}\n")
    assert altitude_factor(plan).number == pytest.approx(0.91, rel=1e-12)


def test_curves_only_fall() -> None:
    """More wires or thinner air never cool better (physics)."""
    bundles = [
        bundle_factor(plan_of(f"places: {{bay: {{bundle: {n}}}}}\n"), "bay").number
        for n in range(1, 60)
    ]
    heights = [
        altitude_factor(plan_of(f"surroundings: {{altitude: {ft} ft}}\n")).number
        for ft in range(0, 70_000, 5_000)
    ]
    assert bundles == sorted(bundles, reverse=True)
    assert heights == sorted(heights, reverse=True)


def test_a_place_inside_another_inherits_unless_it_says_its_own() -> None:
    """Expected values are the plan's own words: 8 wires in the fuselage, 33 in the nose."""
    plan = plan_of(PLAN)
    assert bundle_factor(plan, "tail").number == bundle_factor(plan, "fuselage").number
    assert bundle_factor(plan, "nose").number < bundle_factor(plan, "fuselage").number
    assert bundle_factor(plan, "wing").number == 1.0  # joined to the fuselage, not in it


def test_nothing_stated_derates_nothing() -> None:
    plan = plan_of("servos: {one: {class: 17g-digital, moves: aileron}}\n")
    found = derating(plan, plan.parts["one"])
    assert found.number == 1.0
    assert "states no bundle" in found.origin
    assert "states no altitude" in found.origin


def test_origin_names_the_line_and_the_source() -> None:
    plan = plan_of(PLAN)
    said = derating(plan, plan.parts["steering"]).origin
    text = plan.source.text.splitlines()
    nose = next(n for n, line in enumerate(text, 1) if "nose:" in line)
    air = next(n for n, line in enumerate(text, 1) if "altitude" in line)
    assert f"plan line {nose}, 33 wires" in said
    assert f"plan line {air}, 20000 ft" in said
    assert "FAA AC 43.13-1B" in said


def test_origin_names_each_end_it_lies_between() -> None:
    """10,000 ft is from memory, 20,000 ft published: 15,000 ft rests on both."""
    said = altitude_factor(plan_of("surroundings: {altitude: 15000 ft}\n")).origin
    assert "worked example 2" in said
    assert "from memory" in said


def test_temperature_at_no_current_and_at_the_limit() -> None:
    """No current leaves the air's temperature, the limit reaches the rating; -10 A warm as 10 A."""
    found = faa_temperature(np.array([0.0, 10.0, -10.0, math.nan]), 10.0, 20.0, 105.0)
    assert found[:3] == pytest.approx([20.0, 105.0, 105.0])
    assert math.isnan(found[3])


def test_air_hotter_than_the_rating_never_cools() -> None:
    assert float(faa_temperature(5.0, 10.0, 120.0, 105.0)) == 120.0


def test_a_wire_that_bears_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="more than 0 A"):
        faa_temperature(1.0, 0.0, 20.0, 105.0)
