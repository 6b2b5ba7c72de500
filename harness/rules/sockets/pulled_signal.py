"""The signal is cut off on the way to a part that needs it.

What it looks for
    A servo, an ESC, a self-contained retract leg, a sequencer, a switched load or an autopilot that
    gets its supply and no signal: the signal pin of a plug is pulled, the wire was found open, or a
    lead on the way has none.

Why it matters
    The part has power and no orders: it stays where it is, whatever the stick does. Where a pin is
    pulled, the red one was usually meant.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {plug: {into: rx.4, pulled: signal}}

The same, mended
    servos:
      rudder: {plug: rx.4}

Where it comes from
    Common practice, no published source: the pin to pull on a second BEC is the positive.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.fed import SIGNAL, faults, unmet
from harness.facts.wording import closing_words, parts_named, verb
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each open place once, with every part that hears nothing for it."""
    for fault in faults(desk.wiring):
        if fault.needs == {SIGNAL} and not fault.astray:
            gets = verb(fault.parts, "gets", "get")
            pulled = all(place.found is None for place in fault.opens)
            meant = "; if a second BEC is to be cut off, pull the positive" if pulled else ""
            yield check.at_open(
                f": {parts_named(fault.parts)} {gets} no orders",
                desk.wiring,
                fault,
                help=closing_words(fault.opens) + meant,
            )
    for part in (need.part for need in unmet(desk.wiring) if need.what == SIGNAL):
        yield check.finding(
            f"no wire carries the signal through to {part.named()}: it gets no orders",
            part.at("plug"),
            part,
            spot="plug",
            help="use a lead whose signal wire goes from end to end",
        )
