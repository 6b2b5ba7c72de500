"""Harnesses small enough to be worked by hand."""

from __future__ import annotations

from support import plan_of

from harness.documents.figures.load import solved_of
from harness.documents.figures.solved import SolvedPlan
from harness.wiring.build import Wiring, build

HAND = """
channels: {1: aileron}
receivers: {rx: {sockets: 4}}
servos:
  a: {moves: aileron, plug: rx.1, stall: 2 A, moving: 0.4 A, idle: 0.02 A,
      wire: 26 AWG, length: 200 mm, volts-min: 4 V, volts-max: 7 V}
packs:
  p: {chemistry: nimh, cells: 4, capacity: 2 Ah, rate: 5 C, plug: rx.batt,
      wire: 22 AWG, length: 150 mm}
cases:
  wave: {moving: all, stalled: [], temperature: 20 degC, lasts: continuous}
flight: [{phase: on, time: 60 s}]
"""
FEEBLE = HAND.replace("rate: 5 C", "rate: 0.1 C")
"""The label of its pack promises less than what is drawn."""
HUNGRY = HAND.replace("volts-min: 4 V", "volts-min: 6.5 V")
"""Its servo wants more volts than four cells give."""
UNKNOWN = HAND.replace("{moves: aileron, plug: rx.1, stall: 2 A, moving: 0.4 A, idle: 0.02 A,",
                       "{moves: aileron, plug: rx.1,")  # fmt: skip
"""Nobody said what its servo draws."""
JOINED = HAND.replace("plug: rx.batt,", "plug: rx.batt, charge: 100 %,").replace(
    "cases:", "  q: {like: p, plug: rx.3, charge: 50 %}\ncases:"
)
"""Two packs side by side on one rail: not to be done."""
ALIKE = """
escs: {esc: {rated: 60 A, cells-max: 4, bec: none, supply: pair.1}}
motors: {motor: {full-throttle: 20 A, plug: esc}}
power-leads: {pair: {kind: parallel, supply: [a, b], wire: 12 AWG, length: 100 mm}}
packs:
  a: {chemistry: lipo, cells: 3, capacity: 3 Ah, rate: 30 C, charge: 100 %}
  b: {like: a, charge: 96 %}
flight: [{phase: on, time: 60 s}]
"""
"""Two packs side by side that may be joined so."""
GEAR = """
channels: {1: gear}
receivers: {rx: {sockets: 4}}
retracts:
  leg: {kind: self-contained, moves: gear, plug: box.1, travel: 3 s, running: 0.5 A, stop: 1 A}
sequencers:
  box: {plug: rx.1, outlets: 2, power-up: holds, steps: {
    down: [{outlet: 1, to: down, start: 0 s, end: 4 s}],
    up: [{outlet: 1, to: up, start: 0 s, end: 4 s}]}}
packs:
  p: {chemistry: nimh, cells: 5, capacity: 2 Ah, rate: 5 C, plug: rx.batt}
flight: [{phase: on, time: 60 s}]
"""
"""One leg on a sequencer."""


def wiring_of(text: str = HAND) -> Wiring:
    return build(plan_of(text))


def solved(text: str = HAND, case: str = "") -> SolvedPlan:
    return solved_of(wiring_of(text), case)
