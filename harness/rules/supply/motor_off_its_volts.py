"""A motor is fed other volts than its amperes were read at.

What it looks for
    The volts at which a motor's full-throttle current was read, where the plan states them
    (`full-throttle-volts`, or the last line of its table), against those of the packs that feed
    it, from cells that must not go lower to full ones.

Why it matters
    Everything that is judged here by its current is then reckoned, not read: with the same
    propeller the current goes with about the square of the volts. At far more volts propeller and
    winding turn faster than anybody tried; at far less the aeroplane does not climb.

An example that fails
    escs:
      esc: {rated: 80 A, cells-max: 6, supply: main, bec: none, wire: 10 AWG}
    motors:
      motor: {full-throttle: 12 A, full-throttle-volts: 11.1 V, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 6, capacity: 5 Ah, rate: 35 C, connector: XT90}

The same, mended
    motors:
      motor: {full-throttle: 40 A, full-throttle-volts: 22.2 V, plug: esc}

Where it comes from
    First-order theory of motor and propeller (torque with the square of the speed); the volts of
    cells are rows of the catalogue.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.battery import full_volts, runs_of
from harness.facts.wording import in_plan, volts
from harness.parts.esc import Esc
from harness.parts.figure import from_catalogue
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.ratings import motors_on

ROUNDED = 0.05
"""V by which a reading may be rounded."""


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each motor once."""
    for esc in desk.plan.of(Esc):
        full = full_volts(desk.wiring, esc)
        pack = next((run.pack for run in runs_of(desk.wiring, esc) if run.pack), None)
        cell = (
            [from_catalogue(desk.plan.catalogue, *pack.row, state) for state in ("damage", "full")]
            if pack
            else []
        )
        for motor in motors_on(desk.wiring, esc) if full and cell and all(cell) else ():
            read, (least, most) = motor.full_volts(), (c.number for c in cell if c)
            low = (full or 0.0) * least / most
            if read and not low - ROUNDED <= read <= (full or 0.0) + ROUNDED:
                where = "full-throttle-volts" if read == motor.full_throttle_volts else "measured"
                yield check.finding(
                    f"the amperes of {motor.named()} were read at {volts(read)}, but its packs give"
                    f" it {volts(round(low, 2))} to {volts(round(full or 0.0, 2))}",
                    motor.at(where),
                    motor,
                    esc,
                    help=f"read them again on these packs, or feed it from packs of {volts(read)}",
                    numbers=(("read at", in_plan(volts(read), motor.at(where))),),
                )
