"""A supply was metered at other volts than it should give.

What it looks for
    A BEC or regulator whose `metered` volts differ from its stated `volts` by more than a meter's
    and a supply's usual spread.

Why it matters
    Either the supply is set wrong or faulty, or the plan has a wrong number. Every other check of
    this supply leans on one of the two.

An example that fails
    receivers:
      rx: {sockets: 4}
    escs:
      esc: {bec: {volts: 6 V, metered: 5.21 V}, plug: rx.3}

The same, mended
    escs:
      esc: {bec: {volts: 6 V, metered: 6.05 V}, plug: rx.3}

Where it comes from
    Common practice; no published source. The allowance is our own assumption.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.currents import over
from harness.facts.rails import name_of
from harness.facts.wording import in_plan
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each supply once, at the metered value."""
    allowed = desk.figure("metered", "allowance")
    for part in desk.plan.parts.values():
        bec = part.makes
        if bec is None or bec.metered is None:
            continue
        if over(abs(bec.metered - bec.volts), allowed.number * bec.volts):
            yield check.finding(
                f"{name_of(part)} was metered at {bec.metered:g} V, and should give"
                f" {bec.volts:g} V",
                bec.spans["metered"],
                part,
                help="meter it again without load; set it right or replace it, or mend the plan",
                numbers=(
                    ("stated", in_plan(f"{bec.volts:g} V", bec.spans["volts"])),
                    ("most it may differ", f"{allowed.number:.0%} ({allowed.origin})"),
                ),
            )
