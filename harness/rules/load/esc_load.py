"""An ESC is too small for its motor at full throttle.

What it looks for
    The battery current at full throttle against the ESC's rating: the rating should be 1.2 to
    1.3 times the current; the cautious 1.3 is used, and above the rating it is an error.

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
from harness.facts.currents import amps, number, over
from harness.facts.motion import turning_of
from harness.parts.esc import Esc
from harness.parts.figure import Figure, stated
from harness.parts.motor import Motor
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.ratings import motors_on


@rule(Severity.WARNING, Severity.DANGER, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each ESC once, with all the motors on it added up."""
    for esc in desk.plan.of(Esc):
        motors = motors_on(desk.wiring, esc)
        known = [stated(m, "full-throttle", m.full_throttle) for m in motors]
        figures = [figure for figure in known if figure is not None]
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
        if motor.full_throttle is None:
            desk.not_known(motor, "its battery current at full throttle (full-throttle)")


def _judge(desk: Desk, esc: Esc, rated: Figure, full: Figure, motors: list[Motor]) -> Findings:
    margin = desk.figure("esc", "margin")
    least = full.number * margin.number
    if not over(least, rated.number):
        return
    burns = esc.burst is not None and over(full.number, esc.burst)
    beyond = over(full.number, rated.number)
    low = full.number * desk.figure("esc", "margin-low").number
    yield check.finding(
        f"{esc.named()} is rated {amps(rated.number)}, but {amps(full.number)} flow at full "
        f"throttle: it should be rated at least {amps(least)}; the bolder go down to {amps(low)}",
        esc.at("rated"),
        esc,
        *motors,
        severity=Severity.DANGER if burns else Severity.ERROR if beyond else None,
        help=f"fit an ESC rated {amps(least)} or more, or a smaller {turning_of(motors).one}",
        numbers=(
            number("rated", rated),
            number("full throttle", full),
            ("rating over current", f"{margin.number:g}, {margin.origin}"),
        ),
    )
