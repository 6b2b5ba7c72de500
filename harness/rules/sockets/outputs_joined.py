"""Two outputs are joined by one signal wire.

What it looks for
    Sockets that each give out a pulse of their own, of receivers, autopilots, stabilisers or
    sequencers, whose signal pins one piece of copper joins: by a lead with a plug at either end.

Why it matters
    One drives the wire up while the other pulls it down. What hangs on it gets a pulse that is
    neither's, or none, and an output may be damaged.

An example that fails
    receivers:
      rx: {sockets: 4}
      second: {sockets: 4}
    leads:
      between: {kind: two-plug, plug: rx.4, second-plug: second.4}

The same, mended
    leads:
      between: {kind: two-plug, plug: rx.4, second-plug: {into: second.4, pulled: signal}}

Where it comes from
    One driver a wire, as for any output of logic: common practice, no published source.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.facts.fed import put_right
from harness.parts.contacts import Contact, LinkKind, Port, Role
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each such wire once, at the lead that joins it."""
    wiring = put_right(desk.wiring)
    nets: dict[Contact, list[Port]] = defaultdict(list)
    made = {link.b for link in wiring.links if link.kind is LinkKind.RELAY}
    for port in wiring.ports.values():
        pin = port.pin("signal")
        own = port.channel or pin in made or port.part.sequences
        if not port.is_plug and own and wiring.roles.get(pin) is Role.SIGNAL:
            nets[wiring.nets.root.get(pin, pin)].append(port)
    for net, ports in nets.items():
        there = [m for m in wiring.mates if m.plug.pin("signal") in wiring.nets.net(net)]
        plugs = [m for m in there if m.plug.part.carries_signal and len(m.plug.part.joins()) > 1]
        if len(ports) > 1 and plugs:
            last = max(plugs, key=lambda mate: mate.span)
            yield check.at_plug(
                f"{last.plug.part.named()} joins the signals of {spoken(p.short for p in ports)}:"
                " both are outputs, and each works against the other",
                last,
                *(port.part for port in ports),
                help="to join their supplies alone, slide its signal pin out of one plug"
                " (`pulled: signal`); else unplug it",
            )
