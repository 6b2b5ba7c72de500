"""Copper warmer than its insulation: found, and cooled by the gauge that is named.

How warm a wire gets is worked out apart from ours by `heating.by_scipy` (1.5 K, as in
`electrics/test_heat.py`); 200 degC of silicone and 80 degC of servo leads: common practice.
"""

from __future__ import annotations

import re

import pytest
from electrics.heating import amps_for, by_scipy
from support import plan_of, report_of

from harness.base.finding import Finding, Severity
from harness.base.units import parse_wire
from harness.catalogue import load
from harness.facts.hot_wires import hot_wires
from harness.wiring.build import build

PLAN = """
escs:
  esc: {{rated: 200 A, bec: none, supply: ext, wire: 8 AWG, length: 100 mm, connector: AS150}}
motors:
  m: {{full-throttle: {amps:.2f} A, full-throttle-volts: 12.6 V, plug: esc}}
power-leads:
  ext: {{kind: extension, supply: main, connector: {plug}, wire: {wire}, rated: 150 A{more}}}
packs:
  main: {{chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 90 C, connector: AS150}}
"""


def found(wire: str, amps: float, plug: str = "AS150", more: str = "") -> list[Finding]:
    text = PLAN.format(wire=wire, amps=amps, plug=plug, more=more)
    return [f for f in report_of(text).findings if f.rule == "wire-load"]


def read(finding: Finding) -> tuple[float, float, float]:
    """The degC, the amperes and the air that a message tells."""
    words = r"gets to (\d+) degC with ([\d.]+) A .* air of ([\d.]+) degC"
    numbers = re.search(words, finding.message)
    assert numbers is not None, finding.message
    celsius, amps, air = map(float, numbers.groups())
    return celsius, amps, air


@pytest.mark.parametrize(("wire", "amps"), [("18 AWG", 40), ("16 AWG", 55), ("14 AWG", 80)])
def test_a_rated_lead_too_hot_and_the_gauge_that_mends_it(wire: str, amps: float) -> None:
    (finding,) = found(wire, amps)
    assert finding.severity is Severity.ERROR
    celsius, flows, air = read(finding)
    area, outer = parse_wire(wire).area_mm2, load().number("wires", wire, "outer")
    assert celsius == pytest.approx(by_scipy(flows, area, outer, air), abs=2) and celsius > 200
    gauge = re.search(r"use (\d+ AWG) or thicker", finding.help or "")
    assert gauge is not None
    thinner = f"{int(gauge[1].split()[0]) + 2} AWG"
    assert amps_for(gauge[1], 200, air) > flows
    # the one below is too thin: for its insulation, or for the amperes that the charts allow it
    chart = load().number("wires", thinner, "silicone-chart")
    cautious = load().number("wires", thinner, "silicone")
    assert flows > min(amps_for(thinner, 200, air), cautious, chart)
    assert found(gauge[1], amps) == []


def test_within_its_insulation_a_rated_lead_is_held_to_its_rating() -> None:
    """18 AWG of silicone is 200 degC warm with some 30 A in air of 40 degC."""
    most = amps_for("18 AWG", 200, 40)
    assert found("18 AWG", most * 0.95) == []
    assert len(found("18 AWG", most * 1.1)) == 1


def test_where_the_plug_takes_no_thicker_wire_another_one_is_named() -> None:
    """An XT30 takes 14 AWG at most."""
    (finding,) = found("14 AWG", 90, plug="XT30")
    _, flows, air = read(finding)
    assert amps_for("14 AWG", 200, air) < flows
    named = re.match(r"use (\d+ AWG) or thicker, with ([\w-]+) or ", finding.help or "")
    assert named is not None and amps_for(named[1], 200, air) > flows
    assert found(named[1], 90, plug=named[2]) == []


def test_what_came_fitted_keeps_its_wire() -> None:
    (finding,) = found("18 AWG", 40, more=", fitted: yes")
    assert "it came fitted" in (finding.help or "") and "use " not in (finding.help or "")


CONTROL = """
surroundings: {{temperature: {air} degC}}
receivers:
  rx: {{sockets: 6, supply-sockets: 2}}
servos:
  a: {{stall: {stall} A, volts-min: 3 V, moves: flap, plug: y.1}}
  b: {{stall: {stall} A, volts-min: 3 V, moves: flap, plug: y.2}}
leads:
  y: {{kind: y, plug: rx.1, wire: 22 AWG, length: 200 mm, tested: yes, split: {split}}}
regulators:
  reg: {{volts: 6 V, rated: 20 A, burst: 40 A, wire: 20 AWG, plug: [rx.batt-1, rx.batt-2]}}
"""


@pytest.mark.parametrize(
    ("air", "split", "hot"), [(79, "end", True), (60, "end", False), (79, "plug", False)]
)
def test_a_servo_lead_in_hot_air(air: int, split: str, hot: bool) -> None:
    """Two servos at 30 % of 3.8 A: 2.3 A at most, half of it in each arm."""
    text = CONTROL.format(air=air, split=split, stall=3.8)
    area, outer = parse_wire("22 AWG").area_mm2, load().number("wires", "22 AWG", "outer")
    each = 2.1 if split == "end" else 1.05
    assert (by_scipy(each, area, outer, air) > 80) is hot
    assert (("y", "plug") in hot_wires(build(plan_of(text)))) is hot
    told = [f for f in report_of(text).findings if "insulation bears 80 degC" in f.message]
    assert [f.parts[0] for f in told] == (["y"] if hot else [])


def test_seconds_warm_no_wire_for_good() -> None:
    """Held fast for seconds, 7 A would warm 26 AWG beyond 80 degC in the end: not judged so."""
    text = CONTROL.format(air=20, split="end", stall=4.5).replace("22 AWG", "26 AWG")
    assert hot_wires(build(plan_of(text))) == {}
    lasts = "cases: {held: {stalled: flap, share: 100 %}}\n"
    assert ("y", "plug") in hot_wires(build(plan_of(lasts + text)))
