"""The figures: against trade tables, published pages and physics."""

from __future__ import annotations

import itertools

import pytest
from electrics.heating import amps_for

from harness.base.colours import INSULATION, code_of, luminance
from harness.base.units import parse_wire
from harness.base.wire import resistance
from harness.catalogue import load

CATALOGUE = load()
number = CATALOGUE.number

# idle mA, moving A, stall A as low and high; common practice, no source
SERVOS = {
    "5g": ((3, 5), (0.05, 0.06), (0.3, 0.5)),
    "9g-analogue": ((5, 6), (0.10, 0.25), (0.65, 0.8)),
    "13g-metal-gear": ((10, 20), (0.15, 0.35), (0.8, 1.2)),
    "17g-digital": ((10, 30), (0.2, 0.5), (1.2, 1.8)),
    "mini-25g": ((5, 30), (0.25, 0.6), (1.2, 2.0)),
    "standard-low-torque": ((7, 8), (0.16, 0.18), (0.7, 0.8)),
    "standard-high-torque": ((10, 50), (0.3, 0.8), (1.5, 2.5)),
    "standard-hv": ((50, 100), (0.5, 1.5), (3, 6)),
    "giant-hv": ((50, 150), (1, 3), (10, 10)),
}

# the same of the small, thin, high-volt and brushless ones; from memory, no source seen
MORE_SERVOS = {
    "2g": ((2, 5), (0.03, 0.06), (0.15, 0.3)),
    "3.5g": ((3, 5), (0.05, 0.06), (0.3, 0.5)),
    "thin-wing": ((10, 30), (0.2, 0.5), (1.0, 2.0)),
    "thin-wing-hv": ((15, 50), (0.3, 0.8), (1.5, 3.0)),
    "micro-hv": ((15, 40), (0.3, 0.7), (1.2, 2.5)),
    "mini-hv": ((20, 60), (0.4, 1.0), (2.0, 4.0)),
    "brushless-hv": ((60, 150), (0.6, 2.0), (4, 8)),
}

# cautious continuous and burst A; common practice, no source
PLUGS = {
    "XT30": (15, 30), "XT60": (40, 60), "XT90": (60, 90), "XT150": (80, 120), "AS150": (100, 150),
    "T-plug": (40, 60), "EC3": (45, 60), "EC5": (80, 120), "bullet-2mm": (15, 20),
    "bullet-3.5mm": (40, 60), "bullet-4mm": (50, 70), "bullet-5.5mm": (80, 120),
    "bullet-6mm": (100, 150), "bullet-8mm": (150, 200), "balance": (1, 3), "servo-3pin": (3, 5),
}  # fmt: skip

# cautious and chart A; common practice, no source
SILICONE = {8: (95, 200), 10: (65, 140), 12: (45, 88), 14: (32, 55), 16: (22, 35), 18: (16, 22), 20: (11, 14)}  # noqa: E501  # fmt: skip
# thinner than in the trade: copper at 100 and 200 degC in air of 40, by a balance of heat
BALANCED = {(4, 0), (4, 1), (6, 0), (6, 1), (8, 0), (8, 1), (10, 0), (10, 1), (12, 1)}
CONTROL = {20: (5, 11), 22: (3, 8.7), 24: (2, 5), 26: (1.5, 3.5), 28: (1, 1.25)}

# amperes at 105, 150, 200 degC and ohm per 1000 ft; source: FAA AC 43.13-1B table 11-9
FAA = {
    24: (2.5, 4, 5, 28.40), 22: (3, 5, 6, 16.20), 20: (4, 7, 9, 9.88), 18: (6, 9, 12, 6.23),
    16: (7, 11, 14, 4.81), 14: (10, 14, 18, 3.06), 12: (13, 19, 25, 2.02), 10: (17, 26, 32, 1.26),
    8: (38, 57, 71, 0.70),
}  # fmt: skip


@pytest.mark.parametrize("row", [*SERVOS, *MORE_SERVOS])
def test_servo_currents(row: str) -> None:
    idle, moving, stall = (SERVOS | MORE_SERVOS)[row]
    for key, (low, high), scale in (
        ("idle", idle, 1000), ("moving", moving, 1), ("stall", stall, 1),
    ):  # fmt: skip
        assert number("servos", row, f"{key}-low") * scale == pytest.approx(low, rel=1e-12)
        assert number("servos", row, key) * scale == pytest.approx(high, rel=1e-12)


def test_every_servo_class_is_of_the_trade() -> None:
    assert set(CATALOGUE.rows("servos")) == {*SERVOS, *MORE_SERVOS}
    for row in MORE_SERVOS:
        assert {CATALOGUE.require("servos", row, key).status
                for key in CATALOGUE.keys("servos", row)} == {"memory"}  # fmt: skip
    for row in CATALOGUE.rows("servos"):
        assert CATALOGUE.keys("servos", row) == CATALOGUE.keys("servos", "5g"), row


@pytest.mark.parametrize("row", [row for row in CATALOGUE.rows("servos") if row.endswith("hv")])
def test_a_high_volt_servo_takes_2s(row: str) -> None:
    # 8.4 V, two full LiPo cells; common practice, no source
    assert number("servos", row, "volts-max") == number("servos", row, "volts-rated") == 8.4


@pytest.mark.parametrize("row", CATALOGUE.rows("servos"))
def test_servo_physics(row: str) -> None:
    assert number("servos", row, "idle") < number("servos", row, "moving-low")
    assert number("servos", row, "moving") < number("servos", row, "stall-low")
    low, rated, high = (number("servos", row, f"volts-{key}") for key in ("min", "rated", "max"))
    assert low < rated <= high


@pytest.mark.parametrize("row", PLUGS)
def test_plug_ratings(row: str) -> None:
    assert number("plugs", row, "continuous") == PLUGS[row][0]
    assert number("plugs", row, "burst") == PLUGS[row][1]


@pytest.mark.parametrize("row", CATALOGUE.rows("plugs"))
def test_plug_physics(row: str) -> None:
    assert number("plugs", row, "burst") >= number("plugs", row, "continuous")
    for key in ("continuous", "burst"):
        chart = CATALOGUE.value("plugs", row, f"{key}-chart")
        assert chart is None or (chart.number or 0) >= number("plugs", row, key)
    # a contact at its continuous rating must not boil: a few watts at most
    heat = number("plugs", row, "continuous") ** 2 * number("plugs", row, "contact-resistance")
    assert heat < 5


@pytest.mark.parametrize(
    ("kind", "rows"),
    [
        (
            "bullets",
            [f"bullet-{mm}mm" for mm in ("2", "3", "3.5", "4", "5.5", "6", "6.5", "8", "10")],
        ),
        ("two poles", ["1s-1.25mm", "1s-2mm", "bec-2pin", "XT30", "XT60", "XT90"]),
        ("three poles", ["three-pole-2mm", "three-pole-3.5mm"]),
        ("anti-spark", ["antispark-XT90", "antispark-8mm", "antispark-10mm"]),
    ],
)
def test_a_thicker_plug_takes_thicker_wire_and_more(kind: str, rows: list[str]) -> None:
    """Physics: more metal resists less, carries more, and its cup is wider."""
    for small, big in itertools.pairwise(rows):
        for key in ("continuous", "burst"):
            assert number("plugs", small, key) < number("plugs", big, key), kind
        assert number("plugs", small, "wire-max") <= number("plugs", big, "wire-max")
        ohms = [number("plugs", row, "contact-resistance") for row in (small, big)]
        assert ohms[0] > ohms[1]


def test_every_plug_has_every_figure() -> None:
    keys = {"continuous", "burst", "contact-resistance", "keyed", "wire-max"}
    for row in CATALOGUE.rows("plugs"):
        assert keys <= set(CATALOGUE.keys("plugs", row)), row
        assert row == "balance" or CATALOGUE.value("plugs", row, "contacts")
        wire, bears = number("plugs", row, "wire-max"), number("plugs", row, "burst")
        # what goes into it bears what it bears for seconds, or comes near
        gauge = next(
            w for w in CATALOGUE.rows("wires") if number("wires", w, "size") <= wire + 1e-9
        )
        assert number("wires", gauge, "burst") >= 0.9 * bears, row


def test_an_anti_spark_plug_goes_with_its_plain_one() -> None:
    pairs = {
        "antispark-XT90": "XT90",
        "antispark-8mm": "bullet-8mm",
        "antispark-10mm": "bullet-10mm",
    }
    for row, plain in pairs.items():
        assert CATALOGUE.require("plugs", row, "mates-with").text == plain
        for key in ("continuous", "burst", "contacts", "keyed", "wire-max", "contact-resistance"):
            one, other = (CATALOGUE.require("plugs", name, key) for name in (row, plain))
            assert one.text == other.text, (row, key)


def test_a_servo_contact_is_10_to_20_milliohm() -> None:
    # common practice, no source
    keys = ("contact-resistance-low", "contact-resistance", "contact-resistance-high")
    low, middle, high = (number("plugs", "servo-3pin", key) for key in keys)
    assert (low, high) == (0.010, 0.020)
    assert low < middle < high


@pytest.mark.parametrize("series", ["bullet-", "XT"])
def test_a_bigger_plug_carries_more(series: str) -> None:
    rows = [row for row in CATALOGUE.rows("plugs") if row.startswith(series)]
    for small, big in itertools.pairwise(rows):
        assert number("plugs", big, "continuous") > number("plugs", small, "continuous")
        assert number("plugs", big, "contact-resistance") < number(
            "plugs", small, "contact-resistance"
        )


@pytest.mark.parametrize("gauge", [4, 6, *SILICONE])
@pytest.mark.parametrize(
    ("which", "key", "warm"), [(0, "silicone", 100), (1, "silicone-chart", 200)]
)
def test_silicone_wire(gauge: int, which: int, key: str, warm: float) -> None:
    """What the trade says, where heat that is made and given off does not say less."""
    row = f"{gauge} AWG"
    found = CATALOGUE.require("wires", row, key)
    assert found.number is not None
    limit = amps_for(row, warm, 40)
    trade = SILICONE.get(gauge, (999, 999))[which]
    if (gauge, which) in BALANCED:
        assert found.status == "computed"
        assert 0.98 * limit < found.number < min(limit * 1.002, trade)  # rounded down
    else:
        assert found.number == trade < limit * 1.005
    if gauge in SILICONE and which:  # for seconds, what the bold charts let it carry
        assert number("wires", row, "burst") == trade


@pytest.mark.parametrize("gauge", [4, 6, 8, 10, 12, 14, 16, 18])
@pytest.mark.parametrize(("key", "air"), [("continuous", 40), ("continuous-chart", 20)])
def test_thick_wire_without_silicone(gauge: int, key: str, air: float) -> None:
    """80 degC is what its insulation bears (common practice, no source)."""
    row = f"{gauge} AWG"
    limit = amps_for(row, 80, air)
    assert 0.955 * limit < number("wires", row, key) < limit * 1.002
    assert CATALOGUE.require("wires", row, key).status == "computed"


@pytest.mark.parametrize("gauge", CONTROL)
def test_control_wire(gauge: int) -> None:
    assert number("wires", f"{gauge} AWG", "continuous") == CONTROL[gauge][0]
    assert number("wires", f"{gauge} AWG", "continuous-chart") == CONTROL[gauge][1]


@pytest.mark.parametrize("gauge", FAA)
def test_aircraft_wire(gauge: int) -> None:
    keys = ("aircraft-105c", "aircraft-150c", "aircraft-200c", "stranded-1000ft")
    assert tuple(number("wires", f"{gauge} AWG", key) for key in keys) == FAA[gauge]


@pytest.mark.parametrize("key", ["continuous", "continuous-chart", "burst", "silicone", "size"])
def test_thinner_wire_carries_less(key: str) -> None:
    found = [CATALOGUE.value("wires", row, key) for row in CATALOGUE.rows("wires")]
    figures = [value.number for value in found if value is not None and value.number is not None]
    assert len(figures) >= 7
    assert figures == sorted(set(figures), reverse=True)


@pytest.mark.parametrize("row", CATALOGUE.rows("wires"))
def test_wire_physics(row: str) -> None:
    assert number("wires", row, "size") == parse_wire(row).area_mm2
    assert number("wires", row, "continuous") < number("wires", row, "continuous-chart")
    assert number("wires", row, "continuous-chart") <= number("wires", row, "burst")
    # a metre at its cautious rating loses well under a volt
    drop = resistance(parse_wire(row), 1000) * number("wires", row, "continuous")
    assert drop < 0.5


@pytest.mark.parametrize("row", CATALOGUE.rows("packs"))
def test_cell_volts_are_in_order(row: str) -> None:
    keys = ("full", "nominal", "empty", "damage")
    volts = [number("packs", row, key) for key in keys]
    assert volts == sorted(set(volts), reverse=True)
    assert number("packs", row, "label-trust-low") < number("packs", row, "label-trust") < 1


def test_lipo_is_the_published_cell() -> None:
    # source: PX4 user guide, battery page
    assert [number("packs", "lipo", key) for key in ("full", "nominal", "empty", "damage")] == [
        4.2, 3.7, 3.5, 3.0,
    ]  # fmt: skip
    assert number("packs", "lipo", "cell-resistance") == pytest.approx(0.005, rel=1e-12)


@pytest.mark.parametrize(
    ("row", "cells", "nominal", "full"),
    # rail sources; common practice, no source
    [("nimh", 4, 4.8, 5.6), ("nimh", 5, 6.0, 7.0), ("life", 2, 6.6, 7.2), ("lipo", 2, 7.4, 8.4)],
)
def test_rail_sources(row: str, cells: int, nominal: float, full: float) -> None:
    assert cells * number("packs", row, "nominal") == pytest.approx(nominal)
    assert cells * number("packs", row, "full") == pytest.approx(full)


def test_charging_is_between_0_and_40_degrees() -> None:
    # source: US Fire Administration
    assert (number("packs", "lipo", "charge-min"), number("packs", "lipo", "charge-max")) == (0, 40)


@pytest.mark.parametrize("row", ["small", "medium", "large"])
def test_retract_physics(row: str) -> None:
    # at the stop two to four times the running current; memory
    assert number("retracts", row, "stop-low") == pytest.approx(
        2 * number("retracts", row, "running-low")
    )
    assert number("retracts", row, "stop") == pytest.approx(4 * number("retracts", row, "running"))
    assert number("retracts", row, "travel-time-low") < number("retracts", row, "travel-time")


def test_retract_defaults_and_pulses() -> None:
    # common practice: 1 A running, 2 A at the stop; ArduPilot landing gear page: 1.2 and 1.8 ms
    assert number("retracts", "unmeasured", "running") == 1
    assert number("retracts", "unmeasured", "stop") == 2
    assert number("retracts", "self-contained", "down-below") == 1200
    assert number("retracts", "self-contained", "up-above") == 1800


def test_pulses_are_the_published_ones() -> None:
    # source: ArduPilot SRV_Channel, Arduino Servo
    keys = ("low", "centre", "high")
    assert [number("rules", "pulse", key) for key in keys] == [1000, 1500, 2000]
    assert number("rules", "pulse", "frame") == pytest.approx(0.020)


@pytest.mark.parametrize("row", [row for row in CATALOGUE.rows("leads") if "-red-" in row])
def test_lead_colours(row: str) -> None:
    # common practice, no source: palest signal, darkest negative, named in this order
    items = tuple(CATALOGUE.require("leads", row, "colours").text.split("+"))
    keys = ("signal", "positive", "negative")
    assert items == tuple(CATALOGUE.require("leads", row, key).text for key in keys)
    assert items == tuple(map(code_of, row.split("-")))
    light = [luminance(INSULATION[item]) for item in items]
    assert light == sorted(light, reverse=True)


def test_extensions_are_no_thinner_than_most_servo_leads() -> None:
    # common practice, no source: an extension is at least as thick as the servo's own lead
    extension = number("leads", "extension", "wire")
    thicker = [
        row for row in CATALOGUE.rows("servos") if number("servos", row, "lead-wire") > extension
    ]
    assert thicker == ["giant-hv"]


@pytest.mark.parametrize("table", CATALOGUE.tables())
def test_low_is_not_above_and_high_is_not_below(table: str) -> None:
    for row, key in [(name, key) for name in CATALOGUE.rows(table) for key in _pairs(table, name)]:
        base, _, end = key.rpartition("-")
        ours, other = number(table, row, base), number(table, row, key)
        assert other <= ours if end == "low" else other >= ours, (row, key)


def _pairs(table: str, row: str) -> list[str]:
    keys = CATALOGUE.keys(table, row)
    return [k for k in keys if k.rpartition("-")[2] in {"low", "high"} and k.rpartition("-")[0] in keys]  # noqa: E501  # fmt: skip


def test_rule_thresholds() -> None:
    # common practice, no source
    stated = {
        ("rail", "minimum"): 4.8, ("sizing", "continuous-share"): 0.3,
        ("ground-loop", "warning"): 1, ("ground-loop", "error"): 3,
        ("long-battery-wire", "length"): 300, ("long-battery-wire", "capacitance"): 220e-6,
        ("long-battery-wire", "per-length"): 100, ("anti-spark", "cells"): 5,
        ("arming-plug", "power"): 1000, ("parallel", "warning"): 0.05, ("parallel", "error"): 0.1,
        ("doors", "margin"): 0.5, ("doors", "slowest-leg"): 0.3, ("joints", "maximum"): 2,
        ("capacitor-volts", "4S"): 25, ("capacitor-volts", "6S"): 35,
        ("capacitor-volts", "8S"): 50, ("capacitor-volts", "12S"): 63,
        ("slack", "hatch-low"): 50, ("slack", "hatch"): 100, ("slack", "servo-low"): 20,
        ("slack", "servo"): 30, ("slack", "run-low"): 0.05, ("slack", "run"): 0.1,
    }  # fmt: skip
    for (row, key), figure in stated.items():
        assert number("rules", row, key) == pytest.approx(figure, rel=1e-12), (row, key)


def test_a_capacitor_stands_a_full_pack() -> None:
    # physics: rated volts above the cells' full volts
    for key in CATALOGUE.keys("rules", "capacitor-volts"):
        cells = int(key.removesuffix("S"))
        assert number("rules", "capacitor-volts", key) > cells * number("packs", "lipo", "full")


def test_stall_rises_with_volts() -> None:
    # physics: a stalled motor is a resistance, so 8.4 / 6 is the 40 % of common practice
    low, high = (number("rules", "sizing", f"stall-rise-{end}") for end in ("from", "to"))
    assert number("rules", "sizing", "stall-rise") == pytest.approx(high / low - 1)


def test_stock_lengths_and_drops() -> None:
    # common practice, no source
    lengths = [number("stock-lengths", row, "length") for row in CATALOGUE.rows("stock-lengths")]
    assert lengths == [100, 150, 200, 300, 450, 600, 900, 1000]
    assert number("diodes", "silicon", "drop-low") == 0.7
    for row, low, high in (("schottky", 0.3, 0.6), ("ideal", 0.02, 0.05)):
        assert number("diodes", row, "drop-low") == low
        assert number("diodes", row, "drop") == high
    assert number("switches", "mechanical", "drop") == 0.75


def test_regulators() -> None:
    # common practice, no source: switching 85 to 92 %, linear rated at 2S, half at 3S, never 4S
    assert number("regulators", "switching", "efficiency") == pytest.approx(0.85)
    assert number("regulators", "switching", "efficiency-high") == pytest.approx(0.92)
    keys = ("cells-full-rating", "cells-half-rating", "cells-max")
    assert [number("regulators", "linear", key) for key in keys] == [2, 3, 3]


def test_receiver_supply() -> None:
    # common practice, no source
    assert number("receivers", "receiver", "volts-min") == 3.5
    assert number("receivers", "receiver", "idle") == pytest.approx(0.1)
    assert [number("receivers", "autopilot", f"volts-{end}") for end in ("min", "max")] == [
        4.1,
        5.7,
    ]
    assert number("receivers", "stabiliser", "idle") == pytest.approx(0.15)


def test_aircraft_rules_are_the_published_ones() -> None:
    # source: FAA AC 43.13-1B chapter 11, inches
    inches = [number("rules", "marking", key) / 25.4 for key in ("interval", "none-under")]
    assert inches == pytest.approx([15, 3])
    assert number("rules", "drop", "bus-14v") == 0.5
    assert number("rules", "drop", "main-share") == pytest.approx(0.02)
