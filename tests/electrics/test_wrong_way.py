"""A bare motor with its wires crossed runs the other way, at the same volts: common practice."""

from __future__ import annotations

import pytest
from support import plan_of

from harness.electrics.gear.timeline import timeline
from harness.wiring.build import build

PLAN = """
channels: {5: {function: gear, failsafe: hold}}
receivers: {rx: {sockets: 6}}
packs: {radio: {chemistry: nimh, cells: 5, capacity: 2 Ah, plug: rx.batt}}
sequencers:
  box:
    plug: rx.5
    outlets: [leg]
    motor-outlets: [leg]
    power-up: follows
    steps:
      down: [{outlet: leg, start: 0 s, end: 4 s, to: down}]
      up: [{outlet: leg, start: 0 s, end: 4 s, to: up}]
leads: {ext: {kind: custom, plug: box.leg, length: 300 mm, wire: 24 AWG, map: {%s}}}
retracts:
  leg: {kind: bare-motor, travel: 2 s, running: 300 mA, stop: 1 A, plug: {into: ext.1, poles: %s}}
"""
CROSS = "positive: negative, negative: positive"


def runs(lead: str, poles: str) -> dict[str, tuple[list[str], list[str], float]]:
    line = timeline(build(plan_of(PLAN % (lead, poles))), "gear")
    return {
        run.name: (
            [event.what for event in run.events],
            [clash.kind for clash in run.clashes],
            float(run.volts["leg"].min()),
        )
        for run in line.runs
    }


@pytest.mark.parametrize(("lead", "poles"), [("", "straight"), (CROSS, "crossed")])
def test_straight_or_crossed_twice_it_goes_where_the_box_says(lead: str, poles: str) -> None:
    line = runs(lead, poles)
    assert line["down"][0][:2] == ["goes down", "is down"]
    assert not any(clashes for _, clashes, _ in line.values() if "wrong-way" in clashes)


@pytest.mark.parametrize(("lead", "poles"), [("", "crossed"), (CROSS, "straight")])
def test_crossed_it_stays_in_the_air_and_folds_on_the_ground(lead: str, poles: str) -> None:
    line = runs(lead, poles)
    assert line["down"][0] == ["pushes against its end", "is switched off"]
    assert "wrong-way" in line["down"][1]
    on_the_ground = line["power-up-down-down"]
    assert on_the_ground[0][:2] == ["goes up", "is up"]
    assert "raised-at-power-up" in on_the_ground[1]


def test_the_volts_at_it_are_those_of_a_straight_one() -> None:
    """5 NiMH cells on one rail: which way round the motor hangs on it changes nothing."""
    straight, crossed = runs("", "straight"), runs("", "crossed")
    assert straight["up"][2] > 4
    assert all(volts > 4 for _, _, volts in crossed.values())
