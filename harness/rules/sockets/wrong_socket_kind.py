"""A plug and its socket are of different kinds.

What it looks for
    A plug whose form is not that of its socket: the two wires of a bare-motor leg in a 3-pin
    socket, battery wires in a receiver; and a device that needs a signal in a socket that gives
    none, such as a receiver's supply socket.

Why it matters
    It does not fit, or it is made to fit with an adapter: then a bare-motor leg runs against
    its stop until it burns, and a servo in a supply socket stands still.

An example that fails
    receivers:
      rx: {sockets: 6}
    retracts:
      leg-left: {kind: bare-motor, plug: rx.5}

The same, mended
    retracts:
      leg-left: {kind: bare-motor, plug: gear-box.1}
    sequencers:
      gear-box: {outlets: 2, motor-outlets: [1, 2], plug: rx.5, power-up: holds}

Where it comes from
    The forms of the plugs themselves. That the two kinds of leg must not be mixed up is
    common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.homes import NO_HOME, ways_home
from harness.facts.signals import is_channel
from harness.parts.contacts import Form, Port
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report unlike forms, then devices whose signal comes from a socket without one."""
    for mate in desk.wiring.mates:
        if mate.socket is not None and not mate.fits:
            yield _unlike(mate, mate.socket)
    seen: set[tuple[str, str]] = set()
    for part in sorted(desk.plan.parts.values(), key=lambda p: p.id):
        chain = desk.wiring.upstream(part.id) if part.obeys else []
        socket = chain[-1].socket if chain else None
        if socket is None or socket.id in seen or not all(mate.fits for mate in chain):
            continue
        if socket.part.has_channels and not is_channel(socket):
            seen.add(socket.id)
            yield _without_signal(desk, part, chain[-1], socket)


def _unlike(mate: Mate, socket: Port) -> Finding:
    part, owner = mate.plug.part, socket.part
    return check.at_plug(
        f"{part.named()} {_has(mate.plug)}, but {socket.short} of"
        f" {owner.named()} is a {socket.form.value} socket{_what_then(mate.plug, socket)}",
        mate,
        owner,
        help=_help(part, mate.plug, socket),
    )


def _has(plug: Port) -> str:
    if plug.part.two_wired and plug.form is Form.TWO_WIRE:
        return "carries the two wires of a bare motor"
    return f"has a {plug.form.value} plug"


def _what_then(plug: Port, socket: Port) -> str:
    if plug.form is Form.TWO_WIRE and socket.form is Form.THREE_PIN:
        return "; with an adapter its motor would run against the stop until it burns"
    return ""


def _help(part: Part, plug: Port, socket: Port) -> str:
    if plug.form is Form.TWO_WIRE:
        return (
            "plug it into an outlet that reverses a bare motor (motor-outlets of a sequencer),"
            " or fit a self-contained leg"
        )
    if socket.form is Form.TWO_WIRE and (part.is_leg or part.swings):
        return "plug it into a 3-pin outlet; a motor outlet has no signal and swaps its poles"
    if plug.form is Form.SATELLITE:
        return "plug it into the socket for it of its main receiver (`satellite-sockets:` there)"
    if socket.form is Form.SATELLITE:
        return f"plug it into a {plug.form.value} socket; no adapter makes one of this"
    kind = plug.form.value
    return f"find a {kind} socket for it, or list the adapter lead between them as a part"


def _without_signal(desk: Desk, part: Part, mate: Mate, socket: Port) -> Finding:
    (way,) = ways_home(desk.wiring, [mate.plug], socket.part)
    return check.finding(
        f"{part.named()} gets its signal from {socket.short}, but that socket of"
        f" {socket.part.named()} gives out no channel: it would not move",
        mate.span,
        part,
        socket.part,
        spot=mate.plug.name if mate.plug.part is part else "plug",
        help=f"plug {'it' if mate.plug.part is part else mate.plug.part.named()} {way}"
        if way
        else NO_HOME,
    )
