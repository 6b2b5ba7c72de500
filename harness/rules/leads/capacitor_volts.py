"""A capacitor is not rated for the pack it sits across.

What it looks for
    The rated volts of the capacitors at an ESC against the pack's cells: 25 V up to 4S, 35 V up
    to 6S, 50 V up to 8S, 63 V up to 12S. Below the volts of the full pack it is a danger.

Why it matters
    The volts at the ESC overshoot well above the pack's own. A capacitor above its rating gets
    hot, swells and bursts.

An example that fails
    escs:
      esc: {rated: 60 A, supply: main, bec: none, connector: XT90, length: 400 mm}
    capacitors:
      smoothing: {across: esc, value: 330 uF, volts: 35 V}
    packs:
      main: {chemistry: lipo, cells: 8, capacity: 5 Ah, rate: 35 C, connector: XT90}

The same, mended
    capacitors:
      smoothing: {across: esc, value: 330 uF, volts: 50 V}

Where it comes from
    Common practice; no published source. Volts of a full cell: PX4 user guide, battery page.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.battery import capacitor_rating, full_volts
from harness.facts.currents import over
from harness.facts.wording import volts
from harness.parts.capacitor import Capacitor
from harness.parts.figure import Figure
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING, Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each capacitor once."""
    for capacitor in desk.plan.of(Capacitor):
        at = desk.plan.parts.get(capacitor.across)
        full = full_volts(desk.wiring, at) if at else None
        if at is None or full is None:
            continue
        wanted = capacitor_rating(desk.plan, full)
        if capacitor.volts is None:
            desk.not_known(capacitor, "its rated volts")
        elif wanted is None:
            desk.not_known(capacitor, f"the rating wanted at {volts(full)}")
        elif over(wanted.number, capacitor.volts):
            yield _finding(capacitor, capacitor.volts, at, full, wanted)


def _finding(part: Capacitor, rated: float, at: Part, full: float, wanted: Figure) -> Finding:
    return check.finding(
        f"{part.named()} at {at.named()} is rated {volts(rated)}; a full pack has {volts(full)}"
        f" there, which wants a rating of {volts(wanted.number)}",
        part.at("volts"),
        part,
        at,
        severity=Severity.DANGER if over(full, rated) else None,
        help=f"pack off; fit capacitors rated {volts(wanted.number)} or more",
        numbers=(
            ("rated", f"{volts(rated)}, plan line {part.at('volts').line}"),
            ("wanted", f"{volts(wanted.number)}, {wanted.origin}"),
        ),
    )
