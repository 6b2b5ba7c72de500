"""A Y-lead or a custom lead was not metered yet.

What it looks for
    A Y-lead, n-way lead, in-line reverser or custom lead without `tested: yes`.

Why it matters
    A wrong Y is common even when new. Red and black swapped in one branch burns what hangs on it.

An example that fails
    receivers:
      rx: {sockets: 6}
    leads:
      flap-y: {kind: y, plug: rx.6}

The same, mended
    leads:
      flap-y: {kind: y, plug: rx.6, tested: yes}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.parts.lead import LEAD_WORDS, Lead
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each lead that should be metered."""
    for lead in desk.plan.of(Lead):
        if lead.kind != "extension" and not lead.tested:
            yield check.finding(
                f'{LEAD_WORDS[lead.kind]} "{lead.id}" is not recorded as metered',
                lead.at("tested"),
                lead,
                help="meter it pin by pin from end to end, then write tested: yes",
            )
