"""The signal pin is pulled on the way to a part that needs it.

What it looks for
    A plug whose `pulled` names the signal, between a receiver or autopilot and a servo, an ESC, a
    self-contained retract leg or a sequencer.

Why it matters
    The part has power and no orders: it stays where it is, whatever the stick does. Usually the
    red pin was meant.

An example that fails
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {plug: {into: rx.4, pulled: signal}}

The same, mended
    servos:
      rudder: {plug: rx.4}

Where it comes from
    Common practice, no published source: the pin to pull on a second BEC is the positive.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.wording import verb
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each pulled pin once, with every part that hears nothing for it."""
    deaf: dict[tuple[str, str], tuple[Mate, list[Part]]] = {}
    for part in sorted(desk.plan.parts.values(), key=lambda p: p.id):
        for mate in desk.wiring.upstream(part.id) if part.obeys else ():
            if "signal" in mate.join.pulled and not _is_supply(mate):
                deaf.setdefault(mate.plug.id, (mate, []))[1].append(part)
    for mate, parts in deaf.values():
        yield check.at_plug(
            f"the signal pin of {mate.plug.part.named()} is pulled:"
            f" {spoken(part.named() for part in parts)} {verb(parts, 'gets', 'get')} no orders",
            mate,
            *parts,
            key="pulled",
            help="put the signal pin back; if a second BEC is to be cut off, pull the positive",
        )


def _is_supply(mate: Mate) -> bool:
    """A plug in a supply socket needs no signal."""
    socket = mate.socket
    return socket is not None and socket.part.is_radio and socket.name.startswith("batt")
