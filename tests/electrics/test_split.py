"""Where the wires of a Y part, by Ohm's law: 2 A stalled at 6 V is 3 ohm (common practice).

For seconds, copper at 20 degC: 22 AWG 16.14 ohm/1000 ft (copper tables); contacts 15 mohm and the
supply 30 mohm (catalogue).
"""

from __future__ import annotations

import pytest
from electrics.heating import by_scipy
from support import plan_of, report_of

from harness.base.units import parse_wire
from harness.electrics.cases import built_in
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.rows import rows_of
from harness.wiring.build import build

PLAN = """
receivers: {{rx: {{sockets: 4, supply-sockets: 1}}}}
regulators:
  reg: {{volts: 6 V, rated: 9 A, burst: 20 A, plug: rx.batt, wire: 8 AWG, length: 1 mm}}
servos:
  a: {{moves: flap, moving: 0.1 A, stall: 2 A, wire: 8 AWG, length: 1 mm, plug: y.1}}
  b: {{like: a, plug: y.2}}
leads: {{y: {{kind: y, plug: rx.1, wire: 22 AWG, length: 1000 mm{split}}}}}
"""
WIRE = 2 * 16.14 / 304.8
CONTACT, OUTPUT, RECEIVER = 2 * 0.015, 0.030, 0.1


def solved(split: str) -> Outcome:
    plan = plan_of(PLAN.format(split=split))
    case = next(c for c in built_in(plan) if c.name == "flap-stalled")
    return outcome_of(build(plan), [case])


def by_hand(shared: float, own: float) -> float:
    """Volts at each of two servos of 3 ohm; the receiver's 0.1 A drop over supply and contact."""
    each = 3 + own + CONTACT
    before, stem = OUTPUT + CONTACT, shared + CONTACT
    rail = (6 - RECEIVER * before) / (1 + before / (stem + each / 2))
    return rail / (stem + each / 2) / 2 * 3


@pytest.mark.parametrize(
    ("split", "shared", "own"),
    [("", 0, WIRE), (", split: plug", 0, WIRE), (", split: end", WIRE, 0)],
)
def test_what_a_servo_gets(split: str, shared: float, own: float) -> None:
    outcome = solved(split)
    for servo in "ab":
        assert outcome.fed(servo)[0] == pytest.approx(by_hand(shared, own), rel=1e-3)
    row = next(r for r in rows_of(outcome) if (r.kind, r.part) == ("lead", "y"))
    amps = float(outcome.drawn("a")[0])
    assert row.drop is not None
    assert row.loss is not None
    drop = amps * (2 * shared + own)
    assert row.drop[0] == pytest.approx(drop, rel=1e-3)
    # two servos through one pair of wires, or through a pair each
    assert row.loss[0] == pytest.approx(drop * amps * 2, rel=1e-3)


def test_one_set_of_wires_gets_as_warm_as_what_all_take() -> None:
    text = PLAN.format(split=", split: end").replace("22 AWG", "26 AWG").replace("2 A,", "9 A,")
    outcome = outcome_of(build(plan_of(text)))
    at = [case.name for case in outcome.cases].index("full-throttle")
    row = next(r for r in rows_of(outcome) if (r.kind, r.part) == ("lead", "y"))
    amps = float(row.amps[at])
    assert amps > 3
    warm = by_scipy(amps, parse_wire("26 AWG").area_mm2, 1.3, 20)
    assert row.temperature is not None
    assert row.temperature[at] == pytest.approx(warm, abs=1.0)


POWER = """
escs:
  e: {{bec: none, supply: y.1, connector: XT90, wire: 10 AWG, length: 10 mm}}
  f: {{like: e, supply: y.2}}
motors: {{m: {{full-throttle: 20 A, plug: e}}, n: {{full-throttle: 20 A, plug: f}}}}
packs: {{p: {{chemistry: lipo, cells: 3, capacity: 9 Ah, rate: 60 C, connector: XT90}}}}
power-leads:
  y: {{kind: parallel, ways: 2, supply: p, connector: XT90, wire: 14 AWG, length: 500 mm{split}}}
"""


def test_a_power_lead_too() -> None:
    """One pair of wires for both: what they carry is twice as much, and so are the volts lost."""
    drops = {}
    for split in ("", ", split: plug", ", split: end"):
        plan = plan_of(POWER.format(split=split))
        low = next(c for c in built_in(plan) if c.name == "low-packs")
        outcome = outcome_of(build(plan), [low])
        row = next(r for r in rows_of(outcome) if (r.kind, r.part) == ("lead", "y"))
        assert row.drop is not None
        # 14 AWG: 2.525 ohm/1000 ft (copper tables), there and back
        one = 2 * 0.5 * 2.525 / 304.8
        drops[split] = float(row.drop[0]) / (float(outcome.drawn("e")[0]) * one)
    assert list(drops.values()) == pytest.approx([1, 1, 2], rel=1e-3)


@pytest.mark.parametrize(("split", "warned"), [("", True), ("end", True), ("plug", False)])
def test_wires_are_judged_by_what_they_carry(split: str, warned: bool) -> None:
    """2 x 20 A: above the 32 A of 14 AWG together (common practice), not each."""
    text = POWER.format(split=f", split: {split}" if split else "")
    rules = [f.rule for f in report_of(text).findings]
    assert ("wire-load" in rules) == warned


@pytest.mark.parametrize(
    "text",
    [
        "leads: {x: {kind: extension, plug: rx.1, split: end}}\nreceivers: {rx: {sockets: 2}}\n",
        "power-leads: {x: {kind: series, supply: [p, q], split: end}}\n"
        "packs: {p: {chemistry: lipo, cells: 3}, q: {like: p}}\n",
    ],
)
def test_what_parts_nowhere_has_no_split(text: str) -> None:
    with pytest.raises(Exception, match=r"part(s)? nowhere"):
        plan_of(text)
