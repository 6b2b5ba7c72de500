"""A small plan whose figures can be worked out by hand, and short ways to its protocol."""

from __future__ import annotations

from support import plan_of

from harness.base.span import Source
from harness.bench.build import protocol_of
from harness.bench.compare import Comparison, compare
from harness.bench.protocol import BenchTest, ExpectedRange, Protocol
from harness.plan.results import Record, parse_results
from harness.wiring.build import build

PLAN = """\
plan: 1
aircraft: Test
places: {body: {}, wing-left: {joins: body, side: left}, wing-right: {joins: body, side: right}}
channels:
  1: {function: aileron, failsafe: neutral}
  3: {function: throttle, failsafe: off}
receivers: {rx: {sockets: 6}}
servos:
  aileron-left: {class: 9g-analogue, place: wing-left, moves: aileron, shaft: left, plug: y.1}
  aileron-right: {class: 9g-analogue, place: wing-right, moves: aileron, shaft: right, plug: y.2}
leads: {y: {kind: y, plug: rx.1, length: 300 mm, wire: 22 AWG}}
escs:
  esc: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, plug: rx.3, supply: pack,
        connector: XT60}
motors: {motor: {full-throttle: 18 A, rotation: clockwise, plug: esc}}
packs: {pack: {chemistry: lipo, cells: 3, capacity: 2.2 Ah, rate: 25 C, connector: XT60}}
"""


def protocol(text: str = PLAN) -> Protocol:
    return protocol_of(build(plan_of(text)))


def bench_test(name: str, text: str = PLAN) -> BenchTest:
    return protocol(text).tests[name]


def band_of(name: str, text: str = PLAN) -> ExpectedRange:
    expected = bench_test(name, text).expected
    assert isinstance(expected, ExpectedRange)
    return expected


def results_text(tests: str, text: str = PLAN, **more: str) -> str:
    words = {"aircraft": "Test", "revision": protocol(text).revision, "date": "2026-10-02", **more}
    head = "".join(f'{word}: "{value}"\n' for word, value in words.items())
    return f"results: 1\n{head}tests:\n{tests}"


def compared(tests: str, text: str = PLAN, record: Record | None = None, **more: str) -> Comparison:
    source = Source("r.yaml", results_text(tests, text, **more))
    return compare(protocol(text), parse_results(source), record)
