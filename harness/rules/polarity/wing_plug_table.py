"""A wing plug's pin table cannot be right.

What it looks for
    A contact number above the plug's count of contacts; two circuits with their signals on one
    contact; one contact that is signal in one circuit and a pole in another, or positive in one
    and negative in another. Circuits may share a positive or a negative.

Why it matters
    Two signals on one contact drive both servos at once or neither; a signal or a positive on a
    negative contact burns what hangs on it as soon as the wing is plugged on.

An example that fails
    receivers:
      rx: {sockets: 4}
    wing-plugs:
      root:
        contacts: 6
        circuits:
          aileron: {signal: 1, positive: 2, negative: 3}
          flap: {signal: 1, positive: 2, negative: 3}
        plugs: {aileron: rx.1, flap: rx.2}

The same, mended
    wing-plugs:
      root:
        circuits:
          flap: {signal: 4, positive: 2, negative: 3}

Where it comes from
    The thing itself; common practice to write the pin table down, no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.mend_first import Use, contact_uses, joined_in_table
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each contact once."""
    for part in desk.plan.of(WingPlug):
        for number, uses in sorted(contact_uses(part).items()):
            beyond = number > part.contacts
            if fault := _fault(part, number, uses):
                yield check.finding(
                    f"{part.named()}: contact {number} is {fault}",
                    max(span for _, _, span in uses),
                    part,
                    severity=Severity.ERROR if beyond else None,
                    help=f"its contacts are 1 to {part.contacts}: correct the table, or the count"
                    if beyond
                    else "give each signal a contact of its own; only like poles may share one",
                )


def _fault(part: WingPlug, number: int, uses: list[Use]) -> str:
    what = spoken(sorted(f'{pin} of "{name}"' for name, pin, _ in uses))
    if number > part.contacts:
        return f"used for {what}, and it has only {part.contacts} contacts"
    return f"{what} at once" if joined_in_table(uses) else ""
