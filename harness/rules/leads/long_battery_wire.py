"""The battery wires between pack and ESC are too long for what smooths them.

What it looks for
    The way from the pack to an ESC, the ESC's own wires and all power leads added up. Above
    300 mm each extra 100 mm, begun or whole, wants 220 uF of capacitors at the ESC.

Why it matters
    Long wires act as a coil. At every pulse of the ESC its supply overshoots, its own
    capacitors get hot, and in the end they or its transistors fail in the air.

An example that fails
    escs:
      esc: {rated: 60 A, supply: main, bec: none, connector: XT60, wire: 12 AWG, length: 550 mm}
    packs:
      main: {chemistry: lipo, cells: 4, capacity: 5 Ah, rate: 35 C, connector: XT60}

The same, mended
    escs:
    capacitors:
      smoothing: {across: esc, value: 330 uF, count: 2, volts: 25 V}

Where it comes from
    Common practice; no published source. One maker's rule is 2.35 uF per ampere and inch beyond
    12 inches, which asks for more above 24 A: the ESC maker's instructions come first.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.base.units import CAPACITANCE, LENGTH, format_quantity
from harness.facts.battery import (
    BatteryRun,
    capacitance_at,
    capacitance_wanted,
    capacitor_rating,
    full_volts,
    runs_of,
)
from harness.facts.currents import over
from harness.facts.wording import volts
from harness.parts.esc import Esc
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each ESC once, for its longest way to a pack."""
    limit = desk.figure("long-battery-wire", "length").number
    for esc in desk.plan.of(Esc):
        runs = [run for run in runs_of(desk.wiring, esc) if run.pack]
        if not runs:
            continue
        longest = max(runs, key=lambda run: run.length)
        wanted = capacitance_wanted(desk.wiring, esc)
        fitted = capacitance_at(desk.wiring, esc)
        if over(wanted, fitted):
            yield _finding(desk, esc, longest, wanted, fitted)
        elif not over(longest.length, limit):
            for part in (*longest.unmeasured, *_may_be_too_much(desk, longest, limit)):
                desk.not_known(part, "the length of its battery wires (length)")


def _may_be_too_much(desk: Desk, run: BatteryRun, limit: float) -> list[Part]:
    """A pack whose wires nobody stated, where wires of the usual length would be too much."""
    if run.pack is None or run.pack.length is not None:
        return []
    usual = desk.figure("assumed", "battery-length").number
    return [run.pack] if over(run.length + usual, limit) else []


def _finding(desk: Desk, esc: Esc, run: BatteryRun, wanted: float, fitted: float) -> Finding:
    limit = desk.figure("long-battery-wire", "length")
    full = full_volts(desk.wiring, esc)
    rating = capacitor_rating(desk.plan, full) if full else None
    bear = f", rated {volts(rating.number)} or more," if rating else ""
    have = f"only {_uf(fitted)} of capacitors are" if fitted else "no capacitors are"
    measured = [(p, _mm(mm)) for p in run.parts if (mm := getattr(p, "length", None))]
    return check.finding(
        f"{_mm(run.length)} of battery wire lie between {run.pack.named() if run.pack else ''} and"
        f" {esc.named()} ({spoken(f'{p.named()} {mm}' for p, mm in measured)}); "
        f"above {_mm(limit.number)} that wants {_uf(wanted)} of capacitors at the ESC, and "
        f"{have} fitted",
        esc.at("length"),
        esc,
        *run.parts,
        help=f"fit {_uf(wanted)} of low-ESR capacitors{bear} at its battery plug, in a lead between"
        if esc.as_made
        else "better move the ESC near the pack and lengthen the motor wires; or solder "
        f"{_uf(wanted)} of low-ESR capacitors{bear} across its battery wires",
        numbers=(
            ("longest without capacitors", f"{_mm(limit.number)}, {limit.origin}"),
            ("wanted", f"{_uf(wanted)}, {limit.origin}"),
            *((p.named(), f"{mm}, plan line {p.at('length').line}") for p, mm in measured),
        ),
    )


def _mm(number: float) -> str:
    return format_quantity(number, LENGTH)


def _uf(number: float) -> str:
    return format_quantity(number, CAPACITANCE)
