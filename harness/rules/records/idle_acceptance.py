"""The plan accepts a finding that is not there.

What it looks for
    Entries of `accepted` that name no rule there is, or a rule that finds nothing at that part.

Why it matters
    A wrong name lets the finding stand though the builder thought it settled. One whose fault has
    been mended since would hide the same fault when it comes back.

An example that fails
    receivers:
      rx: {sockets: 4}
    escs:
      esc: {bec: {volts: 5 V, metered: 5.01 V}, plug: rx.3}
    accepted:
      - {rule: bec-not-metered, part: esc, because: known from another model}

The same, mended
    accepted: taken out

Where it comes from
    The plan itself: its acceptances against what the rules find.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import hint
from harness.plan.plan import Acceptance
from harness.rules.rule import RULES, Desk, Findings, rule


@rule(Severity.NOTE, Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each entry once; the rule it names is asked again, on a desk of its own."""
    for entry in desk.plan.accepted:
        if entry.rule not in RULES:
            yield check.finding(
                f'there is no rule "{entry.rule}" to accept',
                entry.spans["rule"],
                entry.part,
                severity=Severity.WARNING,
                help=hint(entry.rule, RULES),
            )
        elif entry.rule != check.name and not _finds(Desk(desk.plan, desk.wiring), entry):
            yield check.finding(
                f'{entry.rule} finds nothing at "{entry.part}" that could be accepted',
                entry.spans["part"],
                entry.part,
                help="take it out, so that it cannot hide the fault when it comes back",
            )


def _finds(desk: Desk, entry: Acceptance) -> bool:
    return any(entry.part in finding.parts for finding in RULES[entry.rule].check(desk))
