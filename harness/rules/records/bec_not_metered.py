"""A supply that feeds the receiver has not been metered.

What it looks for
    A BEC or regulator on a receiver's or autopilot's rail for which the plan has no `metered`
    volts.

Why it matters
    A supply that gives more than its label says burns everything on the rail at once.

An example that fails
    receivers:
      rx: {sockets: 4}
    escs:
      esc: {bec: {volts: 5 V}, plug: rx.3}

The same, mended
    escs:
      esc: {bec: {volts: 5 V, metered: 5.02 V}, plug: rx.3}

Where it comes from
    Common practice; no published source: meter every BEC before the receiver sees it.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.rails import name_of, rails
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Contact
from harness.parts.receiver import Receiver
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each supply once."""
    told = set()
    for box in (*desk.plan.of(Receiver), *desk.plan.of(Autopilot)):
        for feed in rails(desk.wiring).feeds(Contact(box.id, box.fed_at, "positive")):
            part = desk.plan.parts[feed.source.owner]
            bec = part.makes
            if bec is not None and bec.metered is None and part.id not in told:
                told.add(part.id)
                yield check.finding(
                    f"{name_of(part)} feeds {box.named()}, and nobody has metered it",
                    bec.spans.get("volts", part.span),
                    part,
                    box,
                    help="meter its output before the receiver sees it, and write `metered: ... V`",
                )
