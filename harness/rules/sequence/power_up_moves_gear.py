"""A sequencer moves gear by itself when the supply comes on.

What it looks for
    A sequencer whose `power-up` is not `holds`: the legs and doors that its steps then move.

Why it matters
    Whoever plugs the pack in has a hand in the wheel bay, or the aeroplane standing on its wheels:
    legs that go up fold it onto its belly, doors close on fingers.

An example that fails
    channels: {5: {function: gear, failsafe: hold}}
    receivers:
      rx: {sockets: 6}
    retracts:
      leg-left: {kind: self-contained, class: small, plug: gear-box.legs}
    sequencers:
      gear-box:
        plug: rx.5
        outlets: [legs]
        power-up: follows
        steps:
          down: [{outlet: legs, start: 0 s, end: 5 s, to: down}]
          up: [{outlet: legs, start: 0 s, end: 5 s, to: up}]

The same, mended
    sequencers:
      gear-box:
        power-up: holds

Where it comes from
    Common practice; no published source: the state at power-up is declared, and all cases tested.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.wording import in_plan
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each sequencer once."""
    from harness.electrics.gear.power_up import wakings

    for waking in wakings(desk.wiring):
        box = waking.box
        if box is not None:
            yield check.finding(
                waking.words,
                box.at("power-up"),
                box,
                *waking.parts,
                help="set the box to hold until the switch is moved, if it can be set; if not,"
                " switch on with the model held or on a stand, and accept this in the plan",
                numbers=(("power-up", in_plan(box.power_up, box.at("power-up"))),),
            )
