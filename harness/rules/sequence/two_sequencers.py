"""One sequencer is plugged in behind another.

What it looks for
    A sequencer whose input comes from an outlet of another sequencer.

Why it matters
    Both boxes delay: the second starts when the first has already moved on, and their sequences
    fight. Doors shut on legs that are still on their way.

An example that fails
    channels: {5: {function: gear, failsafe: hold}}
    receivers:
      rx: {sockets: 6}
    sequencers:
      gear-box: {outlets: 2, plug: rx.5, power-up: holds}
      door-box: {outlets: 2, plug: gear-box.2, power-up: holds}

The same, mended
    sequencers:
      door-box: taken out
      gear-box: {outlets: 4, plug: rx.5, power-up: holds}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.parts.sequencer import Sequencer
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each box that hangs behind another one, at its own plug."""
    for box in desk.plan.of(Sequencer):
        chain = desk.wiring.upstream(box.id)
        sockets = [mate.socket for mate in chain if mate.socket is not None]
        above = next((s for s in sockets if s.part.sequences), None)
        if above is not None and above.part is not box:
            yield check.finding(
                f"{box.named()} takes its input from {above.part.id}.{above.name}: two sequencers"
                " one behind the other, their times add up and fight",
                chain[0].span,
                box,
                above.part,
                spot="plug",
                help=f"let one box do the whole sequence, or join both to {sockets[-1].short} by"
                " a Y-lead",
            )
