"""The plan does not say what a sequencer does when it is switched on.

What it looks for
    A sequencer without `power-up`.

Why it matters
    Some boxes run at once to where the switch stands: a model on the bench, or standing on its
    wheels, folds its legs. Every case wants a test with the model on a stand.

An example that fails
    receivers:
      rx: {sockets: 6}
    sequencers:
      gear-box: {outlets: 2, plug: rx.5}

The same, mended
    sequencers:
      gear-box: {outlets: 2, plug: rx.5, power-up: holds}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.parts.sequencer import Sequencer
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each sequencer once."""
    for box in desk.plan.of(Sequencer):
        if not box.power_up:
            yield check.finding(
                f"the plan does not say what {box.named()} does when the supply comes on",
                box.span,
                box,
                help="add `power-up: holds`, `follows`, `down` or `up`, after a test on the stand",
            )
