"""Something of the kit is left over that is not marked as a spare.

What it looks for
    With a `kit:` in the plan, each line of it of which pieces are left when every part has what
    it needs, unless the line says `spare: yes`. Wire and loose connectors are never told.

Why it matters
    A lead left in the box is often one that was forgotten in the aeroplane.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      rudder: {class: 9g-analogue, moves: rudder, plug: rudder-ext.1}
    leads:
      rudder-ext: {kind: extension, plug: rx.4, wire: 22 AWG, length: 600 mm}
    kit:
      - {kind: extension, count: 2, wire: 22 AWG, length: 600 mm}

The same, mended
    kit:
      - {kind: extension, wire: 22 AWG, length: 600 mm}
      - {kind: extension, wire: 22 AWG, length: 600 mm, spare: yes}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.airframe.kit import told_many
from harness.base.finding import Severity
from harness.facts.airframe import kit
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each line of the kit once."""
    found = kit(desk.wiring)
    for left in found.left if found else ():
        if not left.expected:
            yield check.finding(
                f"{told_many(left.piece, left.count)} of the kit"
                f" {'is' if left.count == 1 else 'are'} left over: {left.why}",
                left.piece.span,
                help="use it, mark it `spare: yes`, or see whether a lead was forgotten",
            )
