"""A lead or box has an outlet with nothing in it.

What it looks for
    Sockets of a Y-lead, n-way lead, extension, stabiliser or sequencer that no plug goes into; and
    a drive pack, power lead or fuse from which nothing is fed.

Why it matters
    Often a plug was forgotten, or a simpler lead would do. An empty end inside a closed wing can
    touch metal: it wants a cover.

An example that fails
    receivers:
      rx: {sockets: 6}
    servos:
      flap-left: {plug: flap-y.1}
    leads:
      flap-y: {kind: y, plug: rx.6}

The same, mended
    servos:
      flap-right: {plug: flap-y.2, measured: up}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.below import empty_sockets
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each lead or box once, with all its empty outlets."""
    for part in desk.plan.parts.values():
        empty = empty_sockets(desk.wiring, part.id)
        every = len(empty) == sum(not port.is_plug for port in desk.wiring.by_part[part.id])
        if part.carries_signal or part.sequences or part.relays:
            if empty and (part.joins() or not every):
                names = [f"{part.id}.{port.name}" for port in empty]
                yield check.finding(
                    f"{part.named()} has nothing plugged into"
                    f" {'all its sockets' if every and len(names) > 1 else spoken(names)}",
                    part.span,
                    part,
                    spot=empty[0].name,
                    help="name what goes there, use a simpler lead, or cover the empty end",
                )
        elif every and part.circuits:
            yield check.finding(
                f"nothing goes through {part.named()}",
                part.span,
                part,
                help="name what goes there (`plug:` of what the wing holds), or take it out of the"
                " plan",
            )
        elif every and _feeds(part):
            yield check.finding(
                f"nothing is fed from {part.named()}",
                part.span,
                part,
                help="name what hangs on it (`supply:` of that part), or take it out of the plan",
            )


def _feeds(part: Part) -> bool:
    """Whether it is a pack, power lead or fuse that is there to feed something.

    A jumper plug feeds nothing by its nature; a radio pack's own plug is its way out.
    """
    jumper = part.battery_lead and part.kind == "jumper"
    return (part.holds_cells or part.battery_lead) and not jumper and not part.feeds_radio
