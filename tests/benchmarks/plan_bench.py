"""Time of a proposal on 8 to 40 servos, as ratios to a floor measured in the same run.

    python tests/benchmarks/plan_bench.py [--rounds 3] [--all]

Processor time, because others may use the machine. The floor is one `check` of the finished plan:
the rules must judge it at least once. The aims for 24 and 40 servos are in seconds. `--all`
goes on to 32 and 40 servos.
"""

from __future__ import annotations

import argparse
import sys
import time
from statistics import median

from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.planner.propose import NoPlan, propose
from harness.rules.run import check

SIZES = ((8, 8), (16, 10), (24, 16), (32, 16), (40, 20))
"""Servos and sockets; two ESCs and a regulator come with each."""
FUNCTIONS = ("aileron", "flap", "elevator", "spoiler", "rudder", "hook", "bay", "camera")
SHORT = 3
"""How many of the sizes are timed without --all."""
AIMS = {(24, 16): 1.0, (40, 20): 6.0}
"""Seconds of processor time, without the next-best plans."""

HEAD = """plan: 1
aircraft: Bench
transmitter: {order: AETR}
places:
  fuselage: {at: 450 mm}
  wing-left: {joins: fuselage, side: left, at: {aft: 480 mm, out: 400 mm}}
  wing-right: {joins: fuselage, side: right, at: {aft: 480 mm, out: 400 mm}}
  tail: {in: fuselage, at: 1150 mm}
"""
TAIL = """escs:
  esc-a: {rated: 40 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, place: wing-left,
          lead-length: 300 mm, supply: pack-y.1}
  esc-b: {rated: 40 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, place: wing-right,
          lead-length: 300 mm, supply: pack-y.2}
regulators:
  reg: {kind: switching, volts: 5.5 V, rated: 20 A, supply: pack-y.3}
packs: {pack: {chemistry: lipo, cells: 3, capacity: 6 Ah, rate: 35 C}}
power-leads: {pack-y: {kind: parallel, ways: 3, supply: pack}}
"""


def plan_text(servos: int, sockets: int) -> str:
    """Return a plan in which nothing is plugged in; no two servos sit at quite the same place."""
    lines = [
        f"receivers: {{rx: {{sockets: {sockets}, place: fuselage, supply-sockets: 2}}}}",
        "kit:",
    ]
    for kind, count, length in (("y", servos // 6, 300), ("y", 2, 150)):
        lines.append(f"  - {{kind: {kind}, count: {count}, length: {length} mm, wire: 22 AWG}}")
    for count, length in ((servos // 6, 450), (2, 600)):
        lines.append(f"  - {{kind: extension, count: {count}, length: {length} mm, wire: 22 AWG}}")
    lines.append("servos:")
    each = max(1, -(-servos // len(FUNCTIONS)), 4)
    for n in range(servos):
        function, side = FUNCTIONS[n // each], ("left", "right")[n % 2]
        place = "tail" if function in {"elevator", "rudder"} else f"wing-{side}"
        shaft = "left" if n % 4 in {0, 3} else "right"
        at = (
            f"at: {{aft: {480 + n} mm, out: {300 + 11 * (n // 2)} mm}}, " if "wing" in place else ""
        )
        lines.append(
            f"  {function}-{n}-{side}: {{class: 9g-analogue, moves: {function}, shaft: {shaft},"
            f" length: 250 mm, {at}place: {place}}}"
        )
    return HEAD + "\n".join(lines) + "\n" + TAIL


def timed(servos: int, sockets: int, rounds: int) -> bool:
    """Print one line; return whether the aim is met, where there is one for this size."""
    plan = parse_plan(Source("bench.yaml", plan_text(servos, sockets)))
    ours, floor = [], []
    answer = propose(plan)
    assert not isinstance(answer, NoPlan)
    made = parse_plan(Source("bench.yaml", answer.text))
    for _ in range(rounds):
        start = time.process_time()
        propose(plan)
        middle = time.process_time()
        check(made)
        ours.append(middle - start)
        floor.append(time.process_time() - middle)
    seconds, ratio = median(ours), median(ours) / median(floor)
    proof = "proven" if answer.proven else f"not proven: {answer.gap}"
    print(
        f"{servos:>3} servos, {sockets:>2} sockets: {seconds:6.2f} s, {ratio:6.1f} times one check"
        f" of the finished plan, {proof}, {len(answer.faults)} faults",
        flush=True,
    )
    aim = AIMS.get((servos, sockets))
    if aim is None:
        return True
    met = seconds <= aim and answer.proven
    print(f"    aim {aim:g} s, proven: {'met' if met else 'MISSED'}")
    return met


def main() -> int:
    """Return 1 when the aim is missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--all", action="store_true")
    options = parser.parse_args()
    sizes = SIZES if options.all else SIZES[:SHORT]
    met = [timed(*size, options.rounds) for size in sizes]
    return 0 if all(met) else 1


if __name__ == "__main__":
    sys.exit(main())
