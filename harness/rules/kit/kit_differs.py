"""A piece meant for a part is less than the plan says of that part.

What it looks for
    A line of the kit with `for:` a part whose length, wire, number of sockets, class or
    connector is not what the plan states there: shorter, thinner, or another.

Why it matters
    Currents, drops and lengths are computed from what the plan states. With a thinner or shorter
    lead in the aeroplane they are wrong, and nobody sees it.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      rudder: {class: 9g-analogue, moves: rudder, plug: rudder-ext.1}
    leads:
      rudder-ext: {kind: extension, plug: rx.4, wire: 22 AWG, length: 600 mm}
    kit:
      - {kind: extension, wire: 26 AWG, length: 600 mm, for: rudder-ext}

The same, mended
    leads:
      rudder-ext: {kind: extension, plug: rx.4, wire: 26 AWG, length: 600 mm}

Where it comes from
    Our own check: two statements of one plan that cannot both hold.
"""

from __future__ import annotations

from harness.airframe.kit import told
from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.airframe import kit
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each piece once, at its line of the kit."""
    found = kit(desk.wiring)
    for use in found.differing if found else ():
        yield check.finding(
            f"{told(use.piece)} in the kit is meant for {use.part.named()}, but "
            f"{spoken(use.differs)}",
            use.piece.span,
            use.part,
            help="correct the kit or the part, whichever is not as it is",
        )
