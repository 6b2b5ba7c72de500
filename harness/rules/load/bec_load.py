"""A BEC or regulator is asked for more than it gives.

What it looks for
    What a BEC or regulator must give in the operating cases: above its rating in one that lasts
    (full throttle, every servo at 30 % of its stall), or above its burst rating in any (what moves
    together is stalled, while the rest moves freely); without a stated `burst` that is its rating.
    A stalled servo draws by the volts it gets.

Why it matters
    An overloaded supply sags or shuts down, and the receiver with it: nothing answers the sticks.
    Flaps and retracts added to a supply that was just enough are a common way to get there.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      aileron-left: {class: 17g-digital, moves: aileron, plug: rx.1}
      elevator: {class: 17g-digital, moves: elevator, plug: rx.2}
      rudder: {class: 17g-digital, moves: rudder, plug: rx.4}
    escs:
      esc: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 2 A, burst: 3 A}, plug: rx.3}

The same, mended
    escs:
      esc: {rated: 30 A, bec: {kind: switching, volts: 5 V, rated: 4 A, burst: 6 A}, plug: rx.3}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.currents import (
    apart,
    number,
    over,
    peak_numbers,
    sold,
    steady_numbers,
    told,
    when,
)
from harness.facts.supplied import Supply, supplies_of
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, solved=True)
def check(desk: Desk) -> Findings:
    """Report each supply once; the continuous load goes before the peak."""
    for supply in supplies_of(desk.wiring):
        flow, part, peak = supply.flow, supply.part, supply.peak_limit
        if supply.rated and over(flow.steady, supply.rated.number):
            has, takes = apart(supply.rated.number, flow.steady)
            yield check.finding(
                f"{supply.name} is rated {has}, but what it feeds takes "
                f"{takes} continuously{when(flow.steady_case)}: {told(flow.steadies)}",
                supply.span("rated"),
                part,
                help=_cures(desk, supply),
                numbers=(number("rated", supply.rated), *steady_numbers(desk.wiring, flow)),
            )
        elif peak and over(flow.burst, peak.number):
            stated = supply.peak_stated
            has, takes = apart(peak.number, flow.burst)
            gives = "gives" if stated else "is not said to give more than its rated"
            yield check.finding(
                f"{supply.name} {gives} {has} for seconds, but what it feeds can take"
                f" {takes} at once{when(flow.burst_case)}: {told(flow.peaks)}",
                supply.span("burst" if stated else "rated"),
                part,
                help=("" if stated else "state its maker's `burst`, or ") + _cures(desk, supply),
                numbers=(
                    number("burst" if stated else "rated", peak),
                    *peak_numbers(desk.wiring, flow),
                ),
            )
        else:
            _list_unknown(desk, supply)


def _cures(desk: Desk, supply: Supply) -> str:
    """Two supplies on one rail fight: the red pin of the weak one goes first."""
    flow = supply.flow
    steady, burst = (sold(desk.wiring, need) for need in (flow.steady, flow.burst))
    enough = f"rated {steady} and {burst} for seconds"
    new = f"pull its red pin and feed the receiver from a regulator {enough}"
    return (
        f"{new if supply.key else f'take one {enough}'}, or feed the heavy loads from a supply of"
        " their own, their red pins pulled"
    )


def _list_unknown(desk: Desk, supply: Supply) -> None:
    """What is asked is known but not what is given, or the other way round."""
    for draw in supply.flow.missing:
        desk.not_known(draw.part, draw.missing)
    if supply.rated is None:
        missing = f"what {supply.name} gives continuously ({supply.word('rated')})"
        desk.not_known(supply.part, missing, supply.key)
