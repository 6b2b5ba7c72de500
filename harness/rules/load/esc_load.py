"""An ESC is too small for its motor at full throttle.

What it looks for
    The battery current at full throttle against the ESC's rating: the rating should be 1.2 to
    1.3 times the current as stated; the cautious 1.3 is used. Fresh packs on a hot day make it
    draw more than that; above the rating it is an error.

Why it matters
    An ESC at its limit runs hot, and hotter still in a cowling. It cuts out or burns in the air.

An example that fails
    escs:
      esc: {rated: 30 A, supply: main, bec: none, wire: 12 AWG}
    motors:
      motor: {full-throttle: 28 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 3, capacity: 3 Ah, rate: 35 C, connector: XT60}

The same, mended
    escs:
      esc: {rated: 40 A, supply: main, bec: none, wire: 12 AWG}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.currents import amps, case_numbers, currents, number, over, when
from harness.facts.motion import turning_of
from harness.parts.esc import Esc
from harness.parts.figure import Figure, stated
from harness.parts.motor import Motor
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.ratings import motors_on


@rule(Severity.WARNING, Severity.DANGER, Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each ESC once, with all the motors on it added up."""
    for esc in desk.plan.of(Esc):
        motors = motors_on(desk.wiring, esc)
        figures = [figure for motor in motors if (figure := motor.full()) is not None]
        full = sum(figure.number for figure in figures)
        rated = stated(esc, "rated", esc.rated)
        if rated and figures:
            yield from _judge(desk, esc, rated, Figure(full, figures[0].origin), motors)
        _list_unknown(desk, esc, motors)


def _list_unknown(desk: Desk, esc: Esc, motors: list[Motor]) -> None:
    if esc.rated is None:
        desk.not_known(esc, "what the ESC is rated for (rated)")
    if not motors:
        desk.not_known(esc, "full-throttle current of the motor on it")
    for motor in motors:
        if motor.full() is None:
            desk.not_known(motor, "its battery current at full throttle (full-throttle)")
    flows = currents(desk.wiring)
    for demand in () if flows.shorted else flows.outcome.net.demands:
        if demand.part is esc and demand.draw.missing and all(motor.full() for motor in motors):
            desk.not_known(esc, demand.draw.missing)


def _judge(desk: Desk, esc: Esc, rated: Figure, full: Figure, motors: list[Motor]) -> Findings:
    margin, fresh = desk.figure("esc", "margin"), currents(desk.wiring).drawn(esc.id)
    most = max(full.number, fresh.steady)
    least = max(full.number * margin.number, most)
    if not over(least, rated.number):
        return
    burns = esc.burst is not None and over(most, esc.burst)
    beyond = over(most, rated.number)
    low = max(full.number * desk.figure("esc", "margin-low").number, most)
    more = f", {amps(round(most, 1))} with fresh packs{when(fresh.steady_case)}"
    yield check.finding(
        f"{esc.named()} is rated {amps(rated.number)}, but {amps(full.number)} flow at full"
        f" throttle{more if over(most, full.number) else ''}: it should be rated at least"
        f" {amps(round(least, 1))}; the bolder go down to {amps(round(low, 1))}",
        esc.at("rated"),
        esc,
        *motors,
        severity=Severity.DANGER if burns else Severity.ERROR if beyond else None,
        help=("" if esc.as_made else f"fit an ESC rated {amps(round(least, 1))} or more, or ")
        + f"fit a smaller {turning_of(motors).one}",
        numbers=(
            number("rated", rated),
            number("full throttle, as stated", full),
            ("rating over current", f"{margin.number:g}, {margin.origin}"),
            *case_numbers(desk.wiring, fresh.steady_case),
        ),
    )
