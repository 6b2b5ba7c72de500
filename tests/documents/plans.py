"""Plans that the tests of the documents share."""

from __future__ import annotations

from pathlib import Path

from support import plan_of

from harness.plan.load import load_plan
from harness.wiring.build import Wiring, build

EXAMPLES = sorted(
    p for p in (Path(__file__).parents[2] / "examples").glob("*.yaml") if "." not in p.stem
)
EVERY_KIND = """
places:
  fuselage: {}
  wing-left: {joins: fuselage, side: left}
channels: {1: aileron, 2: elevator, 3: throttle}
receivers:
  rx: {sockets: 6, place: fuselage, keyed: yes, satellite-sockets: 1}
  link: {sockets: 1, plug: fc.rc}
satellites: {ear: {plug: rx.sat}}
autopilots:
  fc: {sockets: 4, outputs: {1: camera}}
stabilisers:
  gyro: {plugs: {aileron: rx.1, elevator: rx.2}, place: fuselage}
servos:
  aileron-left: {moves: aileron, place: wing-left, plug: root.aileron, colours: orange-red-brown}
  elevator: {moves: elevator, plug: rev.1}
  spare: {}
leads:
  rev: {kind: reverser, plug: gyro.elevator}
  odd: {kind: custom, plug: fc.1, ends: {plug: [WH, RD, BK], "1": [BU, RD, BK]}}
  four: {kind: n-way, ways: 4, plug: fc.2}
wing-plugs:
  root:
    contacts: 6
    place: wing-left
    connector: multi-6pin
    circuits: {aileron: {signal: 1, positive: 2, negative: 3}}
    plugs: {aileron: gyro.aileron}
retracts:
  leg: {kind: self-contained, plug: box.1}
  bare: {kind: bare-motor, plug: box.2}
sequencers:
  box: {plug: rx.3, outlets: 2, motor-outlets: "2"}
escs:
  esc: {plug: rx.4, supply: arm, bec: none, wire: 12 AWG, connector: XT60}
  fan-esc: {bec: none}
motors:
  motor: {plug: esc}
ducted-fans:
  fan: {plug: fan-esc}
packs:
  low: {chemistry: lipo, cells: 3, connector: XT60}
  high: {chemistry: lipo, cells: 3, connector: XT60}
  radio: {chemistry: nimh, cells: 5, plug: switch.1}
power-leads:
  stack: {kind: series, supply: [low, high], connector: XT60}
  arm: {kind: arming, supply: fuse.1, connector: XT60}
  bullets: {kind: extension, supply: low.balance, connector: bullet-4mm}
fuses:
  fuse: {rated: 40 A, supply: stack, connector: XT60}
regulators:
  reg: {volts: 6 V, supply: bullets, plug: [rx.5, rx.6]}
switches:
  switch: {plug: diode.1}
diodes:
  diode: {kind: schottky, plug: rx.batt}
capacitors:
  cap: {across: esc, value: 330 uF}
sensors:
  gauge: {plug: fc.3, supply: low.balance}
loads:
  lamp: {current: 0.5 A, plug: four.1}
"""


def wiring_of(text: str) -> Wiring:
    """Build the wiring of a plan's text."""
    return build(plan_of(text))


def all_wirings() -> dict[str, Wiring]:
    """Return the wirings of the examples, and of a plan with every kind of part."""
    found = {path.stem: build(load_plan(str(path))) for path in EXAMPLES}
    return {**found, "every-kind": wiring_of(EVERY_KIND)}
