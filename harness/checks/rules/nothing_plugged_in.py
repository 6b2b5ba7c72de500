"""A lead or box has an outlet with nothing in it.

What it looks for
    Sockets of a Y-lead, n-way lead, extension, stabiliser or sequencer that no plug goes into.

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
    receivers:
      rx: {sockets: 6}
    servos:
      flap-left: {plug: flap-y.1}
      flap-right: {plug: flap-y.2, measured: up}
    leads:
      flap-y: {kind: y, plug: rx.6}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.checks.rule import Desk, rule
from harness.reader.parts.control import Sequencer, Stabiliser
from harness.reader.parts.leads import Lead
from harness.wiring.model import Port


@rule("sockets", Severity.NOTE)
def check(desk: Desk) -> Iterator[Finding]:
    """Report each lead or box once, with all its empty outlets."""
    for part in desk.plan.parts.values():
        if not isinstance(part, Lead | Sequencer | Stabiliser):
            continue
        ports = [port for port in desk.wiring.by_part[part.id] if not port.is_plug]
        empty = [port for port in ports if not desk.wiring.by_socket.get(port.id)]
        loose = not part.joins() and len(empty) == len(ports)
        if not empty or loose:
            continue
        names = "all its sockets" if len(empty) == len(ports) > 1 else _names(part.id, empty)
        yield check.finding(
            f"{part.named()} has nothing plugged into {names}",
            part.span,
            part,
            spot=empty[0].name,
            help="name what goes there, use a simpler lead, or cover the empty end",
        )


def _names(part: str, ports: list[Port]) -> str:
    return spoken(f"{part}.{port.name}" for port in ports)
