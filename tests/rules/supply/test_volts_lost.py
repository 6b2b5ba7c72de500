"""Volts at a device: Ohm's law by hand, over copper of ASTM B258 gauges and IEC 60028.

Lowest volts of a class and contacts of 15 mohm: common practice and memory, no source.
"""

from __future__ import annotations

import re

import pytest
from support import report_of, rules_of

from harness.base.finding import Finding, Severity

LAMP = """
receivers:
  rx: {{sockets: 6, supply-sockets: 2}}
loads:
  lamp: {{current: {amps} A, volts-min: {least} V, plug: ext.1, wire: 20 AWG, length: 10 mm}}
leads:
  ext: {{kind: extension, plug: rx.1, wire: {wire}, length: {length} mm}}
regulators:
  reg: {{kind: switching, volts: 5.5 V, rated: 9 A, burst: 9 A, plug: rx.batt-1, wire: 20 AWG,
        length: 100 mm}}
"""
AREA = {"24 AWG": 0.2047, "26 AWG": 0.1281, "22 AWG": 0.3247, "20 AWG": 0.5176, "28 AWG": 0.0804}
"""mm2, from the circular mils of Kuphaldt's table (404.0, 254.1, 642.5, 1022, 159.8) x 5.067e-4."""
CONTACT = 0.015
"""Ohm a pin of a 3-pin plug (common practice, no source)."""


def copper(gauge: str, length_mm: float) -> float:
    """Two wires in ohm: 1/58 ohm mm2/m at 20 degC (IEC 60028), at 40 degC the hottest case."""
    return 2 * length_mm / 1000 / 58 / AREA[gauge] * (1 + 0.00393 * 20)


def at_lamp(amps: float, gauge: str, length: float) -> float:
    """5.5 V behind 30 mohm, three plugs of two pins; the receiver takes 0.1 A at its rail."""
    rail = 5.5 - (amps + 0.1) * (0.030 + 2 * CONTACT + copper("20 AWG", 100))
    return rail - amps * (4 * CONTACT + copper(gauge, length) + copper("20 AWG", 10))


def lost(text: str) -> list[Finding]:
    return [f for f in report_of(text).findings if f.rule == "volts-lost"]


def lamp(amps: float, gauge: str, length: float, least: float = 4.9) -> list[Finding]:
    return lost(LAMP.format(amps=amps, least=least, wire=gauge, length=length))


@pytest.mark.parametrize(("amps", "gauge", "length"),
                         [(0.7, "26 AWG", 900), (0.5, "26 AWG", 900), (0.7, "22 AWG", 2500),
                          (0.7, "22 AWG", 1500), (1.0, "28 AWG", 600)])  # fmt: skip
def test_the_volts_are_ohms_law(amps: float, gauge: str, length: float) -> None:
    findings = lamp(amps, gauge, length)
    assert bool(findings) == (at_lamp(amps, gauge, length) < 4.9)
    for finding in findings:
        assert finding.severity is Severity.ERROR
        told = re.search(r"gets ([\d.]+) V", finding.message)
        assert told
        assert float(told[1]) == pytest.approx(at_lamp(amps, gauge, length), abs=0.011)
        eats = re.search(rf"{length} mm of {gauge} wire of lead \"ext\" takes ([\d.]+) (m?)V",
                         finding.message)  # fmt: skip
        assert eats
        drop = float(eats[1]) / (1000 if eats[2] else 1)
        assert drop == pytest.approx(amps * copper(gauge, length), abs=0.006)
        assert finding.span.line == 9


def test_the_gauge_and_the_length_it_names_mend_it() -> None:
    """Followed to the letter: gone, and one gauge thinner or a tenth longer is not enough."""
    (finding,) = lamp(0.7, "26 AWG", 3000)
    gauge = re.search(r"use (\d+ AWG) or thicker for lead \"ext\"", finding.help)
    length = re.search(r"make it (\d+) mm at most", finding.help)
    assert gauge
    assert length
    assert lamp(0.7, gauge[1], 3000) == []
    assert lamp(0.7, "26 AWG", float(length[1])) == []
    assert len(lamp(0.7, "26 AWG", float(length[1]) * 1.1)) == 1
    assert at_lamp(0.7, gauge[1], 3000) >= 4.895 > at_lamp(0.7, "26 AWG", float(length[1]) * 1.1)


def test_what_a_thicker_wire_cannot_mend_asks_for_more_volts() -> None:
    """5.5 V at the regulator, 5.4 V wanted: the plugs alone take more than 0.1 V of 1 A."""
    (finding,) = lamp(1.0, "20 AWG", 50, least=5.4)
    more = re.search(r'raise regulator "reg" to ([\d.]+) V', finding.help)
    assert more
    mended = LAMP.format(amps=1.0, least=5.4, wire="20 AWG", length=50)
    assert rules_of(mended.replace("volts: 5.5 V", f"volts: {more[1]} V")) == []


TAIL = """
receivers:
  rx: {sockets: 6, supply-sockets: 1}
servos:
  rudder: {class: standard-high-torque, moves: rudder, wire: 22 AWG, length: 300 mm, plug: tail.1}
leads:
  tail: {kind: extension, length: %s mm, wire: %s, plug: rx.4}
regulators:
  radio: {volts: 6 V, rated: 5 A, burst: 9 A, plug: rx.batt, wire: 20 AWG, length: 150 mm}
"""


def test_a_stalled_servo_on_a_long_lead_is_a_warning() -> None:
    """2.5 A at 6 V is 2.4 ohm: 6 V * 2.4 / (2.4 + 3.1 * 2 / 58 / 0.1281 + contacts) < 4 V."""
    wire = 2 * 4.5 / 58 / AREA["26 AWG"]
    assert 6 * 2.4 / (2.4 + wire) < 4.0 < 6 - 0.8 * (wire * 1.08 + 0.4)
    (finding,) = lost(TAIL % (4500, "26 AWG"))
    assert finding.severity is Severity.WARNING
    assert "(in hard-manoeuvre) and needs 4 V" in finding.message
    assert lost(TAIL % (1500, "26 AWG")) == []


def test_servos_behind_one_thin_wire_are_one_report() -> None:
    text = """
receivers: {rx: {sockets: 6, supply-sockets: 1}}
servos:
  left: {class: 17g-digital, moves: aileron, wire: 22 AWG, length: 200 mm, plug: y.1}
  right: {class: 17g-digital, moves: aileron, wire: 22 AWG, length: 200 mm, plug: y.2}
leads:
  y: {kind: y, length: 100 mm, wire: 22 AWG, plug: long.1}
  long: {kind: extension, length: 3000 mm, wire: 26 AWG, plug: rx.1}
regulators:
  radio: {volts: 5 V, rated: 5 A, burst: 9 A, plug: rx.batt, wire: 20 AWG, length: 150 mm}
"""
    (finding,) = lost(text)
    assert finding.parts == ("left", "right", "long")
    assert 'so does servo "right"' in finding.message


def test_a_thin_supply_is_the_rails_report_alone() -> None:
    """The rail tells it for all that hang on it; its cure mends them too."""
    text = (TAIL % (200, "22 AWG")).replace("6 V", "5 V").replace("150 mm", "2500 mm")
    text = text.replace("wire: 20 AWG, length: 2500", "wire: 26 AWG, length: 2500")
    rules = rules_of(text)
    assert "rail-sags" in rules
    assert "volts-lost" not in rules


def test_two_faults_are_two_reports() -> None:
    """A weak BEC and a lead that would starve the servo on a strong one as well."""
    text = (TAIL % (4500, "26 AWG")).replace("rated: 5 A, burst: 9 A", "rated: 0.5 A, burst: 0.8 A")
    assert {"bec-load", "volts-lost"} <= set(rules_of(text))


def test_a_worn_switch_is_named() -> None:
    """0.75 V at its rating when it is worn (common practice): 0.25 ohm at 3 A; 5.6 V - 0.5 V."""
    text = """
receivers: {rx: {sockets: 6}}
loads: {lamp: {current: 2 A, volts-min: 4.9 V, plug: rx.1, wire: 20 AWG, length: 10 mm}}
switches: {sw: {rated: 3 A, plug: rx.batt, wire: 20 AWG, length: 50 mm}}
regulators:
  reg: {volts: 5.6 V, rated: 5 A, burst: 9 A, plug: sw.1, wire: 20 AWG, length: 50 mm}
"""
    (finding,) = lost(text)
    assert re.search(r'switch "sw" takes 0\.5[23] V', finding.message)  # 2.1 A * 0.25 ohm
    assert 'put an electronic switch in place of switch "sw"' in finding.help
    assert lost(text.replace("{rated: 3 A", "{kind: electronic, rated: 3 A")) == []


def test_a_wire_nobody_measured_is_listed_not_reported() -> None:
    """Three plugs and 300 mm of 26 AWG, assumed: whether 5.3 V arrive rests on that wire."""
    text = LAMP.format(amps=1, least=5.3, wire="22 AWG", length=100)
    report = report_of(text.replace("wire: 22 AWG, length: 100 mm", "tested: yes"))
    assert [f for f in report.findings if f.rule == "volts-lost"] == []
    assert ("ext", "the length of its wire (length)") in [
        (u.part, u.missing) for u in report.unknown
    ]


def test_packs_in_series_give_their_volts_together() -> None:
    """Two packs of 2 cells of 3.793 V (half full, PyBaMM Ai2020) before 4 m of wire and 2 A."""
    (found,) = lost("""
loads:
  lamp: {current: 2 A, supply: stack, volts-min: 14 V, length: 4 m, wire: 24 AWG, connector: XT60}
power-leads:
  stack: {kind: series, supply: [low, high], connector: XT60, wire: 14 AWG, length: 100 mm}
packs:
  low: {chemistry: lipo, cells: 2, capacity: 3 Ah, rate: 30 C, connector: XT60}
  high: {like: low}
""")
    told = re.search(
        r"gets ([\d.]+) V .* of the ([\d.]+) V of pack \"(high|low)\" and pack", found.message
    )
    assert told
    assert float(told[2]) == pytest.approx(4 * 3.793, abs=0.05)
    assert float(told[1]) == pytest.approx(4 * 3.793 - 2 * copper("24 AWG", 4000), abs=0.25)
