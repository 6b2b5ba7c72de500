"""Small plans solved once, and the plots of them."""

from __future__ import annotations

from functools import cache
from typing import Any

from support import plan_of

from harness.documents.charts import PlotSheet
from harness.documents.charts.packs import endurance_figure, equalise_figure
from harness.documents.charts.share import share_figure
from harness.documents.charts.spread import spread_figure
from harness.documents.charts.timeline import timeline_figure
from harness.electrics.endurance import endurance
from harness.electrics.equalise import equalise
from harness.electrics.gear.timeline import TimeLine, timeline
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.rows import LoadRow, rows_of
from harness.electrics.tolerance import Tolerance, tolerance_of
from harness.wiring.build import Wiring, build

PLAN = """
aircraft: Test $5 & <plane>
plan: 1
channels: {1: gear, 2: elevator, 3: throttle}
receivers: {rx: {sockets: 6}}
servos:
  elevator: {class: 9g-analogue, moves: elevator, plug: rx.2}
  door: {class: 9g-analogue, moves: gear-door, plug: box.doors}
retracts:
  leg: {kind: self-contained, class: medium, moves: gear, travel: 4 s, slow: 9 s, plug: box.legs}
sequencers:
  box:
    plug: rx.1
    outlets: [doors, legs]
    power-up: holds
    steps:
      down: [{outlet: doors, to: open, start: 0 s, end: 1.5 s},
             {outlet: legs, to: down, start: 1 s, end: 6 s}]
      up: [{outlet: legs, to: up, start: 1 s, end: 6 s},
           {outlet: doors, to: closed, start: 3 s, end: 8 s}]
escs:
  esc: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, plug: rx.3,
        supply: pack-y, wire: 14 AWG, connector: XT60}
motors: {motor: {full-throttle: 20 A, plug: esc}}
packs:
  one: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C, connector: XT60, volts: 12.4 V}
  two: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C, connector: XT60, volts: 11.6 V}
power-leads: {pack-y: {kind: parallel, connector: XT60, supply: [one, two]}}
flight: [{phase: circuits, time: 60 s, throttle: 50 %}]
"""


@cache
def wiring() -> Wiring:
    return build(plan_of(PLAN))


@cache
def solved() -> tuple[Outcome, tuple[LoadRow, ...]]:
    outcome = outcome_of(wiring())
    return outcome, rows_of(outcome)


@cache
def gear() -> TimeLine:
    return timeline(wiring(), "gear")


@cache
def drawn_at_random() -> Tolerance:
    return tolerance_of(wiring(), draws=60)


@cache
def figures(page: Any = "A4") -> dict[str, PlotSheet]:
    """All plots of the small plan, by name, made once."""
    return every_figure(page)


@cache
def figures_again() -> dict[str, PlotSheet]:
    return every_figure()


def every_figure(page: Any = "A4") -> dict[str, PlotSheet]:
    """All plots of the small plan, by name."""
    plan = wiring().plan
    return {
        "share": share_figure(*solved(), "worst", page),
        "cruise": share_figure(*solved(), "cruise", page),
        "runs": timeline_figure(plan, gear(), page),
        "down": timeline_figure(plan, gear(), page, run="slow-up"),
        "joined": equalise_figure(plan, equalise(wiring())[0], page),
        "endurance": endurance_figure(plan, endurance(wiring()), page),
        "spread": spread_figure(plan, drawn_at_random(), page),
        "volts": spread_figure(plan, drawn_at_random(), page, quantity="volts"),
    }
